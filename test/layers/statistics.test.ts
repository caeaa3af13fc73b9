import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { M2_PER_ACRE } from '../../core/base/units.ts';
import { correlate } from '../../core/layers/correlation.ts';
import { histogram, layerStats } from '../../core/layers/statistics.ts';
import { statsByLabel } from '../../core/zones/stats.kernel.ts';

const f64 = (...values: readonly number[]) => Float64Array.from(values);
const ones = (n: number) => new Float64Array(n).fill(1);

// Sixty values, values with ties and weights 1 to 9 that any program can make again; figures below by numpy 2.4.6 and scipy 1.17.1.
const N = 60;
const a = Float64Array.from({ length: N }, (_, i) => (i * 7919) % 1013);
const b = Float64Array.from({ length: N }, (_, i) => Math.floor(((i * 7919) % 1013) / 100) + ((i * 37) % 11));
const w = Float64Array.from({ length: N }, (_, i) => 1 + ((i * 13) % 9));

describe('statistics of a layer', () => {
  it('are those of numpy for plain and for whole weights', () => {
    // np.quantile(..., method='averaged_inverted_cdf'), the weights by repeating each value.
    const plain = layerStats(a, ones(N));
    expect(plain).toMatchObject({ p5: 65.5, p20: 232.5, median: 523.5, p80: 814.5, p95: 981.5 });
    const stats = layerStats(a, w);
    expect(stats).toMatchObject({ p5: 61, p20: 264, median: 572, p80: 854, p95: 995, min: 0, max: Math.max(...a) });
    expect(stats?.mean).toBeCloseTo(550.0866666666667, 10);
    expect(stats?.sd).toBeCloseTo(288.181226237164, 10);
    expect(stats?.cv_pct).toBeCloseTo((100 * 288.181226237164) / 550.0866666666667, 10);
    expect(stats?.known_ac).toBeCloseTo(w.reduce((sum, one) => sum + one, 0) / M2_PER_ACRE, 12);
  });

  it('leave out ground without a value and cells without ground', () => {
    const stats = layerStats(f64(1, Number.NaN, 3, 99), f64(100, 100, 300, 0));
    expect(stats).toMatchObject({ mean: 2.5, min: 1, max: 3, median: 3, known_ac: 400 / M2_PER_ACRE });
    expect(layerStats(f64(Number.NaN, 4), f64(1, 0))).toBeNull();
    expect(() => layerStats(f64(1), f64(1, 2))).toThrow('1 values for 2 cells');
  });

  it('agree with the zones’ own, for one zone of everything', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.tuple(fc.double({ min: -1e4, max: 1e4, noNaN: true }), fc.double({ min: 0.1, max: 100, noNaN: true })),
          {
            minLength: 1,
            maxLength: 60,
          },
        ),
        (cells) => {
          const values = Float64Array.from(cells, ([value]) => value);
          const cover = Float64Array.from(cells, ([, ground]) => ground);
          const stats = layerStats(values, cover);
          const zone = statsByLabel(values, new Int16Array(values.length).fill(1), cover, 1)[1];
          for (const figure of ['mean', 'sd', 'min', 'p20', 'median', 'max', 'known_ac'] as const)
            expect(stats?.[figure]).toBe(zone?.[figure]);
          expect(stats && stats.p5 <= stats.p20 && stats.p20 <= stats.median && stats.p80 <= stats.p95).toBe(true);
        },
      ),
    );
  });
});

describe('the histogram', () => {
  it('is that of numpy, with what lies outside it', () => {
    const { acres, below_ac, above_ac } = histogram(a, w, [100, 300, 500, 900]);
    expect(acres.map((one) => Math.round(one * M2_PER_ACRE * 1e6) / 1e6)).toEqual([48, 58, 122]);
    expect(below_ac * M2_PER_ACRE).toBeCloseTo(24, 9);
    expect(above_ac * M2_PER_ACRE).toBeCloseTo(48, 9);
  });

  it('puts a value on a limit above it, and one on the last limit in the last class', () => {
    const { acres, below_ac, above_ac } = histogram(f64(0, 1, 2, 3), f64(1, 2, 4, 8), [1, 2, 3]);
    expect([below_ac, ...acres, above_ac].map((one) => Math.round(one * M2_PER_ACRE))).toEqual([1, 2, 12, 0]);
  });

  it('loses no ground', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -10, max: 10, noNaN: true }), { minLength: 1, maxLength: 50 }),
        fc.uniqueArray(fc.double({ min: -12, max: 12, noNaN: true }), { minLength: 2, maxLength: 8 }),
        (values, limits) => {
          const made = histogram(
            f64(...values),
            ones(values.length),
            limits.toSorted((x, y) => x - y),
          );
          const all = made.acres.reduce((sum, one) => sum + one, made.below_ac + made.above_ac);
          expect(all * M2_PER_ACRE).toBeCloseTo(values.length, 9);
        },
      ),
    );
  });

  it('refuses limits that do not rise', () => {
    expect(() => histogram(a, w, [1, 1])).toThrow('must rise');
    expect(() => histogram(a, w, [1])).toThrow('must rise');
  });
});

