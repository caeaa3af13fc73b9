import { describe, expect, it } from 'vitest';
import { writeGeoTiff } from '../../core/formats/geotiff-write.ts';
import { cellCentre } from '../../core/geo/lattice.ts';
import type { Lattice } from '../../core/geo/types.ts';
import { stageKeys } from '../../core/pipeline/keys.ts';
import { decimalsFor } from '../../core/pipeline/rasters.ts';
import { createMemo, runPlan } from '../../core/pipeline/run.ts';
import { describeInput } from '../../core/plan/pack.ts';
import type { OwnRaster, Plan } from '../../core/plan/schema.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';
import { fixture } from '../fixtures/fixtures.ts';

const { plan, inputs } = samplePlan();
const memo = createMemo();
const plain = await runPlan({ plan, inputs }, {}, memo);
const grid = plain.surfaces?.grid;
if (!grid) throw new Error('the sample field has no surfaces');

/** Height over the field: a plane that rises to the north and a little to the east, finer than the cells. */
const heights = (share: number): Uint8Array => {
  const { west_deg, south_deg, dLng_deg, dLat_deg, cols, rows } = grid.lattice;
  const fine: Lattice = {
    west_deg,
    south_deg,
    dLng_deg: dLng_deg / 2,
    dLat_deg: dLat_deg / 2,
    cols: Math.floor(cols * 2 * share),
    rows: rows * 2,
  };
  const values = Float64Array.from({ length: fine.cols * fine.rows }, (_, cell) => heightAt(cellCentre(fine, cell)));
  return writeGeoTiff(values, fine);
};
const heightAt = ([lng, lat]: readonly [number, number]): number =>
  300 + (lat - grid.lattice.south_deg) * 2000 + (lng - grid.lattice.west_deg) * 500;

const withRaster = (files: readonly (readonly [OwnRaster['id'], Uint8Array])[], more: Partial<OwnRaster> = {}) => {
  const all = new Map(inputs);
  const entries = [...plan.inputs];
  const rasters = files.map(([id, bytes]): OwnRaster => {
    const entry = describeInput({ name: `${id}.tif`, bytes });
    all.set(entry.path, bytes);
    if (!entries.some((one) => one.path === entry.path)) entries.push(entry);
    return { id, file: entry.path, band: 1, name: `Layer ${id}`, unit: 'ft', crs: null, fill: 'unsaid', ...more };
  });
  return { plan: { ...plan, inputs: entries, rasters } satisfies Plan, inputs: all };
};

describe('a plan’s own rasters', () => {
  it('stand beside the measured layers, on the same cells', async () => {
    const out = await runPlan(withRaster([['height', heights(1)]]), {}, memo);
    const own = out.surfaces?.own ?? [];
    expect(own.map(({ id, name, unit }) => [id, name, unit])).toEqual([['own.height', 'Layer height', 'ft']]);
    const [layer] = own;
    expect(layer?.known_ac).toBeCloseTo(out.field?.spreadable_ac ?? 0, 6);
    grid.cover_m2.forEach((ground_m2, cell) => {
      const found = layer?.values[cell] ?? Number.NaN;
      if (ground_m2 > 0) expect(Math.abs(found - heightAt(cellCentre(grid.lattice, cell)))).toBeLessThan(0.001);
      else expect(found).toBeNaN();
    });
    expect(out.stages.surfaces.problems).toEqual(plain.stages.surfaces.problems);
    expect(out.rates?.totals).toEqual(plain.rates?.totals);
  });

  it('that cover part of the field are told', async () => {
    const out = await runPlan(withRaster([['height', heights(0.5)]]));
    expect(out.stages.surfaces.problems).toContainEqual(
      expect.objectContaining({
        code: 'raster-partly',
        severity: 'caution',
        at: expect.objectContaining({ setting: 'rasters.height' }),
      }),
    );
    expect(out.surfaces?.own[0]?.known_ac).toBeLessThan((out.field?.spreadable_ac ?? 0) * 0.6);
  });

  it('that are broken, elsewhere, named twice or not there are cautions, and nothing else is lost', async () => {
    const whole = heights(1);
    const broken = whole.slice(0, whole.length / 2);
    const elsewhere = fixture('tif/utm_f32.tif')[0]?.bytes ?? new Uint8Array();
    const request = withRaster([
      ['broken', broken],
      ['elsewhere', elsewhere],
      ['height', whole],
      ['height', whole],
    ]);
    const gone: OwnRaster = {
      id: 'gone',
      file: 'inputs/gone.tif',
      band: 1,
      name: 'Gone',
      unit: '',
      crs: null,
      fill: 'unsaid',
    };
    const out = await runPlan({ ...request, plan: { ...request.plan, rasters: [...request.plan.rasters, gone] } });
    expect(out.surfaces?.own.map((layer) => layer.id)).toEqual(['own.height']);
    const told = out.stages.surfaces.problems.filter((problem) => problem.at?.setting?.startsWith('rasters.'));
    expect(told.map(({ code, severity, stage }) => [code, severity, stage])).toEqual([
      ['tif-truncated', 'caution', 'surfaces'],
      ['tif-outside', 'caution', 'surfaces'],
      ['raster-twice', 'caution', 'surfaces'],
      ['raster-missing', 'caution', 'surfaces'],
    ]);
    expect(out.stages.surfaces.state).toBe('fresh');
    expect(out.rates?.totals).toEqual(plain.rates?.totals);
  });

  it('make the surfaces and what follows anew when they change, and nothing before', () => {
    const changed = (a: Plan, b: Plan) => {
      const [before, after] = [stageKeys(a), stageKeys(b)];
      return Object.keys(before).filter(
        (stage) => before[stage as keyof typeof before] !== after[stage as keyof typeof after],
      );
    };
    const one = withRaster([['height', heights(1)]]).plan;
    const renamed = { ...one, rasters: one.rasters.map((raster) => ({ ...raster, name: 'Elevation' })) };
    const later = ['surfaces', 'zones', 'rates', 'handoff'];
    expect(changed(one, renamed)).toEqual(later);
    const otherBytes = {
      ...one,
      inputs: one.inputs.map((input) =>
        input.path === one.rasters[0]?.file ? { ...input, sha256: '0'.repeat(64) } : input,
      ),
    };
    expect(changed(one, otherBytes)).toEqual(later);
  });

  it('are shown with decimals that tell a hundredth of their spread', () => {
    expect([350, 100, 99, 10, 1, 0.05, 1e-9].map((spread) => decimalsFor(Float64Array.of(1, 1 + spread)))).toEqual([
      0, 0, 1, 1, 2, 4, 6,
    ]);
    expect(decimalsFor(Float64Array.of(5, Number.NaN, 5))).toBe(1);
  });
});
