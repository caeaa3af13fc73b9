import { M2_PER_ACRE } from '../base/units.ts';
import { knownCells, quantiles } from './weighted.kernel.ts';

/** How a layer spreads over the ground, each cell counting by the ground that it shares with the field. */
export interface LayerStats {
  readonly mean: number;
  /** Of the ground itself, not of a sample: divided by the weights' sum. */
  readonly sd: number;
  /** Coefficient of variation, 100 x sd / mean; NaN where the mean is 0 or less. */
  readonly cv_pct: number;
  readonly min: number;
  readonly p5: number;
  readonly p20: number;
  readonly median: number;
  readonly p80: number;
  readonly p95: number;
  readonly max: number;
  /** Acres of cells with a value. */
  readonly known_ac: number;
}

/**
 * Area-weighted statistics of a layer over the field; null where no cell with ground has a value.
 *
 * mean = sum(w z) / sum(w); sd = sqrt(sum(w (z - mean)^2) / sum(w)); a quantile q is the least value that q of the known ground
 * does not pass, halfway to the next where it meets q exactly. Cells with NaN or without ground take no part. Arrays in
 * cell order; different lengths throw. Cost: cells.
 */
export function layerStats(values: Float64Array, cover_m2: Float64Array): LayerStats | null {
  const known = knownCells(values, cover_m2);
  if (known.values.length === 0) return null;
  let weight_m2 = 0;
  let sum = 0;
  let min = Infinity;
  let max = -Infinity;
  known.values.forEach((value, i) => {
    const ground_m2 = known.weights[i] ?? 0;
    weight_m2 += ground_m2;
    sum += ground_m2 * value;
    min = Math.min(min, value);
    max = Math.max(max, value);
  });
  // Rounding must not carry the mean of even ground past its own values.
  const mean = Math.min(max, Math.max(min, sum / weight_m2));
  let squares = 0;
  known.values.forEach((value, i) => {
    squares += (known.weights[i] ?? 0) * (value - mean) ** 2;
  });
  const sd = Math.sqrt(squares / weight_m2);
  const [p5 = min, p20 = min, median = min, p80 = max, p95 = max] = quantiles(known, [0.05, 0.2, 0.5, 0.8, 0.95]);
  return {
    mean,
    sd,
    cv_pct: mean > 0 ? (100 * sd) / mean : Number.NaN,
    min,
    p5,
    p20,
    median,
    p80,
    p95,
    max,
    known_ac: weight_m2 / M2_PER_ACRE,
  };
}

/** Acres of a layer between limits. */
export interface Histogram {
  /** Rising, as given. */
  readonly limits: readonly number[];
  /** One for each pair of limits: from the lower one up to, not with, the upper; the last holds its upper limit too. */
  readonly acres: readonly number[];
  readonly below_ac: number;
  readonly above_ac: number;
}

/**
 * Acres per class of a layer. below + classes + above = the acres with a value. Limits that do not rise, or fewer than
 * two, throw. Cost: cells x log(limits).
 */
export function histogram(values: Float64Array, cover_m2: Float64Array, limits: readonly number[]): Histogram {
  const last = limits.at(-1);
  if (last === undefined || limits.length < 2 || limits.some((limit, i) => !(limit > (limits[i - 1] ?? -Infinity))))
    throw new Error(`limits must rise: ${limits.join(', ')}`);
  const known = knownCells(values, cover_m2);
  const ground_m2 = new Float64Array(limits.length + 1);
  known.values.forEach((value, i) => {
    // Place 0 is below the first limit, place n at or above the last.
    const place = value === last ? limits.length - 1 : upTo(limits, value);
    ground_m2[place] = (ground_m2[place] ?? 0) + (known.weights[i] ?? 0);
  });
  const acres = Array.from(ground_m2, (area_m2) => area_m2 / M2_PER_ACRE);
  return {
    limits,
    acres: acres.slice(1, -1),
    below_ac: acres[0] ?? 0,
    above_ac: acres.at(-1) ?? 0,
  };
}

/** How many of the rising limits a value reaches. */
function upTo(limits: readonly number[], value: number): number {
  let low = 0;
  let high = limits.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((limits[middle] ?? Infinity) <= value) low = middle + 1;
    else high = middle;
  }
  return low;
}
