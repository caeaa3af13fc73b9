import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { makeFieldGrid } from '../../core/geo/lattice.ts';
import type { FieldGrid } from '../../core/geo/types.ts';
import type { SoilOut } from '../../core/soil/types.ts';
import { type PreviewInput, previewStep, previewSurface } from '../../core/surfaces/preview.ts';
import { MEASURED_IDS, surfacesSettingsSchema } from '../../core/surfaces/settings.ts';
import { deepFreeze } from '../freeze.ts';
import { GROUND, good, layer, place, rectangle, run, SAMPLES, sample, soilOf } from './field.ts';

const grid = (cell_m: number): FieldGrid => {
  const made = makeFieldGrid(GROUND, cell_m);
  if (!made.ok) throw new Error('the ground has a grid');
  return made.value;
};
const ask = (soil: SoilOut, of: FieldGrid, id: PreviewInput['layer'], settings: object = {}) =>
  previewSurface({ soil, grid: of, layer: id, settings: deepFreeze(surfacesSettingsSchema.parse(settings)) });

describe('a preview', () => {
  test.each([
    ['k_ppm', {}],
    ['ph', { ways: { ph: { power: 3, neighbours: 5, radius_m: 60 } } }],
    ['kSat_pct', {}],
    ['kSat_pct', { saturation: 'interpolated itself' }],
  ] as const)('of a small field is the surface itself: %s, %o', async (id, settings) => {
    const out = await good(run(soilOf(SAMPLES), settings));
    const got = ask(soilOf(SAMPLES), out.grid, id, settings);
    expect(got).toHaveLength(out.grid.cover_m2.length);
    const differing = layer(out, id).filter((want, cell) => {
      const value = got?.[cell] ?? Number.NaN;
      return Number.isNaN(want) !== Number.isNaN(value) || Math.abs(value / want - 1) > 1e-12;
    });
    expect(differing).toHaveLength(0);
  });

  test('of many cells is made of blocks, each with the surface’s own value of its middle', async () => {
    const settings = { power: 1.7, neighbours: 0 };
    const fine = grid(1);
    const { cols, rows } = fine.lattice;
    const step = previewStep(cols * rows, 20, 1.7, 0);
    expect(step).toBeGreaterThan(2);
    const got = ask(soilOf(SAMPLES), fine, 'k_ppm', settings) ?? new Float64Array(0);
    const whole = layer(await good(run(soilOf(SAMPLES), { ...settings, cell_m: 1 })), 'k_ppm');
    const middle = Math.floor((step - 1) / 2);
    let [bare, seen, worst] = [0, 0, 0];
    fine.cover_m2.forEach((ground_m2, cell) => {
      const value = got[cell] ?? Number.NaN;
      if (Number.isNaN(value) === ground_m2 > 0) bare++;
      const [col, row] = [cell % cols, Math.floor(cell / cols)];
      const [midCol, midRow] = [Math.floor(col / step) * step + middle, Math.floor(row / step) * step + middle];
      const want = whole[midRow * cols + midCol] ?? Number.NaN;
      // A block's middle may lie off the ground, where the surface has nothing to compare with.
      if (ground_m2 === 0 || midCol >= cols || Number.isNaN(want)) return;
      seen++;
      worst = Math.max(worst, Math.abs(value / want - 1));
    });
    expect(bare).toBe(0);
    expect(seen).toBeGreaterThan(100_000);
    expect(worst).toBeLessThan(1e-9);
  });

  test('is null with composites and for a layer without a surface', () => {
    const composite = soilOf([sample(2, place(0, 0), { polygons: rectangle(-200, -150, 200, 150) })], {
      kind: 'composites',
    });
    expect(ask(composite, grid(10), 'k_ppm')).toBeNull();
    expect(ask(soilOf(SAMPLES), grid(10), 'na_ppm')).toBeNull();
    expect(ask(soilOf(SAMPLES.slice(0, 2)), grid(10), 'k_ppm')).toBeNull();
    const noCec = soilOf(SAMPLES.map((one) => ({ ...one, cec_meq: Number.NaN })));
    expect(ask(noCec, grid(10), 'kSat_pct')).toBeNull();
    expect(MEASURED_IDS.filter((id) => ask(noCec, grid(10), id) === null)).toEqual(['cec_meq', 'na_ppm', 'kSat_pct']);
  });

  test('takes larger blocks for more cells, samples and neighbours, never smaller', () => {
    const some = fc.integer({ min: 1, max: 4_000_000 });
    fc.assert(
      fc.property(some, some, fc.integer({ min: 3, max: 5000 }), fc.integer({ min: 1, max: 63 }), (a, b, n, k) => {
        const [few, many] = [Math.min(a, b), Math.max(a, b)];
        expect(previewStep(few, n, 2, k)).toBeLessThanOrEqual(previewStep(many, n, 2, k));
        expect(previewStep(many, n, 2, k)).toBeLessThanOrEqual(previewStep(many, n, 1.7, k));
        expect(previewStep(many, n + 64, 2, k)).toBeLessThanOrEqual(previewStep(many, n + 64, 2, k + 1));
        expect(previewStep(many, n, 2, 0)).toBeLessThanOrEqual(previewStep(many, n + 1, 2, 0));
      }),
    );
  });
});
