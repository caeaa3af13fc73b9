import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { RunHooks } from '../../core/base/hooks.ts';
import { M_PER_FT } from '../../core/base/units.ts';
import { toLocal } from '../../core/geo/frame.ts';
import { cellAt } from '../../core/geo/lattice.ts';
import { outlierProblems, residualsOf } from '../../core/surfaces/residuals.ts';
import {
  MOST_FOR_ALL,
  MOST_FOR_SCAN,
  neighboursFor,
  SCAN_POWERS,
  scanLayers,
  scanProblems,
} from '../../core/surfaces/scan.ts';
import { surfacesSettingsSchema } from '../../core/surfaces/settings.ts';
import type { ErrorScan, LayerError } from '../../core/surfaces/types.ts';
import { deepFreeze } from '../freeze.ts';
import { good, place, rectangle, run, SAMPLES, sample, soilOf } from './field.ts';
import { seeded } from './oracle.ts';

const codes = (problems: readonly { readonly code: string }[]) => problems.map((one) => one.code);

describe('three samples, worked by hand', async () => {
  // In feet: (0, 0) = 100, (300, 0) = 160, (0, 400) = 220 ppm, as in the test of the formula itself.
  const [x, y] = [-50, -50];
  const feet = (px: number, py: number) => place(x + px * M_PER_FT, y + py * M_PER_FT);
  const soil = soilOf([
    sample(2, feet(0, 0), { k_ppm: 100 }),
    sample(3, feet(300, 0), { k_ppm: 160 }),
    sample(4, feet(0, 400), { k_ppm: 220 }),
  ]);
  const out = await good(run(soil));

  test('have the errors and what is left at each of them', () => {
    expect(out.errors.k_ppm?.rmse).toBeCloseTo(74.799, 3);
    expect(out.errors.k_ppm?.mae).toBeCloseTo(68.807, 3);
    const left = out.residuals.k_ppm?.map((one) => one.measured - one.predicted) ?? [];
    expect(left).toHaveLength(3);
    for (const [at, want] of [-81.6, 28.235, 96.585].entries()) expect(left[at]).toBeCloseTo(want, 3);
    // Median 28.235; away from it 109.835, 0 and 68.350, whose median is 68.350.
    for (const [at, want] of [-109.835, 0, 68.35].entries())
      expect(out.residuals.k_ppm?.[at]?.robustZ).toBeCloseTo(want / (1.4826 * 68.35), 4);
    expect(out.residuals.k_ppm?.some((one) => one.outlier)).toBe(false);
  });

  test('are tried with "all" alone, and the entry of power 2 is the error in use', () => {
    const scan = out.scans.k_ppm;
    expect(scan?.entries.map((one) => [one.power, one.neighbours])).toEqual(SCAN_POWERS.map((power) => [power, 0]));
    expect(scan?.entries[2]?.rmse).toBeCloseTo(74.799, 3);
    expect(scan?.mean).toBeCloseTo(160, 10);
    // SD of 100, 160, 220 is 60.
    expect(scan?.cv_pct).toBeCloseTo(37.5, 10);
  });

  test('stand for 9.88 ac each, with the farthest spot in the corner across', () => {
    expect(out.density.samples).toBe(3);
    expect(out.density.acresPerSample).toBeCloseTo((400 * 300) / 4046.8564224 / 3, 3);
    // The nearest sample of the south-eastern corner is the second, at (41.4, -50).
    const [cx = 0, cy = 0] = toLocal(out.grid.frame, out.density.farthest?.at ?? [0, 0]);
    expect(Math.abs(cx - 200)).toBeLessThan(10);
    expect(Math.abs(Math.abs(cy) - 150)).toBeLessThan(10);
    expect(out.density.farthest?.distance_m).toBeCloseTo(Math.max(...out.nearest_m.filter(Number.isFinite)), 6);
    expect(codes(out.problems)).toContain('surfaces-sparse');
  });

  test('have the triangle between them inside, to a cell', () => {
    const inside_m2 = (300 * M_PER_FT * 400 * M_PER_FT) / 2;
    expect(out.outsideHull_ac).toBeGreaterThan((400 * 300 - inside_m2) / 4046.8564224 - 0.3);
    expect(out.outsideHull_ac).toBeLessThan((400 * 300 - inside_m2) / 4046.8564224 + 0.3);
    const marked = (px: number, py: number) => out.outsideHull[cellAt(out.grid.lattice, place(x + px, y + py))];
    expect([marked(30, 30), marked(80, 90), marked(-20, 30)]).toEqual([0, 1, 1]);
    expect(out.problems.find((one) => one.code === 'surfaces-outside-hull')?.severity).toBe('note');
  });
});

