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
  /** Whether powers of `sumLow` and of `sumHigh` are asked. */
  readonly low: boolean;
  readonly high: boolean;
  /** Of one sample to all others: 1 / distance, and its root. */
  readonly root: Float64Array;
  readonly half: Float64Array;
  readonly weight: Float64Array;
  readonly sums: Float64Array;
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

/**
 * Every other sample to those from..to. Powers 1 to 4 in half steps come from one another by a product, their sums all in registers;
 * any other by `**`.
 */
export function scanAll(scan: OthersScan, from: number, to: number): void {
  const { buckets, layers, powers, counts, predicted, root, half, sums } = scan;
  const n = buckets.x.length;
  const base = counts.length * powers.length;
  for (let i = from; i < to; i++) {
    const same = weighOthers(scan, i);
    for (let v = 0; v < layers.length; v++) {
      const z = layers[v]!;
      if (scan.low) sumLow(root, half, z, n, sums);
      if (scan.high) sumHigh(root, half, z, n, sums);
      for (let p = 0; p < powers.length; p++) {
        const out = predicted[(base + p) * layers.length + v]!;
        const place = 2 * powers[p]! - 2;
        if (same >= 0) out[i] = z[same]!;
        else if (place >= 0 && place <= 6 && Number.isInteger(place)) out[i] = sums[7 + place]! / sums[place]!;
        else out[i] = meanOfPower(root, z, n, powers[p]!);
      }
    }
  }
}

/** 1 / distance of sample i to the others, and its root; 0 for itself and beyond the radius. Answers the first at its place, or -1. */
function weighOthers({ buckets, most_m2, root, half }: OthersScan, i: number): number {
  const { x, y } = buckets;
  const px = x[i]!;
  const py = y[i]!;
  let same = -1;
  for (let j = 0; j < x.length; j++) {
    const dx = x[j]! - px;
    const dy = y[j]! - py;
    const d = dx * dx + dy * dy;
    const inverse = d <= most_m2 ? 1 / Math.sqrt(d) : 0;
    root[j] = inverse;
    half[j] = Math.sqrt(inverse);
    if (d < AT_SAMPLE_M2 && same < 0 && j !== i) same = j;
  }
  root[i] = 0;
  half[i] = 0;
  return same;
}

/** Powers 1, 1.5, 2 and 2.5: sums of weights into 0 to 3, of weighted values into 7 to 10. */
function sumLow(root: Float64Array, half: Float64Array, z: Float64Array, n: number, sums: Float64Array): void {
  let w0 = 0;
  let w1 = 0;
  let w2 = 0;
  let w3 = 0;
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  for (let j = 0; j < n; j++) {
    const r = root[j]!;
    const h = half[j]!;
    const value = z[j]!;
    const a = r * h;
    const b = r * r;
    const c = a * r;
    w0 += r;
    s0 += r * value;
    w1 += a;
    s1 += a * value;
    w2 += b;
    s2 += b * value;
    w3 += c;
    s3 += c * value;
  }
  sums[0] = w0;
  sums[1] = w1;
  sums[2] = w2;
  sums[3] = w3;
  sums[7] = s0;
  sums[8] = s1;
  sums[9] = s2;
  sums[10] = s3;
}

/** Powers 3, 3.5 and 4: sums of weights into 4 to 6, of weighted values into 11 to 13. */
function sumHigh(root: Float64Array, half: Float64Array, z: Float64Array, n: number, sums: Float64Array): void {
  let w0 = 0;
  let w1 = 0;
  let w2 = 0;
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  for (let j = 0; j < n; j++) {
    const r = root[j]!;
    const value = z[j]!;
    const square = r * r;
    const a = square * r;
    const b = a * half[j]!;
    const c = square * square;
    w0 += a;
    s0 += a * value;
    w1 += b;
    s1 += b * value;
    w2 += c;
    s2 += c * value;
  }
  sums[4] = w0;
  sums[5] = w1;
  sums[6] = w2;
  sums[11] = s0;
  sums[12] = s1;
  sums[13] = s2;
}

function meanOfPower(root: Float64Array, z: Float64Array, n: number, power: number): number {
  let total = 0;
  let sum = 0;
  for (let j = 0; j < n; j++) {
    const w = root[j]! ** power;
    total += w;
    sum += w * z[j]!;
  }
  return sum / total;
}
