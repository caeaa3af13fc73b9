import { makeBuckets, nearest } from './buckets.kernel.ts';
import { AT_SAMPLE_M2, type IdwJob, idwRows, keepWithin, spreadBlocks, tileSide, weigh } from './idw.kernel.ts';
import { type OthersScan, scanAll, scanNearest } from './others.kernel.ts';
import { addPairs, isPaired, type Pairs, pairsPrediction, SUMS } from './pairs.kernel.ts';
import { nearestByTwin, pairsByTwin } from './twin.kernel.ts';
import type { LayerError } from './types.ts';

export type { IdwJob } from './idw.kernel.ts';

/**
 * Inverse-distance weighted values at some places: z(p) = sum w_i z_i / sum w_i with w_i = d_i^-power over the `k` nearest samples
 * (0, or as many as there are, takes all).
 *
 * Shapes: x, y, z of n samples and px, py of m places, all in one flat frame of metres; answers m values. A place at a sample has its value, the
 * first of equals. Samples equally far as the k-th count by ascending index. With a radius only samples at most that far count, as in gstat's
 * `maxdist`. NaN where there is no sample, or none in the radius; samples must be finite.
 * Cost: m x k, or m x n. Source: Shepard, Proc. 23rd ACM National Conference, 1968.
 */
export function idwAt(
  x: Float64Array,
  y: Float64Array,
  z: Float64Array,
  px: Float64Array,
  py: Float64Array,
  power: number,
  k: number,
  radius_m: number | null = null,
): Float64Array {
  const values = new Float64Array(px.length).fill(Number.NaN);
  if (x.length === 0) return values;
  const search = searchOf(x, y, k, radius_m);
  for (let at = 0; at < px.length; at++)
    values[at] = search.value(px[at] ?? Number.NaN, py[at] ?? Number.NaN, z, power);
  return values;
}

/** A sample's value as the others give it, and the errors of all of them: predicted less measured. */
export interface LeaveOneOut extends LayerError {
  readonly predicted: Float64Array;
}

/**
 * Leave-one-out: each sample is predicted by `idwAt` from all the others (left out by its index, not by its place). RMSE and MAE over the
 * samples that could be predicted; `meanRmse` is the RMSE of giving each of them the mean of the others. NaN under 2 samples.
 * Cost: n x k. Source: the usual cross-validation, as gstat's `gstat.cv` does it.
 */
export function leaveOneOut(
  x: Float64Array,
  y: Float64Array,
  z: Float64Array,
  power: number,
  k: number,
  radius_m: number | null = null,
): LeaveOneOut {
  const work = predictOthers(x, y, [z], power, k, radius_m);
  work.predict(0, z.length);
  return errorOf(z, work.predicted[0] ?? new Float64Array(0));
}

/**
 * The predictions of `leaveOneOut` for several layers over the same samples, in pieces: `predict(from, to)` fills `predicted` for those
 * samples, one search and one weighing for all layers. NaN where no other sample is in the radius.
 */
export function predictOthers(
  x: Float64Array,
  y: Float64Array,
  layers: readonly Float64Array[],
  power: number,
  k: number,
  radius_m: number | null = null,
): { readonly predicted: readonly Float64Array[]; predict(from: number, to: number): void } {
  const scan = scanOf(x, y, layers, [power], [k >= x.length ? 0 : k], radius_m);
  return { predicted: scan.predicted, predict: (from, to) => scanSamples(scan, from, to) };
}

/**
 * Errors of predictions: RMSE, MAE, and the RMSE of the mean of the others, over the samples that have a prediction; `samples` says how many
 * those are. NaN where there are none, or under 2 samples.
 */
export function errorOf(z: Float64Array, predicted: Float64Array): LeaveOneOut {
  const n = z.length;
  let total = 0;
  for (const value of z) total += value;
  let samples = 0;
  let squares = 0;
  let sizes = 0;
  let ofMean = 0;
  for (let i = 0; i < n; i++) {
    const measured = z[i] ?? Number.NaN;
    const value = predicted[i] ?? Number.NaN;
    if (Number.isNaN(value)) continue;
    samples++;
    squares += (value - measured) ** 2;
    sizes += Math.abs(value - measured);
    ofMean += ((total - measured) / (n - 1) - measured) ** 2;
  }
  return {
    samples,
    rmse: Math.sqrt(squares / samples),
    mae: sizes / samples,
    meanRmse: Math.sqrt(ofMean / samples),
    predicted,
  };
}

