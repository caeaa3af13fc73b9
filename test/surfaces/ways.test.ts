import { describe, expect, test } from 'vitest';
import { toLocal } from '../../core/geo/frame.ts';
import { cellAt, cellCentre } from '../../core/geo/lattice.ts';
import { FACTORS } from '../../core/soil/chemistry.ts';
import { surfacesSettingsSchema } from '../../core/surfaces/settings.ts';
import { wayOf, wayText } from '../../core/surfaces/ways.ts';
import { FRAME, good, layer, place, rectangle, run, SAMPLES, sample, soilOf } from './field.ts';
import { textbook } from './oracle.ts';

const xy = SAMPLES.map((one) => toLocal(FRAME, one.at));
const [x, y] = [xy.map(([px]) => px), xy.map(([, py]) => py)];
const codes = (problems: readonly { readonly code: string }[]) => problems.map((one) => one.code);

describe('a way for each quantity', () => {
  const settings = {
    power: 2,
    neighbours: 12,
    radius_m: 200,
    ways: { k_ppm: { power: 3, neighbours: 5 }, ph: { radius_m: null }, mg_ppm: { neighbours: 0 } },
  };

  test('is its own where it says so and the common one elsewhere; no limit is a radius too', () => {
    const parsed = surfacesSettingsSchema.parse(settings);
    expect(wayOf(parsed, 'k_ppm')).toEqual({ power: 3, neighbours: 5, radius_m: 200 });
    expect(wayOf(parsed, 'ph')).toEqual({ power: 2, neighbours: 12, radius_m: null });
    expect(wayOf(parsed, 'cec_meq')).toEqual({ power: 2, neighbours: 12, radius_m: 200 });
    expect(wayText({ power: 2, neighbours: 1, radius_m: null }, 20)).toBe('inverse distance, power 2, 1 neighbour');
  });

  test('makes its surface, its errors and its words', async () => {
    const out = await good(run(soilOf(SAMPLES), settings));
    const cell = cellAt(out.grid.lattice, place(33, -41));
    const [px, py] = toLocal(out.grid.frame, cellCentre(out.grid.lattice, cell));
    const want = (z: readonly number[], power: number, k: number, radius: number) =>
      textbook(x, y, z, px, py, power, k, -1, radius);
    const k = SAMPLES.map((one) => one.k_ppm);
    expect(layer(out, 'k_ppm')[cell]).toBeCloseTo(want(k, 3, 5, 200), 6);
    const cec = SAMPLES.map((one) => one.cec_meq);
    expect(layer(out, 'cec_meq')[cell]).toBeCloseTo(want(cec, 2, 12, 200), 6);
    const ph = SAMPLES.map((one) => one.ph);
    expect(layer(out, 'ph')[cell]).toBeCloseTo(want(ph, 2, 12, Number.POSITIVE_INFINITY), 6);
    const off = SAMPLES.map((one, at) => textbook(x, y, k, x[at] ?? 0, y[at] ?? 0, 3, 5, at, 200) - one.k_ppm);
    expect(out.errors.k_ppm?.rmse).toBeCloseTo(Math.sqrt(off.reduce((sum, e) => sum + e * e, 0) / 20), 6);
    expect(out.method).toBe('inverse distance, power 2, 12 neighbours, within 200 m');
    expect(out.methods).toEqual({
      k_ppm: 'inverse distance, power 3, 5 neighbours, within 200 m',
      mg_ppm: 'inverse distance, power 2, all 20 samples, within 200 m',
      ph: 'inverse distance, power 2, 12 neighbours',
    });
  });

  test('the common settings alone differ in nothing', async () => {
    expect((await good(run(soilOf(SAMPLES)))).methods).toEqual({});
  });
});

