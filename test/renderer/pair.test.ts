import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { M2_PER_ACRE } from '../../core/base/units.ts';
import { ticksBetween, widened } from '../../renderer/charts/scales.ts';
import { pairOf, roundLimits } from '../../renderer/compute/pair.kernel.ts';

describe('two layers against one another', () => {
  it('spans of the first hold all ground that has both, each with the second’s mean', () => {
    const a = Float64Array.of(1, 2, 11, 12, Number.NaN, 5);
    const b = Float64Array.of(10, 20, 30, 50, 70, Number.NaN);
    const cover = Float64Array.of(1, 3, 1, 1, 9, 9).map((one) => one * M2_PER_ACRE);
    const { spans, points } = pairOf(a, b, cover);
    expect([...points]).toEqual([1, 10, 2, 20, 11, 30, 12, 50]);
    expect(spans.reduce((sum, span) => sum + span.acres, 0)).toBeCloseTo(6, 12);
    // By hand: 10 and 3 x 20 in the spans up to 4, weighed by their ground.
    const upTo4 = spans.filter((span) => span.to <= 4 && span.acres > 0);
    expect(upTo4.reduce((sum, span) => sum + span.acres * span.mean, 0)).toBeCloseTo(70, 12);
  });

  it('nothing known gives nothing', () => {
    const none = pairOf(Float64Array.of(Number.NaN), Float64Array.of(1), Float64Array.of(1));
    expect([none.points.length, none.spans.length]).toEqual([0, 0]);
  });

  it('round limits rise evenly and hold everything', () => {
    const value = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(value, value, (one, other) => {
        const [low, high] = [Math.min(one, other), Math.max(one, other)];
        const limits = roundLimits(low, high, 18);
        const slack = 1e-6 * Math.max(1, Math.abs(low), Math.abs(high));
        expect(limits.length).toBeGreaterThanOrEqual(2);
        expect(limits[0]).toBeLessThanOrEqual(low + slack);
        expect(limits[limits.length - 1]).toBeGreaterThanOrEqual(high - slack);
        for (let i = 1; i < limits.length; i++) expect(limits[i]).toBeGreaterThan(limits[i - 1] ?? 0);
      }),
    );
  });
});

describe('axes that do not begin at 0', () => {
  it('have their ticks inside', () => {
    expect(ticksBetween(12, 47, 5)).toEqual([20, 30, 40]);
    expect(ticksBetween(-1, 1, 5)).toEqual([-1, -0.5, 0, 0.5, 1]);
  });
  it('leave room, but no negative figures where there are none', () => {
    expect(widened([])).toEqual([0, 1]);
    expect(widened([0.1, 10])[0]).toBe(0);
    const [low, high] = widened([5, 5]);
    expect(low).toBeLessThan(5);
    expect(high).toBeGreaterThan(5);
  });
});