/** Leave-one-out errors at one pair of settings. */
export interface SettingError {
  readonly power: number;
  /** 0 is all. */
  readonly neighbours: number;
  readonly rmse: number;
  readonly mae: number;
}

/**
 * The errors of `leaveOneOut` at every pair of a neighbour count and a power, for several layers over the same samples: one search a sample,
 * whose front serves the shorter counts, and one pass over the others for "all".
 *
 * `step(from, to)` works off those samples; `errors()` then answers one list per layer:
 * neighbours ascending with 0 (all) last, and within each the powers as given. Samples without another in the radius do not count, and are the
 * same at every setting: `errorOf(...).samples` says how many count. NaN where none does.
 * Cost: n x (largest finite count) x powers, and n^2 x powers where "all" is asked. Ours.
 */
export function scanOthers(
  x: Float64Array,
  y: Float64Array,
  layers: readonly Float64Array[],
  powers: readonly number[],
  neighbours: readonly number[],
  radius_m: number | null,
): {
  readonly step: (from: number, to: number) => void;
  readonly errors: () => readonly (readonly SettingError[])[];
} {
  const scan = scanOf(x, y, layers, powers, neighbours, radius_m);
  const counts = [...scan.counts, ...(scan.all ? [0] : [])];
  // Every sample to all others, at powers that follow from one another: each pair is then weighed once for both.
  const pairs = scan.all && powers.every(isPaired) ? pairsOf(scan) : null;
  return {
    step(from, to) {
      if (layers.length === 0) return;
      if (scan.counts.length > 0 && !nearestByTwin(scan, from, to)) scanNearest(scan, from, to);
      if (pairs && !pairsByTwin(pairs, scan, from, to)) addPairs(pairs, from, to);
      else if (scan.all && !pairs) scanAll(scan, from, to);
    },
    errors: () => {
      if (pairs) takePairs(pairs, scan);
      return layers.map((z, layer) =>
        counts.flatMap((count, c) =>
          powers.map((power, p) => {
            const predicted = scan.predicted[(c * powers.length + p) * layers.length + layer];
            const { rmse, mae } = errorOf(z, predicted ?? new Float64Array(z.length));
            return { power, neighbours: count, rmse, mae };
          }),
        ),
      );
    },
  };
}

function pairsOf({ buckets, layers, powers, most_m2, root, half }: OthersScan): Pairs {
  const { x, y } = buckets;
  return {
    x,
    y,
    layers,
    sums: layers.map(() => new Float64Array(SUMS * x.length)),
    same: new Int32Array(x.length).fill(-1),
    most_m2,
    low: powers.some((power) => power <= 3),
    high: powers.some((power) => power > 3),
    root,
    half,
  };
}

/** What the pairs so far predict, where the scan keeps its "all". */
function takePairs(pairs: Pairs, { layers, powers, counts, predicted }: OthersScan): void {
  layers.forEach((_, layer) => {
    powers.forEach((power, p) => {
      const out = predicted[(counts.length * powers.length + p) * layers.length + layer];
      if (out) pairsPrediction(pairs, layer, power, out);
    });
  });
}

function scanOf(
  x: Float64Array,
  y: Float64Array,
  layers: readonly Float64Array[],
  powers: readonly number[],
  neighbours: readonly number[],
  radius_m: number | null,
): OthersScan {
  const n = x.length;
  const finite = [...new Set(neighbours)].filter((count) => count > 0).sort((a, b) => a - b);
  const all = neighbours.includes(0);
  const settings = (finite.length + (all ? 1 : 0)) * powers.length;
  return {
    buckets: makeBuckets(x, y),
    layers,
    powers,
    counts: Int32Array.from(finite),
    all,
    most_m2: radius_m === null ? Number.POSITIVE_INFINITY : radius_m * radius_m,
    predicted: Array.from({ length: settings * layers.length }, () => new Float64Array(n).fill(Number.NaN)),
    index: new Int32Array(n),
    d2: new Float64Array(n),
    low: powers.some((power) => power >= 1 && power <= 2.5),
    high: powers.some((power) => power >= 3 && power <= 4),
    root: new Float64Array(n),
    half: new Float64Array(n),
    weight: new Float64Array(n),
    sums: new Float64Array(14),
  };
}

