import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ErrorScan } from '../../core/surfaces/types.ts';
import { asGood, bestPoint, errorAt, errorFrame, errorLines, spaced } from '../../renderer/charts/error-plot.ts';
import { deepFreeze } from '../freeze.ts';

/** Powers 1, 2, 3 for 6 neighbours and for all: RMSE falls, then rises. */
const scan: ErrorScan = deepFreeze({
  samples: 60,
  mean: 150,
  cv_pct: 40,
  entries: [
    { power: 1, neighbours: 6, rmse: 30, mae: 20 },
    { power: 2, neighbours: 6, rmse: 24, mae: 18 },
    { power: 3, neighbours: 6, rmse: 26, mae: 17 },
    { power: 1, neighbours: 0, rmse: 60, mae: 50 },
    { power: 2, neighbours: 0, rmse: 40, mae: 30 },
    { power: 3, neighbours: 0, rmse: 24.4, mae: 19 },
  ],
  best: 1,
});

describe('error lines', () => {
  it('are one a neighbour count, in the order of the scan, with every entry on one of them', () => {
    const lines = errorLines(scan, 'rmse');
    expect(lines.map((line) => line.neighbours)).toEqual([6, 0]);
    expect(lines.flatMap((line) => line.points.map((point) => point.index)).sort()).toEqual([0, 1, 2, 3, 4, 5]);
  });

  it('have the least of the measure that is shown', () => {
    expect(bestPoint(scan, 'rmse')).toMatchObject({ index: 1, error: 24 });
    expect(bestPoint(scan, 'mae')).toMatchObject({ power: 3, neighbours: 6, error: 17 });
  });

  it('count the settings that come within a share of the least', () => {
    expect(asGood(scan, 'rmse', 0.02)).toBe(2);
    expect(asGood(scan, 'rmse', 0)).toBe(1);
    expect(asGood(scan, 'rmse', 10)).toBe(6);
  });

  it('are read between their points as they are drawn, and nowhere beyond', () => {
    const [line] = errorLines(scan, 'rmse');
    if (!line) throw new Error('there is a first line');
    expect(errorAt(line, 2)).toBe(24);
    expect(errorAt(line, 1.5)).toBe(27);
    expect(errorAt(line, 0.9)).toBeNaN();
    expect(errorAt(line, 3.1)).toBeNaN();
  });
});

describe('the frame', () => {
  it('holds every point, the setting in use and the line to beat', () => {
    const lines = errorLines(scan, 'rmse');
    const frame = errorFrame(400, 232, lines, [5], [72]);
    for (const { power, error } of [...lines.flatMap((line) => line.points), { power: 5, error: 72 }]) {
      expect(frame.x(power)).toBeGreaterThanOrEqual(frame.left);
      expect(frame.x(power)).toBeLessThanOrEqual(frame.left + frame.width);
      expect(frame.y(error)).toBeGreaterThanOrEqual(frame.top);
      expect(frame.y(error)).toBeLessThanOrEqual(frame.top + frame.height);
    }
    expect(frame.y(0)).toBe(frame.top + frame.height);
  });

  it('is sound where every error is 0', () => {
    const flat = { ...scan, entries: scan.entries.map((entry) => ({ ...entry, rmse: 0 })) };
    expect(Number.isFinite(errorFrame(400, 232, errorLines(flat, 'rmse'), [], []).y(0))).toBe(true);
  });
});

describe('names beside one another', () => {
  it('keep their order and their distance, and none falls below the plot', () => {
    const heights = fc.array(fc.double({ min: 0, max: 200, noNaN: true }), { minLength: 1, maxLength: 8 });
    fc.assert(
      fc.property(heights, (wanted) => {
        const placed = spaced(wanted, 13, 200);
        expect(placed).toHaveLength(wanted.length);
        for (const y of placed) expect(y).toBeLessThanOrEqual(200);
        for (let i = 0; i < wanted.length; i++)
          for (let j = 0; j < wanted.length; j++) {
            const [a, b] = [placed[i] ?? 0, placed[j] ?? 0];
            if ((wanted[i] ?? 0) < (wanted[j] ?? 0)) expect(a).toBeLessThan(b);
            if (i !== j) expect(Math.abs(a - b)).toBeGreaterThan(13 - 1e-9);
          }
      }),
    );
  });
});
