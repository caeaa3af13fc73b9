/** Known values with the ground that each stands for, in one order. */
export interface Weighted {
  readonly values: Float64Array;
  readonly weights: Float64Array;
}

/** Values of cells that have ground and a value. Another length throws. Cost: cells. */
export function knownCells(values: Float64Array, cover_m2: Float64Array): Weighted {
  if (values.length !== cover_m2.length) throw new Error(`${values.length} values for ${cover_m2.length} cells`);
  let count = 0;
  for (let cell = 0; cell < values.length; cell++) if (cover_m2[cell]! > 0 && Number.isFinite(values[cell]!)) count++;
  const known = new Float64Array(count);
  const weights = new Float64Array(count);
  let to = 0;
  for (let cell = 0; cell < values.length; cell++) {
    if (!(cover_m2[cell]! > 0 && Number.isFinite(values[cell]!))) continue;
    known[to] = values[cell]!;
    weights[to++] = cover_m2[cell]!;
  }
  return { values: known, weights };
}

const BINS = 1024;

/**
 * Quantiles of weighted values: the least value that q of the weight does not pass, halfway to the next larger one where it
 * meets q exactly, so that equal weights give the common median. Only the bins that hold a quantile are sorted.
 */
export function quantiles({ values, weights }: Weighted, at: readonly number[]): readonly number[] {
  let min = Infinity;
  let max = -Infinity;
  let total = 0;
  for (let i = 0; i < values.length; i++) {
    total += weights[i]!;
    if (values[i]! < min) min = values[i]!;
    if (values[i]! > max) max = values[i]!;
  }
  const scale = max > min ? BINS / (max - min) : 0;
  const binOf = new Uint16Array(values.length);
  const inBin = new Float64Array(BINS);
  for (let i = 0; i < values.length; i++) {
    const bin = Math.min(BINS - 1, Math.floor((values[i]! - min) * scale));
    binOf[i] = bin;
    inBin[bin]! += weights[i]!;
  }
  return at.map((q) => {
    const wanted = q * total;
    const slack = 1e-12 * total;
    let below = 0;
    let bin = 0;
    while (bin < BINS - 1 && below + inBin[bin]! < wanted - slack) below += inBin[bin++]!;
    const inside: number[] = [];
    let following = Infinity;
    for (let i = 0; i < values.length; i++) {
      if (binOf[i] === bin) inside.push(i);
      else if (binOf[i]! > bin && values[i]! < following) following = values[i]!;
    }
    inside.sort((a, b) => values[a]! - values[b]! || a - b);
    for (let i = 0; i < inside.length; i++) {
      const value = values[inside[i]!]!;
      below += weights[inside[i]!]!;
      if (below < wanted - slack) continue;
      const next = i + 1 < inside.length ? values[inside[i + 1]!]! : following;
      return below <= wanted + slack && next < Infinity ? (value + next) / 2 : value;
    }
    return max;
  });
}

/** Rank of each value from 1, equal ones sharing the mean of their ranks. Cost: n log n. */
export function midRanks(values: Float64Array): Float64Array {
  const sorted = values.slice().sort();
  const n = sorted.length;
  const ranks = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const value = values[i]!;
    let low = 0;
    let high = n;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (sorted[middle]! < value) low = middle + 1;
      else high = middle;
    }
    let end = low;
    high = n;
    while (end < high) {
      const middle = (end + high) >>> 1;
      if (sorted[middle]! <= value) end = middle + 1;
      else high = middle;
    }
    ranks[i] = (low + 1 + end) / 2;
  }
  return ranks;
}

/** Weighted product-moment correlation; NaN where either does not vary. Two passes, so that large offsets lose no digits. */
export function correlation(a: Float64Array, b: Float64Array, weights: Float64Array): number {
  let total = 0;
  let sumA = 0;
  let sumB = 0;
  for (let i = 0; i < a.length; i++) {
    total += weights[i]!;
    sumA += weights[i]! * a[i]!;
    sumB += weights[i]! * b[i]!;
  }
  const meanA = sumA / total;
  const meanB = sumB / total;
  let aa = 0;
  let bb = 0;
  let ab = 0;
  for (let i = 0; i < a.length; i++) {
    const da = a[i]! - meanA;
    const db = b[i]! - meanB;
    aa += weights[i]! * da * da;
    bb += weights[i]! * db * db;
    ab += weights[i]! * da * db;
  }
  // What rounding leaves of a constant is no spread.
  if (!(aa > 1e-24 * total * meanA * meanA && bb > 1e-24 * total * meanB * meanB && aa > 0 && bb > 0))
    return Number.NaN;
  return Math.max(-1, Math.min(1, ab / Math.sqrt(aa * bb)));
}