describe('a radius', () => {
  // Three samples at the west end of 400 m x 300 m.
  const west = [-140, 0, 140].map((py, n) => sample(n + 2, place(-200, py)));

  test('leaves cells without a sample in it empty, and says how many acres of which layers', async () => {
    const out = await good(run(soilOf(west), { radius_m: 150 }));
    let [without_m2, wrong] = [0, 0];
    out.grid.cover_m2.forEach((ground_m2, cell) => {
      if (ground_m2 === 0) return;
      const near = (out.nearest_m[cell] ?? Number.NaN) <= 150;
      if (Number.isNaN(layer(out, 'k_ppm')[cell]) === near) wrong++;
      if (Number.isNaN(layer(out, 'kSat_pct')[cell]) === near) wrong++;
      if (!near) without_m2 += ground_m2;
    });
    expect(wrong).toBe(0);
    const [problem] = out.problems.filter((one) => one.code === 'surfaces-radius');
    expect(problem).toMatchObject({ severity: 'caution', at: { setting: 'surfaces.radius_m' } });
    expect(problem?.message).toBe(
      `${(without_m2 / 4046.8564224).toFixed(2)} ac have no sample within 150 m (492 ft) and so no value of Potassium, CEC, Calcium, Magnesium and Soil pH.`,
    );
    expect(without_m2 / 4046.8564224).toBeGreaterThan(14);
  });

  test('of one quantity is told with that quantity alone; a wide one says nothing', async () => {
    const own = await good(run(soilOf(west), { ways: { ph: { radius_m: 150 } } }));
    const told = own.problems.filter((one) => one.code === 'surfaces-radius');
    expect(told).toHaveLength(1);
    expect(told[0]).toMatchObject({ at: { setting: 'surfaces.ways.ph.radius_m' } });
    expect(told[0]?.message).toMatch(/no value of Soil pH\.$/);
    expect(layer(own, 'k_ppm').some((value, cell) => (own.grid.cover_m2[cell] ?? 0) > 0 && Number.isNaN(value))).toBe(
      false,
    );
    expect(codes((await good(run(soilOf(west), { radius_m: 1000 }))).problems)).not.toContain('surfaces-radius');
  });

  test('below the distance between samples leaves nothing predicted, and no error is made up', async () => {
    const out = await good(run(soilOf(west), { radius_m: 100 }));
    expect([out.errors, out.scans]).toEqual([{}, {}]);
    expect(out.residuals.k_ppm?.map((one) => [one.predicted, one.outlier])).toEqual(
      new Array(3).fill([Number.NaN, false]),
    );
  });
});

describe('what follows from the cations', () => {
  test('Ca + Mg share and K:Mg of a sample, by both sets of factors, beside points and under composites', async () => {
    // K 195.49, Ca 1202.34, Mg 182.295 ppm at CEC 10: 0.5, 6 and 1.5 meq by the exact factors.
    const values = { k_ppm: 195.49, ca_ppm: 1202.34, mg_ppm: 182.295, cec_meq: 10 };
    const points = [place(-100, -50), place(100, -50), place(0, 90)].map((at, n) => sample(n + 2, at, values));
    const composites = [sample(2, place(0, 0), { ...values, polygons: rectangle(-200, -150, 200, 150) })];
    for (const soil of [soilOf(points), soilOf(composites, { kind: 'composites' })]) {
      const out = await good(run(soil));
      const cell = cellAt(out.grid.lattice, place(50, 20));
      expect(layer(out, 'caMgShare_pct')[cell]).toBeCloseTo(75, 10);
      expect(layer(out, 'kMg_ratio')[cell]).toBeCloseTo(1 / 3, 10);
    }
    const { k, ca, mg } = FACTORS.rounded;
    const rounded = await good(run(soilOf(points, { factors: 'rounded' })));
    const cell = cellAt(rounded.grid.lattice, place(50, 20));
    expect(layer(rounded, 'caMgShare_pct')[cell]).toBeCloseTo((100 * (1202.34 / ca + 182.295 / mg)) / 10, 10);
    expect(layer(rounded, 'kMg_ratio')[cell]).toBeCloseTo(195.49 / k / (182.295 / mg), 10);
  });

  test('is NaN where a part is missing, and absent where it is nowhere', async () => {
    const zones = [
      sample(2, place(-100, 0), { polygons: rectangle(-200, -150, 0, 150), mg_ppm: 0 }),
      sample(3, place(100, 0), { polygons: rectangle(0, -150, 200, 150), ca_ppm: Number.NaN }),
    ];
    const out = await good(run(soilOf(zones, { kind: 'composites' })));
    const at = (px: number) => cellAt(out.grid.lattice, place(px, 0));
    expect(layer(out, 'kMg_ratio')[at(-100)]).toBeNaN();
    expect(layer(out, 'kMg_ratio')[at(100)]).toBeGreaterThan(0);
    expect(layer(out, 'caMgShare_pct')[at(100)]).toBeNaN();
    expect(layer(out, 'caMgShare_pct')[at(-100)]).toBeGreaterThan(0);
    const noMg = await good(run(soilOf(SAMPLES.map((one) => ({ ...one, mg_ppm: Number.NaN })))));
    expect([noMg.layers.caMgShare_pct, noMg.layers.kMg_ratio]).toEqual([undefined, undefined]);
  });
});

