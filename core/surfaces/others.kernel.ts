import { type Buckets, nearest } from './buckets.kernel.ts';
import { AT_SAMPLE_M2, weigh } from './idw.kernel.ts';

/** What a scan adds up: predictions of every sample from the others, at every pair of a neighbour count and a power. */
export interface OthersScan {
  readonly buckets: Buckets;
  readonly layers: readonly Float64Array[];
  readonly powers: readonly number[];
  /** Finite counts, ascending. */
  readonly counts: Int32Array;
  readonly all: boolean;
  /** Square of the radius; Infinity without one. */
  readonly most_m2: number;
  /** Predictions [(count x powers + power) x layers + layer][sample], `all` as the last count. */
  readonly predicted: readonly Float64Array[];
  readonly index: Int32Array;
  readonly d2: Float64Array;
  /** Powers by size. */
  readonly order: Int32Array;
  /** Of one sample to all others: 1, 1 / distance, its root, and the weight in hand. */
  readonly one: Float64Array;
  readonly root: Float64Array;
  readonly half: Float64Array;
  readonly weight: Float64Array;
  /** Sums of weights of `all` [power][sample]; the weighted sums stand in `predicted` until they are divided. */
  readonly total: readonly Float64Array[];
  /** First sample at the same place, or -1. */
  readonly same: Int32Array;
}

/** Nearest neighbours of the samples from..to: one search each; the shorter counts are the front of the longest. */
export function scanNearest(scan: OthersScan, from: number, to: number): void {
  const { buckets, layers, powers, counts, predicted, index, d2, most_m2, weight } = scan;
  const { x, y } = buckets;
  const longest = counts[counts.length - 1]!;
  for (let i = from; i < to; i++) {
    let found = nearest(buckets, x[i]!, y[i]!, longest, index, d2, i);
    while (found > 0 && d2[found - 1]! > most_m2) found--;
    if (found === 0) continue;
    const hit = d2[0]! < AT_SAMPLE_M2;
    for (let p = 0; p < powers.length; p++) {
      if (!hit) {
        for (let j = 0; j < found; j++) weight[j] = d2[j]!;
        weigh(weight, found, powers[p]!);
      }
      for (let v = 0; v < layers.length; v++) {
        const z = layers[v]!;
        let sum = 0;
        let total = 0;
        let j = 0;
        for (let c = 0; c < counts.length; c++) {
          const out = predicted[(c * powers.length + p) * layers.length + v]!;
          if (hit) {
            out[i] = z[index[0]!]!;
            continue;
          }
          const end = Math.min(counts[c]!, found);
          for (; j < end; j++) {
            const w = weight[j]!;
            sum += w * z[index[j]!]!;
            total += w;
          }
          out[i] = sum / total;
        }
      }
    }
  }
}

/** Pairs of the samples from..to with every later one; each pair serves both of its samples. */
export function scanPairs(scan: OthersScan, from: number, to: number): void {
  const { buckets, layers, powers, counts, predicted, most_m2, order, one, root, half, weight, total, same } = scan;
  const { x, y } = buckets;
  const n = x.length;
  const base = counts.length * powers.length;
  for (let i = from; i < to; i++) {
    const px = x[i]!;
    const py = y[i]!;
    for (let j = i + 1; j < n; j++) {
      const dx = x[j]! - px;
      const dy = y[j]! - py;
      const d = dx * dx + dy * dy;
      const inverse = d <= most_m2 ? 1 / Math.sqrt(d) : 0;
      root[j] = inverse;
      half[j] = Math.sqrt(inverse);
      if (d < AT_SAMPLE_M2) {
        if (same[i]! < 0) same[i] = j;
        if (same[j]! < 0) same[j] = i;
      }
    }
    // Powers half a step or a whole one apart are made from one another by a product; any other by `**`.
    weight.fill(1, i + 1, n);
    let before = 0;
    for (let o = 0; o < order.length; o++) {
      const p = order[o]!;
      const power = powers[p]!;
      let factor = power - before === 0.5 ? half : root;
      if (power - before !== 0.5 && power - before !== 1) {
        for (let j = i + 1; j < n; j++) weight[j] = root[j]! ** power;
        factor = one;
      }
      before = power;
      addRow(weight, factor, layers[0]!, total[p]!, predicted[(base + p) * layers.length]!, i, n);
      for (let v = 1; v < layers.length; v++)
        addLayer(weight, layers[v]!, predicted[(base + p) * layers.length + v]!, i, n);
    }
  }
}

/** Divides what `scanPairs` added up, once all samples are through. */
export function finishPairs(scan: OthersScan): void {
  const { layers, powers, counts, predicted, total, same } = scan;
  const base = counts.length * powers.length;
  for (let p = 0; p < powers.length; p++)
    for (let v = 0; v < layers.length; v++) {
      const out = predicted[(base + p) * layers.length + v]!;
      const sums = total[p]!;
      for (let i = 0; i < out.length; i++) out[i] = same[i]! < 0 ? out[i]! / sums[i]! : layers[v]![same[i]!]!;
    }
}

/** Steps the weights of one row by their factor, and adds them and the first layer's weighted values to both samples of each pair. */
function addRow(
  weight: Float64Array,
  factor: Float64Array,
  z: Float64Array,
  total: Float64Array,
  sums: Float64Array,
  i: number,
  n: number,
): void {
  const zi = z[i]!;
  let ownTotal = 0;
  let own = 0;
  for (let j = i + 1; j < n; j++) {
    const w = weight[j]! * factor[j]!;
    weight[j] = w;
    ownTotal += w;
    own += w * z[j]!;
    total[j]! += w;
    sums[j]! += w * zi;
  }
  total[i]! += ownTotal;
  sums[i]! += own;
}

function addLayer(weight: Float64Array, z: Float64Array, sums: Float64Array, i: number, n: number): void {
  const zi = z[i]!;
  let own = 0;
  for (let j = i + 1; j < n; j++) {
    const w = weight[j]!;
    own += w * z[j]!;
    sums[j]! += w * zi;
  }
  sums[i]! += own;
}