describe('errors over settings', () => {
  test('are of the counts below the samples, then all; the best is the first of the least', async () => {
    expect(neighboursFor(20)).toEqual([4, 6, 8, 12, 16, 0]);
    expect(neighboursFor(13)).toEqual([4, 6, 8, 0]);
    expect(neighboursFor(MOST_FOR_ALL + 1)).toEqual([4, 6, 8, 12, 16, 24]);
    const out = await good(run(soilOf(SAMPLES)));
    expect(Object.keys(out.scans).sort()).toEqual(Object.keys(out.errors).sort());
    for (const scan of Object.values(out.scans)) {
      expect(scan.entries.map((one) => [one.neighbours, one.power])).toEqual(
        neighboursFor(20).flatMap((count) => SCAN_POWERS.map((power) => [count, power])),
      );
      const least = Math.min(...scan.entries.map((one) => one.rmse));
      expect(scan.best).toBe(scan.entries.findIndex((one) => one.rmse === least));
    }
  });

  test.each([
    { power: 2, neighbours: 12, radius_m: null },
    { power: 3.5, neighbours: 0, radius_m: null },
    { power: 1, neighbours: 4, radius_m: 95 },
  ])('hold the error of the setting in use: %o', async (way) => {
    const out = await good(run(soilOf(SAMPLES), way));
    for (const id of ['k_ppm', 'cec_meq', 'ph'] as const) {
      const entry = out.scans[id]?.entries.find((one) => one.power === way.power && one.neighbours === way.neighbours);
      expect(entry?.rmse).toBeCloseTo(out.errors[id]?.rmse ?? Number.NaN, 9);
      expect(entry?.mae).toBeCloseTo(out.errors[id]?.mae ?? Number.NaN, 9);
      expect(out.scans[id]?.samples).toBe(out.errors[id]?.samples);
    }
  });

  test('do not depend on the pieces they are worked in', () => {
    const random = seeded(11);
    const column = () => Float64Array.from({ length: 60 }, () => 100 * random());
    const [x, y, z] = [column(), column(), column()];
    const [whole, inOnes] = [scanLayers(x, y, [z], null), scanLayers(x, y, [z], null)];
    whole.step(0, 60);
    for (let at = 0; at < 60; at++) inOnes.step(at, at + 1);
    expect(inOnes.scans()).toEqual(whole.scans());
    expect(whole.pieces.at(0)?.[0]).toBe(0);
    expect(whole.pieces.at(-1)?.[1]).toBe(60);
  });

  const scan = (best_rmse: number, cv_pct: number): ErrorScan => ({
    samples: 20,
    mean: 100,
    cv_pct,
    entries: [{ power: 3, neighbours: 6, rmse: best_rmse, mae: 5 }],
    best: 0,
  });
  const inUse: LayerError = { samples: 20, rmse: 10, mae: 7, meanRmse: 20 };
  const settings = surfacesSettingsSchema.parse({});
  const said = (best_rmse: number, cv_pct: number, samples = 20) =>
    scanProblems(
      deepFreeze({ errors: { k_ppm: inUse }, scans: { k_ppm: scan(best_rmse, cv_pct) } }),
      settings,
      samples,
    );

  test('a better setting is said from 5 % less error on, with both errors', () => {
    expect(said(9.6, 10)).toEqual([]);
    expect(said(9.4, 10)).toMatchObject([{ code: 'surfaces-better-setting', severity: 'note' }]);
    expect(said(9.4, 10)[0]?.detail).toBe(
      'Potassium: RMSE 9.4 ppm with power 3 and 6 neighbours, 10.0 ppm with power 2 and 12 neighbours.',
    );
  });

  test('a CV above 25 % is a caution where the setting in use is not the one, else a note, with both sources', () => {
    expect(said(9.9, 25)).toEqual([]);
    expect(said(9.9, 26)).toMatchObject([{ code: 'surfaces-high-cv', severity: 'note' }]);
    const [, caution] = said(9, 60);
    expect(caution).toMatchObject({ code: 'surfaces-high-cv', severity: 'caution' });
    expect(caution?.message).toContain('Potassium (60 %)');
    expect(caution?.detail).toMatch(/Gotway et al\. 1996.*Kravchenko and Bullock 1999/);
  });

  test('what was not tried for the number of samples is said', () => {
    expect(said(9.9, 10, MOST_FOR_ALL)).toEqual([]);
    expect(said(9.9, 10, MOST_FOR_ALL + 1)[0]?.message).toContain('"all samples" was not among');
    expect(said(9.9, 10, MOST_FOR_SCAN + 1)[0]?.message).toContain('no other power');
  });

  test('a no cancels between pieces', async () => {
    let asked = 0;
    const hooks: RunHooks = { goOn: async () => ++asked < 4 };
    await expect(run(soilOf(SAMPLES), {}, hooks)).rejects.toThrow();
    expect(asked).toBe(4);
  });
});

