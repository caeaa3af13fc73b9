import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ratesSettingsSchema } from '../../core/rates/settings.ts';
import { freeTicks, MOST_SPECKS, plotFrame, rays, specks } from '../../renderer/charts/plot-frame.ts';
import { binned, niceStep, spread, ticks } from '../../renderer/charts/scales.ts';

const limits = ratesSettingsSchema.parse({});

describe('axes', () => {
  it('step in 1, 2 and 5', () => {
    expect(ticks(480, 6)).toEqual([0, 100, 200, 300, 400]);
    expect(ticks(15, 8)).toEqual([0, 2, 4, 6, 8, 10, 12, 14]);
    expect(ticks(0.3, 3)).toEqual([0, 0.1, 0.2, 0.3]);
  });

  it('make no more steps than asked for, and not far fewer', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-3, max: 1e6, noNaN: true }), fc.integer({ min: 2, max: 20 }), (top, most) => {
        const steps = top / niceStep(top, most);
        expect(steps).toBeLessThanOrEqual(most * (1 + 1e-9));
        expect(steps).toBeGreaterThan(most / 2.6);
      }),
    );
  });

  it('leave a tick out where a grip says the same', () => {
    expect(freeTicks(15, 8, [4, 8, 12], 0.5)).toEqual([0, 2, 6, 10, 14]);
  });
});

describe('a few of many', () => {
  it('takes all where there are few, else an even share, always the same', () => {
    expect(spread(3, 5)).toEqual([0, 1, 2]);
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 300 }), fc.integer({ min: 0, max: 20_000 }), (most, count) => {
        const taken = spread(count, most);
        expect(taken).toEqual(spread(count, most));
        expect(taken.length).toBeLessThanOrEqual(most);
        if (count > most) {
          expect(taken.length).toBeGreaterThanOrEqual(most - 2);
          const gaps = taken.slice(1).map((at, i) => at - (taken[i] ?? 0));
          // Three-distance theorem: gaps of a golden sequence stay within a small multiple of the mean.
          expect(Math.max(...gaps, 0)).toBeLessThanOrEqual((count / most) * 3 + 1);
        }
      }),
    );
  });
});

describe('histogram', () => {
  it('counts by equal spans, the largest value in the last', () => {
    expect(binned([0, 1, 2, 3, 10, Number.NaN], 5)).toEqual({ counts: [2, 2, 0, 0, 1], low: 0, high: 10 });
    expect(binned([7, 7], 3)).toEqual({ counts: [2, 0, 0], low: 7, high: 7 });
    expect(binned([Number.NaN], 3)).toBeNull();
  });
});

describe('the balance plot', () => {
  const cells = {
    k_ppm: Float64Array.from({ length: 50_000 }, (_, i) => (i % 7 === 0 ? Number.NaN : 80 + (i % 400))),
    kSat_pct: Float64Array.from({ length: 50_000 }, (_, i) => 1 + (i % 90) / 10),
    cover_m2: Float64Array.from({ length: 50_000 }, (_, i) => (i % 5 === 0 ? 0 : 100)),
  };
  const samples = [{ id: 'a', k_ppm: 610, kSat_pct: 18 }];

  it('holds every sample and cell, and finds values from places', () => {
    const frame = plotFrame(400, 284, samples, cells, limits);
    expect(frame.most_ppm).toBeGreaterThanOrEqual(610);
    expect(frame.most_pct).toBeGreaterThanOrEqual(18);
    expect(frame.k(frame.x(123))).toBeCloseTo(123, 9);
    expect(frame.sat(frame.y(4.2))).toBeCloseTo(4.2, 9);
  });

  it('draws rays of equal CEC: 4 % at CEC 10 is 156.4 ppm', () => {
    const frame = plotFrame(400, 284, samples, cells, limits);
    const ray = rays(frame, limits).find((one) => one.cec_meq === 10);
    const slope = frame.sat(ray?.to[1] ?? 0) / frame.k(ray?.to[0] ?? 0);
    // Atomic weight of K 39.098: 1 % of 1 meq/100 g is 3.91 ppm.
    expect(slope * 156.4).toBeCloseTo(4, 2);
  });

  it('never draws more specks than it should, and only of ground with both readings', () => {
    const frame = plotFrame(400, 284, samples, cells, limits);
    const drawn = specks(frame, cells).match(/M/g)?.length ?? 0;
    expect(drawn).toBeLessThanOrEqual(MOST_SPECKS);
    expect(drawn).toBeGreaterThan(MOST_SPECKS - 5);
    expect(specks(frame, { ...cells, cover_m2: new Float64Array(50_000) })).toBe('');
    expect(specks(frame, cells)).not.toContain('NaN');
  });
});
