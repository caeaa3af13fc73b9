import { describe, expect, test } from 'vitest';
import { Cancelled } from '../../core/base/hooks.ts';
import { toLocal } from '../../core/geo/frame.ts';
import { cellAt, cellCentre } from '../../core/geo/lattice.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';
import { FACTORS } from '../../core/soil/chemistry.ts';
import type { SoilSample } from '../../core/soil/types.ts';
import type { LayerId } from '../../core/surfaces/types.ts';
import { FRAME, good, layer, place, rectangle, run, SAMPLES, sample, soilOf } from './field.ts';
import { textbook } from './oracle.ts';

describe('points', () => {
  test.each([
    [12, 2],
    [0, 2],
    [6, 1.5],
  ])(
    'every cell on the ground has the textbook value (neighbours %d, power %d), the others none',
    async (neighbours, power) => {
      const out = await good(run(soilOf(SAMPLES), { neighbours, power }));
      const { grid } = out;
      const xy = SAMPLES.map((one) => toLocal(grid.frame, one.at));
      const [x, y] = [xy.map(([px]) => px), xy.map(([, py]) => py)];
      let onGround = 0;
      grid.cover_m2.forEach((cover, cell) => {
        const k = layer(out, 'k_ppm')[cell] ?? Number.NaN;
        if (cover === 0) {
          expect(k).toBeNaN();
          expect(out.nearest_m[cell]).toBeNaN();
          return;
        }
        onGround++;
        const [px, py] = toLocal(grid.frame, cellCentre(grid.lattice, cell));
        const want = textbook(
          x,
          y,
          SAMPLES.map((one) => one.k_ppm),
          px,
          py,
          power,
          neighbours,
        );
        expect(Math.abs(k / want - 1)).toBeLessThan(1e-9);
      });
      expect(onGround).toBeGreaterThan(1200);
    },
  );

  test('saturation is of the cell’s own cations and CEC, by the factor set of the samples', async () => {
    for (const factors of ['exact', 'rounded'] as const) {
      const out = await good(run(soilOf(SAMPLES, { factors })));
      const cell = cellAt(out.grid.lattice, place(13, 27));
      const share = (ppm: LayerId, factor: number): number =>
        (100 * (layer(out, ppm)[cell] ?? Number.NaN)) / factor / (layer(out, 'cec_meq')[cell] ?? Number.NaN);
      expect(layer(out, 'kSat_pct')[cell]).toBeCloseTo(share('k_ppm', FACTORS[factors].k), 10);
      expect(layer(out, 'caSat_pct')[cell]).toBeCloseTo(share('ca_ppm', FACTORS[factors].ca), 10);
      expect(layer(out, 'mgSat_pct')[cell]).toBeCloseTo(share('mg_ppm', FACTORS[factors].mg), 10);
    }
  });

  test('errors are there for what was measured, and absent layers are absent', async () => {
    const out = await good(run(soilOf(SAMPLES)));
    expect(Object.keys(out.layers).sort()).toEqual([
      'caMgShare_pct',
      'caSat_pct',
      'ca_ppm',
      'cec_meq',
      'kMg_ratio',
      'kSat_pct',
      'k_ppm',
      'mgSat_pct',
      'mg_ppm',
      'ph',
    ]);
    expect(Object.keys(out.errors).sort()).toEqual(['ca_ppm', 'cec_meq', 'k_ppm', 'mg_ppm', 'ph']);
    const xy = SAMPLES.map((one) => toLocal(out.grid.frame, one.at));
    const off = SAMPLES.map((one, at) => {
      const [px = 0, py = 0] = xy[at] ?? [];
      return (
        textbook(
          xy.map(([x]) => x),
          xy.map(([, y]) => y),
          SAMPLES.map((other) => other.ph),
          px,
          py,
          2,
          12,
          at,
        ) - one.ph
      );
    });
    expect(out.errors.ph?.rmse).toBeCloseTo(Math.sqrt(off.reduce((sum, e) => sum + e * e, 0) / 20), 10);
    expect(out.errors.ph?.mae).toBeCloseTo(off.reduce((sum, e) => sum + Math.abs(e), 0) / 20, 10);
    expect(out.method).toBe('inverse distance, power 2, 12 neighbours');
    expect((await good(run(soilOf(SAMPLES), { neighbours: 0 }))).method).toBe(
      'inverse distance, power 2, all 20 samples',
    );
  });

  test('a layer comes from the samples that have it, and says where it is missing; too few of them give none', async () => {
    const holes = SAMPLES.map((one, at) => ({
      ...one,
      cec_meq: at === 3 ? Number.NaN : one.cec_meq,
      ph: at < 2 ? 6 : Number.NaN,
    }));
    const out = await good(run(soilOf(holes)));
    expect(layer(out, 'cec_meq').filter(Number.isFinite)).toHaveLength(
      layer(out, 'k_ppm').filter(Number.isFinite).length,
    );
    expect(out.errors.cec_meq?.samples).toBe(19);
    expect(out.layers.ph).toBeUndefined();
    expect(out.problems.map((one) => one.code)).toEqual(
      expect.arrayContaining(['surfaces-partly', 'surfaces-layer-few']),
    );
    expect(out.problems.find((one) => one.code === 'surfaces-partly')?.detail).toContain('5');
    const noCec = await good(run(soilOf(SAMPLES.map((one) => ({ ...one, cec_meq: Number.NaN })))));
    expect(noCec.layers.kSat_pct).toBeUndefined();
  });

  test('far ground is measured from the nearest sample and counted in acres', async () => {
    // Three samples at the west end of 400 m x 300 m: with 100 m the ground east of them is far.
    const west = [-140, 0, 140].map((y, n) => sample(n + 2, place(-200, y)));
    const out = await good(run(soilOf(west), { far_m: 150 }));
    const at = (x: number, y: number): number => out.nearest_m[cellAt(out.grid.lattice, place(x, y))] ?? Number.NaN;
    const cell = cellAt(out.grid.lattice, place(100, 0));
    const [px] = toLocal(FRAME, cellCentre(out.grid.lattice, cell));
    expect(at(100, 0)).toBeCloseTo(Math.hypot(px + 200, toLocal(FRAME, cellCentre(out.grid.lattice, cell))[1]), 0);
    // Between arcs of 150 m about the three and the east side: counted here on a 1 m raster.
    let far_m2 = 0;
    for (let x = -199.5; x < 200; x++)
      for (let y = -149.5; y < 150; y++)
        if (Math.min(...[-140, 0, 140].map((sy) => Math.hypot(x + 200, y - sy))) > 150) far_m2++;
    expect(out.far_ac).toBeGreaterThan((far_m2 / 4046.856) * 0.98);
    expect(out.far_ac).toBeLessThan((far_m2 / 4046.856) * 1.02);
    expect(out.problems.map((one) => one.code)).toContain('surfaces-far');
  });

  test('one or two samples stop, with a remedy', async () => {
    for (const count of [1, 2]) {
      const made = await run(soilOf(SAMPLES.slice(0, count)));
      expect(made.ok).toBe(false);
      expect(made.problems).toMatchObject([{ code: 'surfaces-few-samples', severity: 'stop' }]);
    }
  });

  test('samples that tell nothing about one another are said to', async () => {
    // High and low take turns, so neighbours mislead.
    const board = SAMPLES.map((one, at) => ({ ...one, k_ppm: (at + Math.floor(at / 5)) % 2 === 0 ? 100 : 200 }));
    const out = await good(run(soilOf(board), { neighbours: 4 }));
    expect(out.problems.map((one) => one.code)).toContain('surfaces-no-better');
  });

  test('progress goes up to the end, and a no cancels', async () => {
    const seen: number[] = [];
    await good(run(soilOf(SAMPLES), { cell_m: 1 }, { progress: (_stage, done, total) => seen.push(done / total) }));
    expect(seen.length).toBeGreaterThan(3);
    expect([...seen].sort((a, b) => a - b)).toEqual(seen);
    expect(seen.at(-1)).toBe(1);
    await expect(run(soilOf(SAMPLES), {}, { goOn: async () => false })).rejects.toBeInstanceOf(Cancelled);
  });
});

