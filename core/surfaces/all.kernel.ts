import { AT_SAMPLE_M2, type IdwJob, weigh } from './idw.kernel.ts';

/** Samples that have a say, side by side in memory, and room to work in. */
export interface SampleSet {
  readonly count: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** One array per layer. */
  readonly z: readonly Float64Array[];
  /** Squared distance northward from the row in hand. */
  readonly north_m2: Float64Array;
  /** Weights of four cells, sample by sample. */
  readonly weight: Float64Array;
  /** Sums of four cells. */
  readonly sums: Float64Array;
}

export function sampleSet(most: number, layers: number): SampleSet {
  const column = () => new Float64Array(most);
  return {
    count: 0,
    x: column(),
    y: column(),
    z: Array.from({ length: layers }, column),
    north_m2: column(),
    weight: new Float64Array(4 * most),
    sums: new Float64Array(8),
  };
}

/** Puts the samples of `index` into the set. */
export function fillSet(set: SampleSet, job: IdwJob, index: Int32Array, count: number): SampleSet {
  const { x, y } = job.buckets;
  for (let s = 0; s < count; s++) {
    const i = index[s]!;
    set.x[s] = x[i]!;
    set.y[s] = y[i]!;
    for (let v = 0; v < set.z.length; v++) set.z[v]![s] = job.values[v]![i]!;
  }
  return { ...set, count };
}

/**
 * Cells c0..c1 of rows r0..r1 from every sample of the set, four cells at a time so that their sums stay in registers. Without a test for a
 * place at a sample in the loop: `writeHits` puts those right afterwards. Ours.
 */
export function allCells(job: IdwJob, set: SampleSet, c0: number, c1: number, r0: number, r1: number): void {
  const { cols, wanted, power, x0, y0, dx, dy, out } = job;
  const { count, y, north_m2, sums } = set;
  const limit = typeof job.radius_m === 'number' ? job.radius_m * job.radius_m : Number.POSITIVE_INFINITY;
  const simple = power === 2 && limit === Number.POSITIVE_INFINITY && out.length === 1;
  for (let row = r0; row < r1; row++) {
    const py = y0 + row * dy;
    for (let i = 0; i < count; i++) {
      const d = y[i]! - py;
      north_m2[i] = d * d;
    }
    for (let col = c0; col < c1; col += 4) {
      const end = Math.min(4, c1 - col);
      const cell = row * cols + col;
      let any = false;
      for (let c = 0; c < end; c++) if (wanted[cell + c]! > 0) any = true;
      if (!any) continue;
      const px = x0 + col * dx;
      if (simple) {
        sumSquares(set.x, north_m2, set.z[0]!, count, px, dx, sums);
        const own = out[0]!;
        for (let c = 0; c < end; c++) if (wanted[cell + c]! > 0) own[cell + c] = sums[4 + c]! / sums[c]!;
        continue;
      }
      weighFour(set, px, dx, power, limit);
      for (let v = 0; v < out.length; v++) {
        sumLayer(set, set.z[v]!);
        const own = out[v]!;
        for (let c = 0; c < end; c++) if (wanted[cell + c]! > 0) own[cell + c] = sums[4 + c]! / sums[c]!;
      }
    }
  }
}

/**
 * Power 2, one layer: sums of weights (0 to 3) and of weighted values (4 to 7) for four cells from the first `count` samples. Two samples
 * share a division: a/e + b/f = (a f + b e) / (e f).
 */