describe('what is left at each sample', () => {
  /** A slope from west to east, 100 to 200 ppm, on a 5 x 4 grid, with a little unrest. */
  const slope = SAMPLES.map((one, at) => ({ ...one, k_ppm: 100 + 25 * (at % 5) + ((at * 7) % 3) }));
  const swapped = slope.map((one, at) => (at === 11 ? { ...one, k_ppm: 330 } : one));

  test('a sample that its neighbours do not bear out is an outlier, with its row and both values', async () => {
    expect((await good(run(soilOf(slope), { neighbours: 4 }))).residuals.k_ppm?.filter((one) => one.outlier)).toEqual(
      [],
    );
    const out = await good(run(soilOf(swapped), { neighbours: 4 }));
    const outliers = out.residuals.k_ppm?.filter((one) => one.outlier) ?? [];
    // Its neighbours' predictions are thrown off by it, and they are not blamed for that.
    expect(Math.abs(out.residuals.k_ppm?.[10]?.robustZ ?? 0)).toBeGreaterThan(3.5);
    expect(outliers).toHaveLength(1);
    expect(outliers[0]).toMatchObject({ id: '13', row: 13, file: 'lab.csv', measured: 330, outlier: true });
    expect(outliers[0]?.robustZ).toBeGreaterThan(3.5);
    const [note] = out.problems.filter((one) => one.code === 'surfaces-outlier');
    expect(note).toMatchObject({ severity: 'note', at: { file: 'lab.csv', row: 13 } });
    expect(note?.message).toBe(
      `Sample 13 is not what its neighbours say: Potassium 330 ppm, the others give ${outliers[0]?.predicted.toFixed(0)}.`,
    );
  });

  /** Predictions as told, the same at a second look. */
  const row = (measured: readonly number[], predicted: readonly number[]) =>
    residualsOf(
      measured.map((_none, at) => sample(at + 2, place(0, 0))),
      Float64Array.from(measured),
      Float64Array.from(predicted),
      (_from, at) => Float64Array.from(at, (i) => predicted[i] ?? Number.NaN),
    );

  test('under 8 samples, on an even field and where half agree exactly there is none', () => {
    const [measured, given] = [
      [10, 11, 9, 10, 12, 8, 90],
      [11, 10, 10, 11, 11, 10, 10],
    ];
    expect(row(measured ?? [], given ?? []).some((one) => one.outlier)).toBe(false);
    expect(row([...(measured ?? []), 10], [...(given ?? []), 11]).filter((one) => one.outlier)).toHaveLength(1);
    // Values from 100 to 200 that the others give to a hair, but for one that is 3 off: far in z, nothing in the field.
    const even = Array.from({ length: 11 }, (_none, at) => 100 + 10 * at);
    const near = even.map((value, at) => value + (at === 5 ? 3 : (at % 3) / 10));
    const said = row(even, near);
    expect(Math.abs(said[5]?.robustZ ?? 0)).toBeGreaterThan(3.5);
    expect(said.some((one) => one.outlier)).toBe(false);
    expect(row([1, 1, 1, 1, 1, 1, 1, 9], [1, 1, 1, 1, 1, 1, 1, 1]).map((one) => one.robustZ)).toEqual(
      new Array(8).fill(0),
    );
  });

  test('units and level do not matter to it', () => {
    const value = fc.integer({ min: -100, max: 100 });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(value, value), { minLength: 8, maxLength: 30 }),
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: -500, max: 500 }),
        (pairs, times, plus) => {
          const own = row(
            pairs.map(([m]) => m),
            pairs.map(([, p]) => p),
          );
          const other = row(
            pairs.map(([m]) => m * times + plus),
            pairs.map(([, p]) => p * times + plus),
          );
          const apart = own.map((one, at) => Math.abs((other[at]?.robustZ ?? Number.NaN) - one.robustZ));
          expect(Math.max(...apart)).toBeLessThan(1e-9);
          // Half the standard deviation is met exactly only by chance of whole numbers; rounding decides there.
          expect(other.map((one) => one.outlier)).toEqual(own.map((one) => one.outlier));
        },
      ),
    );
  });

  test('at most 50 samples are said, the farthest off first, and how many more there are', () => {
    const flagged = Array.from({ length: 60 }, (_none, at) => ({
      id: `S${at}`,
      file: 'lab.csv',
      row: at + 2,
      measured: 300 + at,
      predicted: 100,
      robustZ: 4 + at,
      outlier: true,
    }));
    const problems = outlierProblems(deepFreeze({ k_ppm: flagged, ph: flagged.slice(0, 3) }));
    expect(problems).toHaveLength(51);
    expect(problems[0]?.message).toContain('S59');
    expect(problems[50]).toMatchObject({
      code: 'surfaces-outliers-more',
      message: '10 more samples are not what their neighbours say.',
    });
    const both = outlierProblems(deepFreeze({ k_ppm: flagged.slice(0, 1), ph: flagged.slice(0, 1) }));
    expect(both).toHaveLength(1);
    expect(both[0]?.message).toContain('; Soil pH 300.0');
  });
});