describe('zone composites', () => {
  const zone = (row: number, polygons: MultiPolygon, k_ppm: number, cec_meq: number): SoilSample =>
    sample(row, place(0, 0), { polygons, k_ppm, cec_meq });

  test('a value is constant in its zone and nothing crosses the line', async () => {
    const soil = soilOf(
      [zone(1, rectangle(-200, -150, 0, 150), 120, 10), zone(2, rectangle(0, -150, 200, 150), 240, 20)],
      { kind: 'composites' },
    );
    const out = await good(run(soil));
    const k = layer(out, 'k_ppm');
    expect(new Set(k.filter(Number.isFinite))).toEqual(new Set([120, 240]));
    expect(k[cellAt(out.grid.lattice, place(-100, 0))]).toBe(120);
    expect(k[cellAt(out.grid.lattice, place(100, 0))]).toBe(240);
    expect(layer(out, 'kSat_pct')[cellAt(out.grid.lattice, place(100, 0))]).toBeCloseTo((100 * 240) / 390.98 / 20, 10);
    expect(out.nearest_m[cellAt(out.grid.lattice, place(100, 0))]).toBe(0);
    expect([out.far_ac, out.errors, out.problems]).toEqual([0, {}, []]);
  });

  test('ground under no zone has no value, and its acres are told', async () => {
    const out = await good(run(soilOf([zone(1, rectangle(-200, -150, 0, 150), 120, 10)], { kind: 'composites' })));
    const bare = cellAt(out.grid.lattice, place(100, 0));
    expect(layer(out, 'k_ppm')[bare]).toBeNaN();
    expect(out.nearest_m[bare]).toBe(Number.POSITIVE_INFINITY);
    // Half of 29.65 ac, to a column of cells.
    expect(out.far_ac).toBeGreaterThan(14);
    expect(out.far_ac).toBeLessThan(14.9);
    expect(out.problems.map((one) => one.code)).toEqual(['surfaces-uncovered']);
  });
});
