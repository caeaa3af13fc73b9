import { M2_PER_ACRE } from '../base/units.ts';
import type { ZoneStat } from './types.ts';

/**
 * Spread of a layer over each label, every cell weighted by the ground that it shares with the field; null for a label
 * whose cells all are NaN. Result i is that of label i, for 0 .. `labels`; result 0 is always null.
 *
 * mean = sum(w z) / sum(w); sd = sqrt(sum(w (z - mean)^2) / sum(w)), of the ground itself, not of a sample; a quantile q is the
 * least value that q of the known ground does not pass, halfway to the next where it meets q exactly (so equal weights
 * give the common median). Cells with NaN or without ground take no part. Cost: n log n in the cells.
 */
export function statsByLabel(
  values: Float64Array,
  cellLabels: Int16Array,
  cover_m2: Float64Array,
  labels: number,
): readonly (ZoneStat | null)[] {
  const cells: number[][] = Array.from({ length: labels + 1 }, () => []);
  for (let cell = 0; cell < values.length; cell++) {
    const label = cellLabels[cell]!;
    if (label > 0 && cover_m2[cell]! > 0 && !Number.isNaN(values[cell]!)) cells[label]!.push(cell);
  }
  return cells.map((own) => (own.length === 0 ? null : statOf(own, values, cover_m2)));
}

function statOf(cells: number[], values: Float64Array, cover_m2: Float64Array): ZoneStat {
  const order = Int32Array.from(cells).sort((a, b) => values[a]! - values[b]! || a - b);
  let weight = 0;
  let sum = 0;
  for (const cell of order) {
    weight += cover_m2[cell]!;
    sum += cover_m2[cell]! * values[cell]!;
  }
  const min = values[order[0]!]!;
  const max = values[order[order.length - 1]!]!;
  // Rounding must not carry the mean of even ground past its own values.
  const mean = Math.min(max, Math.max(min, sum / weight));
  let squares = 0;
  for (const cell of order) squares += cover_m2[cell]! * (values[cell]! - mean) ** 2;
  const quantile = (q: number): number => {
    const wanted = q * weight;
    let below = 0;
    for (let i = 0; i < order.length; i++) {
      below += cover_m2[order[i]!]!;
      if (Math.abs(below - wanted) <= 1e-12 * weight && i + 1 < order.length) {
        return (values[order[i]!]! + values[order[i + 1]!]!) / 2;
      }
      if (below > wanted) return values[order[i]!]!;
    }
    return max;
  };
  return {
    mean,
    median: quantile(0.5),
    p20: quantile(0.2),
    sd: Math.sqrt(squares / weight),
    min,
    max,
    known_ac: weight / M2_PER_ACRE,
  };
}
