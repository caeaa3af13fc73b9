import { M2_PER_ACRE } from '../base/units.ts';
import type { ZoneStat } from './types.ts';

/**
 * Spread of a layer over each label, every cell weighted by the ground that it shares with the field; null for a label
 * whose cells all are NaN. Result i is that of label i, for 0 .. `labels`; result 0 is always null.
 *
 * mean = sum(w z) / sum(w); sd = sqrt(sum(w (z - mean)^2) / sum(w)), of the ground itself, not of a sample; a quantile q is the
 * least value that q of the known ground does not pass, halfway to the next where it meets q exactly (so equal weights
 * give the common median). Cells with NaN or without ground take no part. Cost: cells.
 */
export function statsByLabel(
  values: Float64Array,
  cellLabels: Int16Array,
  cover_m2: Float64Array,
  labels: number,
): readonly (ZoneStat | null)[] {
  const start = new Int32Array(labels + 2);
  for (let cell = 0; cell < values.length; cell++) {
    if (isKnown(values, cellLabels, cover_m2, cell)) start[cellLabels[cell]! + 1]!++;
  }
  for (let label = 0; label <= labels; label++) start[label + 1]! += start[label]!;
  const next = start.slice();
  const own = new Float64Array(start[labels + 1]!);
  const weights = new Float64Array(own.length);
  for (let cell = 0; cell < values.length; cell++) {
    if (!isKnown(values, cellLabels, cover_m2, cell)) continue;
    const at = next[cellLabels[cell]!]!++;
    own[at] = values[cell]!;
    weights[at] = cover_m2[cell]!;
  }
  return Array.from({ length: labels + 1 }, (_, label) => {
    const from = start[label]!;
    const to = start[label + 1]!;
    return from === to ? null : statOf(own.subarray(from, to), weights.subarray(from, to));
  });
}

const isKnown = (values: Float64Array, labels: Int16Array, cover_m2: Float64Array, cell: number): boolean =>
  labels[cell]! > 0 && cover_m2[cell]! > 0 && !Number.isNaN(values[cell]!);

function statOf(values: Float64Array, weights: Float64Array): ZoneStat {
  let weight = 0;
  let sum = 0;
  let min = Infinity;
  let max = -Infinity;
  for (let i = 0; i < values.length; i++) {
    weight += weights[i]!;
    sum += weights[i]! * values[i]!;
    if (values[i]! < min) min = values[i]!;
    if (values[i]! > max) max = values[i]!;
  }
  // Rounding must not carry the mean of even ground past its own values.
  const mean = Math.min(max, Math.max(min, sum / weight));
  let squares = 0;
  for (let i = 0; i < values.length; i++) squares += weights[i]! * (values[i]! - mean) ** 2;
  const bins = binned(values, weights, min, max);
  return {
    mean,
    median: quantile(0.5, values, weights, bins, weight),
    p20: quantile(0.2, values, weights, bins, weight),
    sd: Math.sqrt(squares / weight),
    cv_pct: mean === 0 ? Number.NaN : (100 * Math.sqrt(squares / weight)) / mean,
    min,
    max,
    known_ac: weight / M2_PER_ACRE,
  };
}

interface Bins {
  readonly of: Uint16Array;
  readonly weight: Float64Array;
}

const BINS = 1024;

/** Rising bins of equal width between least and largest value. */
function binned(values: Float64Array, weights: Float64Array, min: number, max: number): Bins {
  const of = new Uint16Array(values.length);
  const weight = new Float64Array(BINS);
  const scale = max > min ? BINS / (max - min) : 0;
  for (let i = 0; i < values.length; i++) {
    const bin = Math.min(BINS - 1, Math.floor((values[i]! - min) * scale));
    of[i] = bin;
    weight[bin]! += weights[i]!;
  }
  return { of, weight };
}

/** Only the bin that holds the quantile is sorted. */
function quantile(q: number, values: Float64Array, weights: Float64Array, bins: Bins, weight: number): number {
  const wanted = q * weight;
  const slack = 1e-12 * weight;
  let below = 0;
  let bin = 0;
  while (bin < BINS - 1 && below + bins.weight[bin]! < wanted - slack) below += bins.weight[bin++]!;
  const inside: number[] = [];
  let following = Infinity;
  for (let i = 0; i < values.length; i++) {
    if (bins.of[i] === bin) inside.push(i);
    else if (bins.of[i]! > bin && values[i]! < following) following = values[i]!;
  }
  inside.sort((a, b) => values[a]! - values[b]! || a - b);
  for (let i = 0; i < inside.length; i++) {
    const value = values[inside[i]!]!;
    below += weights[inside[i]!]!;
    if (below < wanted - slack) continue;
    const next = i + 1 < inside.length ? values[inside[i + 1]!]! : following;
    return below <= wanted + slack && next < Infinity ? (value + next) / 2 : value;
  }
  return values[inside[inside.length - 1]!]!;
}