describe('correlation', () => {
  // F. J. Anscombe, Graphs in Statistical Analysis, The American Statistician 27 (1973): all four have r = 0.816.
  const x = f64(10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5);
  it.each([
    [x, f64(8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68)],
    [x, f64(9.14, 8.14, 8.74, 8.77, 9.26, 8.1, 6.13, 3.1, 9.13, 7.26, 4.74)],
    [x, f64(7.46, 6.77, 12.74, 7.11, 7.81, 8.84, 6.08, 5.39, 8.15, 6.42, 5.73)],
    [f64(8, 8, 8, 8, 8, 8, 8, 19, 8, 8, 8), f64(6.58, 5.76, 7.71, 8.84, 8.47, 7.04, 5.25, 12.5, 5.56, 7.91, 6.89)],
  ])('of Anscombe’s quartet is 0.816', (one, other) => {
    const { n, pearson } = correlate(one, other, ones(11));
    expect(n).toBe(11);
    expect(Math.abs(pearson - 0.8165)).toBeLessThan(0.001);
  });

  it('is that of scipy, with ties and with weights', () => {
    const plain = correlate(a, b, ones(N));
    expect(plain.pearson).toBeCloseTo(0.49309852251016445, 12);
    expect(plain.spearman).toBeCloseTo(0.5007171042437362, 12);
    const weighted = correlate(a, b, w);
    expect(weighted.pearson).toBeCloseTo(0.4517220789844038, 12);
    expect(weighted.spearman).toBeCloseTo(plain.spearman, 12);
  });

  it('uses the cells that have both and ground', () => {
    const made = correlate(f64(1, 2, 3, Number.NaN, 5), f64(2, 4, 6, 8, Number.NaN), f64(1, 1, 1, 1, 1));
    expect(made).toEqual({ n: 3, pearson: 1, spearman: 1 });
    expect(correlate(f64(1, 2, 9), f64(1, 2, 0), f64(1, 1, 0)).n).toBe(2);
  });

  it('is not a number for a layer that does not vary, or one cell', () => {
    expect(correlate(f64(0.1, 0.1, 0.1), f64(1, 2, 3), ones(3))).toEqual({
      n: 3,
      pearson: Number.NaN,
      spearman: Number.NaN,
    });
    expect(correlate(f64(1), f64(1), ones(1))).toEqual({ n: 1, pearson: Number.NaN, spearman: Number.NaN });
    expect(() => correlate(f64(1), f64(1, 2), ones(2))).toThrow();
  });

  it('does not mind which comes first, scale or order; ranks do not mind a rising curve', () => {
    const pairs = fc.array(fc.tuple(fc.integer({ min: -50, max: 50 }), fc.integer({ min: -50, max: 50 })), {
      minLength: 3,
      maxLength: 40,
    });
    fc.assert(
      fc.property(pairs, (cells) => {
        const one = Float64Array.from(cells, ([value]) => value);
        const other = Float64Array.from(cells, ([, value]) => value);
        const even = ones(cells.length);
        const made = correlate(one, other, even);
        const close = (found: number, wanted: number) =>
          expect(Number.isNaN(wanted) ? Number.isNaN(found) : Math.abs(found - wanted) < 1e-9).toBe(true);
        close(correlate(other, one, even).pearson, made.pearson);
        close(
          correlate(
            one.map((v) => 3 * v + 7),
            other,
            even,
          ).pearson,
          made.pearson,
        );
        close(
          correlate(
            one.map((v) => -v),
            other,
            even,
          ).pearson,
          -made.pearson,
        );
        close(
          correlate(
            one.map((v) => v ** 3),
            other,
            even,
          ).spearman,
          made.spearman,
        );
        close(correlate(one.toReversed(), other.toReversed(), even).spearman, made.spearman);
        expect(Math.abs(made.pearson) > 1 || Math.abs(made.spearman) > 1).toBe(false);
      }),
    );
  });
});
