import { M2_PER_ACRE } from '../../core/base/units.ts';
import { niceStep, spread } from '../charts/scales.ts';
import type { LayerPair, PairSpan } from './protocol.ts';

const MOST_POINTS = 3000;
const SPANS = 10;

/**
 * What a plot of two layers draws: at most 3,000 cells that have both, spread evenly and always the same ones, and equal round spans of
 * the first layer with their acres and the second's mean, each cell counting by its ground. Cost: cells.
 */
export function pairOf(a: Float64Array, b: Float64Array, cover_m2: Float64Array): Pick<LayerPair, 'points' | 'spans'> {
  const cells: number[] = [];
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let cell = 0; cell < a.length; cell++) {
    const value = a[cell]!;
    if (!(cover_m2[cell]! > 0) || !Number.isFinite(value) || !Number.isFinite(b[cell]!)) continue;
    cells.push(cell);
    if (value < low) low = value;
    if (value > high) high = value;
  }
  const chosen = spread(cells.length, MOST_POINTS);
  const points = new Float64Array(chosen.length * 2);
  chosen.forEach((place, i) => {
    points[2 * i] = a[cells[place]!]!;
    points[2 * i + 1] = b[cells[place]!]!;
  });
  return { points, spans: cells.length === 0 ? [] : spansOf(a, b, cover_m2, cells, low, high) };
}

function spansOf(
  a: Float64Array,
  b: Float64Array,
  cover_m2: Float64Array,
  cells: readonly number[],
  low: number,
  high: number,
): readonly PairSpan[] {
  const limits = roundLimits(low, high, SPANS);
  const step = limits[1]! - limits[0]!;
  const ground = new Float64Array(limits.length - 1);
  const sum = new Float64Array(limits.length - 1);
  for (const cell of cells) {
    const at = Math.min(ground.length - 1, Math.max(0, Math.floor((a[cell]! - limits[0]!) / step)));
    ground[at]! += cover_m2[cell]!;
    sum[at]! += cover_m2[cell]! * b[cell]!;
  }
  return Array.from(ground, (area, i) => ({
    from: limits[i]!,
    to: limits[i + 1]!,
    acres: area / M2_PER_ACRE,
    mean: area > 0 ? sum[i]! / area : Number.NaN,
  }));
}

/** Rising round limits of equal spans, about `most` of them, that hold everything from `low` to `high`. */
export function roundLimits(low: number, high: number, most: number): number[] {
  const size = Math.max(Math.abs(low), Math.abs(high));
  const flat = high - low <= Math.max(1e-9 * size, 1e-12);
  const step = niceStep(flat ? (size > 1e-9 ? size : 1) : high - low, most);
  const first = Math.floor(low / step + 1e-9);
  const last = Math.max(first + 1, Math.ceil(high / step - 1e-9));
  return Array.from({ length: last - first + 1 }, (_, i) => Number(((first + i) * step).toPrecision(12)));
}