export function sumSquares(
  x: Float64Array,
  north_m2: Float64Array,
  z: Float64Array,
  count: number,
  px: number,
  dx: number,
  sums: Float64Array,
): void {
  const p1 = px + dx;
  const p2 = px + 2 * dx;
  const p3 = px + 3 * dx;
  let w0 = 0;
  let w1 = 0;
  let w2 = 0;
  let w3 = 0;
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  const even = count & ~1;
  for (let i = 0; i < even; i += 2) {
    const xa = x[i]!;
    const xb = x[i + 1]!;
    const ya = north_m2[i]!;
    const yb = north_m2[i + 1]!;
    const za = z[i]!;
    const zb = z[i + 1]!;
    let a = xa - px;
    let b = xb - px;
    a = a * a + ya;
    b = b * b + yb;
    let r = 1 / (a * b);
    w0 += (a + b) * r;
    s0 += (za * b + zb * a) * r;
    a = xa - p1;
    b = xb - p1;
    a = a * a + ya;
    b = b * b + yb;
    r = 1 / (a * b);
    w1 += (a + b) * r;
    s1 += (za * b + zb * a) * r;
    a = xa - p2;
    b = xb - p2;
    a = a * a + ya;
    b = b * b + yb;
    r = 1 / (a * b);
    w2 += (a + b) * r;
    s2 += (za * b + zb * a) * r;
    a = xa - p3;
    b = xb - p3;
    a = a * a + ya;
    b = b * b + yb;
    r = 1 / (a * b);
    w3 += (a + b) * r;
    s3 += (za * b + zb * a) * r;
  }
  for (let i = even; i < count; i++) {
    const za = z[i]!;
    let r = 1 / ((x[i]! - px) * (x[i]! - px) + north_m2[i]!);
    w0 += r;
    s0 += za * r;
    r = 1 / ((x[i]! - p1) * (x[i]! - p1) + north_m2[i]!);
    w1 += r;
    s1 += za * r;
    r = 1 / ((x[i]! - p2) * (x[i]! - p2) + north_m2[i]!);
    w2 += r;
    s2 += za * r;
    r = 1 / ((x[i]! - p3) * (x[i]! - p3) + north_m2[i]!);
    w3 += r;
    s3 += za * r;
  }
  sums[0] = w0;
  sums[1] = w1;
  sums[2] = w2;
  sums[3] = w3;
  sums[4] = s0;
  sums[5] = s1;
  sums[6] = s2;
  sums[7] = s3;
}

/** Weights of four cells, and their sums. A sample beyond the limit has no weight. */
function weighFour(set: SampleSet, px: number, dx: number, power: number, limit_m2: number): void {
  const { x, north_m2, count, weight, sums } = set;
  const p1 = px + dx;
  const p2 = px + 2 * dx;
  const p3 = px + 3 * dx;
  for (let i = 0; i < count; i++) {
    const xi = x[i]!;
    const yi = north_m2[i]!;
    weight[4 * i] = (xi - px) * (xi - px) + yi;
    weight[4 * i + 1] = (xi - p1) * (xi - p1) + yi;
    weight[4 * i + 2] = (xi - p2) * (xi - p2) + yi;
    weight[4 * i + 3] = (xi - p3) * (xi - p3) + yi;
  }
  if (limit_m2 !== Number.POSITIVE_INFINITY)
    for (let i = 0; i < 4 * count; i++) if (weight[i]! > limit_m2) weight[i] = Number.POSITIVE_INFINITY;
  weigh(weight, 4 * count, power);
  let w0 = 0;
  let w1 = 0;
  let w2 = 0;
  let w3 = 0;
  for (let i = 0; i < 4 * count; i += 4) {
    w0 += weight[i]!;
    w1 += weight[i + 1]!;
    w2 += weight[i + 2]!;
    w3 += weight[i + 3]!;
  }
  sums[0] = w0;
  sums[1] = w1;
  sums[2] = w2;
  sums[3] = w3;
}

/** Weighted values of one layer, summed for four cells. */
function sumLayer({ count, weight, sums }: SampleSet, z: Float64Array): void {
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  for (let i = 0; i < count; i++) {
    const value = z[i]!;
    s0 += weight[4 * i]! * value;
    s1 += weight[4 * i + 1]! * value;
    s2 += weight[4 * i + 2]! * value;
    s3 += weight[4 * i + 3]! * value;
  }
  sums[4] = s0;
  sums[5] = s1;
  sums[6] = s2;
  sums[7] = s3;
}

/** A cell whose centre is at a sample has its value, the first of equals. Cost: one look a sample. */
export function writeHits(job: IdwJob, r0: number, r1: number): void {
  const { cols, wanted, x0, y0, dx, dy, out, values, buckets } = job;
  const { x, y } = buckets;
  for (let i = x.length - 1; i >= 0; i--) {
    const col = Math.round((x[i]! - x0) / dx);
    const row = Math.round((y[i]! - y0) / dy);
    if (col < 0 || col >= cols || row < r0 || row >= r1) continue;
    const cell = row * cols + col;
    const east = x0 + col * dx - x[i]!;
    const north = y0 + row * dy - y[i]!;
    if (!(wanted[cell]! > 0) || !(east * east + north * north < AT_SAMPLE_M2)) continue;
    for (let v = 0; v < out.length; v++) out[v]![cell] = values[v]![i]!;
  }
}