function scanSamples(scan: OthersScan, from: number, to: number): void {
  if (scan.layers.length === 0) return;
  if (scan.counts.length > 0 && !nearestByTwin(scan, from, to)) scanNearest(scan, from, to);
  if (scan.all) scanAll(scan, from, to);
}

/**
 * The same surface at every `step`-th cell only, for a quick look: `job` is worked out like any other, then `spread` gives each wanted cell
 * of the whole grid the value (and distance) of the cell in the middle of its block. Cost: cells / step^2, and a copy.
 */
export function coarseGrid(whole: IdwJob, step: number): { readonly job: IdwJob; readonly spread: () => void } {
  const cols = Math.ceil(whole.cols / step);
  const rows = Math.ceil(whole.rows / step);
  const middle = Math.floor(step / 2);
  const wanted = new Float64Array(cols * rows);
  const blockOf = (cell: number): number =>
    Math.floor(Math.floor(cell / whole.cols) / step) * cols + Math.floor((cell % whole.cols) / step);
  for (const [cell, value] of whole.wanted.entries()) if (value > 0) wanted[blockOf(cell)] = 1;
  const job: IdwJob = {
    ...whole,
    x0: whole.x0 + middle * whole.dx,
    y0: whole.y0 + middle * whole.dy,
    dx: whole.dx * step,
    dy: whole.dy * step,
    cols,
    rows,
    wanted,
    out: whole.out.map(() => new Float64Array(cols * rows).fill(Number.NaN)),
    nearest_m: new Float32Array(whole.nearest_m.length > 0 ? cols * rows : 0).fill(Number.NaN),
  };
  return { job, spread: () => spreadBlocks(whole, job, step) };
}

/**
 * Step of `coarseGrid` that leaves about `most` pairs of a cell and a sample to weigh: 4 million take some tens of milliseconds, and more where
 * the code runs for the first time. 1 is the whole grid.
 */
export function coarseStep(job: IdwJob, most = 4_000_000): number {
  return Math.max(1, Math.ceil(Math.sqrt((job.cols * job.rows * job.k) / most)));
}

/** What `idwAt` gives at every wanted cell of a grid, for several layers over the same samples at once. See `IdwJob`. */
export function idwGrid(job: IdwJob): void {
  idwRows(job, tileSide(job), 0, job.rows);
}

function searchOf(x: Float64Array, y: Float64Array, k: number, radius_m: number | null) {
  const n = x.length;
  const buckets = makeBuckets(x, y);
  const index = new Int32Array(n);
  const d2 = new Float64Array(n);
  const all = k === 0 || k >= n;
  const everyOne = (px: number, py: number): number => {
    for (let i = 0; i < n; i++) {
      index[i] = i;
      d2[i] = ((x[i] ?? 0) - px) ** 2 + ((y[i] ?? 0) - py) ** 2;
    }
    return n;
  };
  return {
    value(px: number, py: number, z: Float64Array, power: number): number {
      const chosen = all ? everyOne(px, py) : nearest(buckets, px, py, k, index, d2, -1);
      const count = radius_m === null ? chosen : keepWithin(radius_m, index, d2, chosen);
      for (let i = 0; i < count; i++) if ((d2[i] ?? 1) < AT_SAMPLE_M2) return z[index[i] ?? 0] ?? Number.NaN;
      weigh(d2, count, power);
      let total = 0;
      let sum = 0;
      for (let i = 0; i < count; i++) {
        total += d2[i] ?? 0;
        sum += (d2[i] ?? 0) * (z[index[i] ?? 0] ?? Number.NaN);
      }
      // Not a number where none is in the radius.
      return sum / total;
    },
  };
}