describe('density and the ground outside', () => {
  test('a sample for every 2.5 ac is as usual, and said to be sparse from a tenth above', async () => {
    // 29.65 ac: 12 samples are one for 2.47 ac, 10 one for 2.97.
    expect(codes((await good(run(soilOf(SAMPLES.slice(0, 12))))).problems)).not.toContain('surfaces-sparse');
    const sparse = await good(run(soilOf(SAMPLES.slice(0, 10))));
    expect(sparse.density.acresPerSample).toBeCloseTo(2.965, 2);
    expect(sparse.problems.find((one) => one.code === 'surfaces-sparse')?.message).toContain('stands for 3.0 ac');
  });

  test('composites stand for their share and nothing lies outside', async () => {
    const out = await good(
      run(
        soilOf(
          [
            sample(2, place(-100, 0), { polygons: rectangle(-200, -150, 0, 150) }),
            sample(3, place(100, 0), { polygons: rectangle(0, -150, 200, 150) }),
          ],
          { kind: 'composites' },
        ),
      ),
    );
    expect(out.density).toMatchObject({ samples: 2, farthest: null });
    expect(out.density.acresPerSample).toBeCloseTo(14.826, 2);
    expect(out.outsideHull.some((mark) => mark !== 0)).toBe(false);
    expect([out.outsideHull_ac, out.scans, out.residuals, out.methods]).toEqual([0, {}, {}, {}]);
  });
});
