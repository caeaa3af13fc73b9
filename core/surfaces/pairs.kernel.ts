import { AT_SAMPLE_M2 } from './idw.kernel.ts';

/**
 * Leave-one-out from all other samples at powers 1, 1.5 ... 4, each pair of samples weighed once for both. Sums of a layer lie 14 to a
 * sample: of weights in 0 to 6 by power, of weighted values in 7 to 13.
 */
export interface Pairs {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly layers: readonly Float64Array[];
  /** One a layer, 14 x samples. */
  readonly sums: readonly Float64Array[];
  /** The first sample at a sample's own place, -1 where it lies alone. */
  readonly same: Int32Array;
  /** Square of the radius; Infinity without one. */
  readonly most_m2: number;
  /** Whether powers 1 to 3, and above 3, are asked. */
  readonly low: boolean;
  readonly high: boolean;
  readonly root: Float64Array;
  readonly half: Float64Array;
}

export const SUMS = 14;

/** Adds the pairs of the samples from..to with all later ones to both samples' sums. */
export function addPairs(pairs: Pairs, from: number, to: number): void {
  const { layers, sums, root, half, low, high, x } = pairs;
  for (let i = from; i < to; i++) {
    weighLater(pairs, i);
    for (let v = 0; v < layers.length; v++) {
      if (low) addLow(root, half, layers[v]!, sums[v]!, i, x.length);
      if (high) addHigh(root, half, layers[v]!, sums[v]!, i, x.length);
    }
  }
}

/** 1 / distance of sample i to those after it, and its root; 0 beyond the radius, and for one at the very place, which is remembered. */
function weighLater({ x, y, most_m2, root, half, same }: Pairs, i: number): void {
  const px = x[i]!;
  const py = y[i]!;
  for (let j = i + 1; j < x.length; j++) {
    const dx = x[j]! - px;
    const dy = y[j]! - py;
    const d = dx * dx + dy * dy;
    let inverse = d <= most_m2 ? 1 / Math.sqrt(d) : 0;
    if (d < AT_SAMPLE_M2) {
      if (same[i]! < 0) same[i] = j;
      if (same[j]! < 0) same[j] = i;
      inverse = 0;
    }
    root[j] = inverse;
    half[j] = Math.sqrt(inverse);
  }
}

/** Powers 1 to 3. */
function addLow(
  root: Float64Array,
  half: Float64Array,
  z: Float64Array,
  sums: Float64Array,
  i: number,
  n: number,
): void {
  const own = z[i]!;
  let w0 = 0;
  let w1 = 0;
  let w2 = 0;
  let w3 = 0;
  let w4 = 0;
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  let s4 = 0;
  for (let j = i + 1, at = SUMS * (i + 1); j < n; j++, at += SUMS) {
    const r = root[j]!;
    const value = z[j]!;
    const a = r * half[j]!;
    const b = r * r;
    const c = a * r;
    const d = b * r;
    w0 += r;
    s0 += r * value;
    w1 += a;
    s1 += a * value;
    w2 += b;
    s2 += b * value;
    w3 += c;
    s3 += c * value;
    w4 += d;
    s4 += d * value;
    sums[at]! += r;
    sums[at + 1]! += a;
    sums[at + 2]! += b;
    sums[at + 3]! += c;
    sums[at + 4]! += d;
    sums[at + 7]! += r * own;
    sums[at + 8]! += a * own;
    sums[at + 9]! += b * own;
    sums[at + 10]! += c * own;
    sums[at + 11]! += d * own;
  }
  const at = SUMS * i;
  sums[at]! += w0;
  sums[at + 1]! += w1;
  sums[at + 2]! += w2;
  sums[at + 3]! += w3;
  sums[at + 4]! += w4;
  sums[at + 7]! += s0;
  sums[at + 8]! += s1;
  sums[at + 9]! += s2;
  sums[at + 10]! += s3;
  sums[at + 11]! += s4;
}

/** Powers 3.5 and 4. */
function addHigh(
  root: Float64Array,
  half: Float64Array,
  z: Float64Array,
  sums: Float64Array,
  i: number,
  n: number,
): void {
  const own = z[i]!;
  let w1 = 0;
  let w2 = 0;
  let s1 = 0;
  let s2 = 0;
  for (let j = i + 1, at = SUMS * (i + 1); j < n; j++, at += SUMS) {
    const r = root[j]!;
    const value = z[j]!;
    const square = r * r;
    const b = square * r * half[j]!;
    const c = square * square;
    w1 += b;
    s1 += b * value;
    w2 += c;
    s2 += c * value;
    sums[at + 5]! += b;
    sums[at + 6]! += c;
    sums[at + 12]! += b * own;
    sums[at + 13]! += c * own;
  }
  const at = SUMS * i;
  sums[at + 5]! += w1;
  sums[at + 6]! += w2;
  sums[at + 12]! += s1;
  sums[at + 13]! += s2;
}

/** Sum of weighted values over that of weights at one power; the value of the first at the very place; NaN without another in the radius. */
export function pairsPrediction({ layers, sums, same }: Pairs, layer: number, power: number, out: Float64Array): void {
  const place = 2 * power - 2;
  const z = layers[layer]!;
  const own = sums[layer]!;
  for (let i = 0; i < out.length; i++) {
    const at = SUMS * i + place;
    out[i] = same[i]! >= 0 ? z[same[i]!]! : own[at + 7]! / own[at]!;
  }
}

/** Whether a power is one of those that the sums hold. */
export const isPaired = (power: number): boolean => power >= 1 && power <= 4 && Number.isInteger(2 * power);