describe('K saturation', () => {
  const withOwn = SAMPLES.map((one, at) => ({ ...one, saturation: { ...one.saturation, k_pct: 2 + (at % 7) / 2 } }));

  test('interpolated itself comes from the samples’ own, with its error and scan, and is named', async () => {
    const out = await good(run(soilOf(withOwn), { saturation: 'interpolated itself' }));
    const cell = cellAt(out.grid.lattice, place(33, -41));
    const [px, py] = toLocal(out.grid.frame, cellCentre(out.grid.lattice, cell));
    const k_pct = withOwn.map((one) => one.saturation.k_pct);
    expect(layer(out, 'kSat_pct')[cell]).toBeCloseTo(textbook(x, y, k_pct, px, py, 2, 12), 6);
    expect(out.errors.kSat_pct?.samples).toBe(20);
    expect(out.scans.kSat_pct?.entries.length).toBe(out.scans.k_ppm?.entries.length);
    expect(out.method).toBe('inverse distance, power 2, 12 neighbours; K saturation interpolated itself');
    // The others still follow from the cell's own.
    expect(layer(out, 'caSat_pct')[cell]).toBeCloseTo(
      (100 * (layer(out, 'ca_ppm')[cell] ?? 0)) / 200.39 / (layer(out, 'cec_meq')[cell] ?? 0),
      10,
    );
    const way = await good(
      run(soilOf(withOwn), { saturation: 'interpolated itself', ways: { kSat_pct: { power: 4 } } }),
    );
    expect(way.methods).toEqual({ kSat_pct: 'inverse distance, power 4, 12 neighbours' });
  });

  test('by default is of K and CEC: no error of its own, its way unused', async () => {
    const out = await good(run(soilOf(withOwn), { ways: { kSat_pct: { power: 4 } } }));
    expect([out.errors.kSat_pct, out.scans.kSat_pct, out.residuals.kSat_pct]).toEqual([
      undefined,
      undefined,
      undefined,
    ]);
    expect(out.methods).toEqual({});
  });

  test('asked for itself where too few samples have it is worked out from K and CEC, and that is said', async () => {
    const bare = SAMPLES.map((one) => ({ ...one, saturation: { ...one.saturation, k_pct: Number.NaN } }));
    const out = await good(run(soilOf(bare), { saturation: 'interpolated itself' }));
    expect(out.layers.kSat_pct).toBeDefined();
    expect(out.method).toBe('inverse distance, power 2, 12 neighbours');
    const [told] = out.problems.filter((one) => one.code === 'surfaces-layer-few');
    expect(told?.message).toContain('K saturation was measured at 0 of 20');
    expect(told).toMatchObject({ severity: 'caution', at: { setting: 'surfaces.saturation' } });
  });
});
