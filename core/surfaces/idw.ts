import { makeBuckets, nearest } from './buckets.kernel.ts';
import { AT_SAMPLE_M2, type IdwJob, idwRows, tileSide, weigh } from './idw.kernel.ts';
import type { LayerError } from './types.ts';

export type { IdwJob } from './idw.kernel.ts';

/**
 * Inverse-distance weighted values at some places: z(p) = sum w_i z_i / sum w_i with w_i = d_i^-power over the `k` nearest samples
 * (0, or as many as there are, takes all).
 *
 * Shapes: x, y, z of n samples and px, py of m places, all in one flat frame of metres; answers m values. A place at a sample has its value, the
 * first of equals. Samples equally far as the k-th count by ascending index. NaN everywhere where there is no sample; samples must be finite.
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
): Float64Array {
  const values = new Float64Array(px.length).fill(Number.NaN);
  if (x.length === 0) return values;
  const search = searchOf(x, y, k);
  for (let at = 0; at < px.length; at++)
    values[at] = search.values(px[at] ?? Number.NaN, py[at] ?? Number.NaN, [z], power, -1)[0] ?? Number.NaN;
  return values;
}

/** A sample's value as the others give it, and the errors of all of them: predicted less measured. */
export interface LeaveOneOut extends LayerError {
  readonly predicted: Float64Array;
}

/**
 * Leave-one-out: each sample is predicted by `idwAt` from all the others (left out by its index, not by its place). RMSE and MAE over the
 * samples; `meanRmse` is the RMSE of giving each sample the mean of the others. NaN under 2 samples. Cost: n x k.
 * Source: the usual cross-validation, as gstat's `gstat.cv` does it.
 */
export function leaveOneOut(x: Float64Array, y: Float64Array, z: Float64Array, power: number, k: number): LeaveOneOut {
  const work = predictOthers(x, y, [z], power, k);
  work.predict(0, z.length);
  return errorOf(z, work.predicted[0] ?? new Float64Array(0));
}

/**
 * The predictions of `leaveOneOut` for several layers over the same samples, in pieces: `predict(from, to)` fills `predicted` for those
 * samples, one search and one weighing for all layers.
 */
export function predictOthers(
  x: Float64Array,
  y: Float64Array,
  layers: readonly Float64Array[],
  power: number,
  k: number,
): { readonly predicted: readonly Float64Array[]; predict(from: number, to: number): void } {
  const predicted = layers.map(() => new Float64Array(x.length).fill(Number.NaN));
  const search = searchOf(x, y, k);
  return {
    predicted,
    predict(from, to) {
      for (let i = from; i < to; i++) {
        const values = search.values(x[i] ?? Number.NaN, y[i] ?? Number.NaN, layers, power, i);
        for (const [layer, own] of predicted.entries()) own[i] = values[layer] ?? Number.NaN;
      }
    },
  };
}

/** Errors of predictions: RMSE, MAE, and the RMSE of the mean of the others. NaN under 2 samples. */
export function errorOf(z: Float64Array, predicted: Float64Array): LeaveOneOut {
  const n = z.length;
  if (n < 2) return { samples: n, rmse: Number.NaN, mae: Number.NaN, meanRmse: Number.NaN, predicted };
  let total = 0;
  for (const value of z) total += value;
  let squares = 0;
  let sizes = 0;
  let ofMean = 0;
  for (let i = 0; i < n; i++) {
    const measured = z[i] ?? Number.NaN;
    const value = predicted[i] ?? Number.NaN;
    squares += (value - measured) ** 2;
    sizes += Math.abs(value - measured);
    ofMean += ((total - measured) / (n - 1) - measured) ** 2;
  }
  return { samples: n, rmse: Math.sqrt(squares / n), mae: sizes / n, meanRmse: Math.sqrt(ofMean / n), predicted };
}

/** What `idwAt` gives at every wanted cell of a grid, for several layers over the same samples at once. See `IdwJob`. */
export function idwGrid(job: IdwJob): void {
  idwRows(job, tileSide(job), 0, job.rows);
}

function searchOf(x: Float64Array, y: Float64Array, k: number) {
  const n = x.length;
  const buckets = makeBuckets(x, y);
  const index = new Int32Array(n);
  const d2 = new Float64Array(n);
  const all = k === 0 || k >= n;
  const everyOne = (px: number, py: number, skip: number): number => {
    let count = 0;
    for (let i = 0; i < n; i++) {
      if (i === skip) continue;
      index[count] = i;
      d2[count++] = ((x[i] ?? 0) - px) ** 2 + ((y[i] ?? 0) - py) ** 2;
    }
    return count;
  };
  return {
    values(px: number, py: number, layers: readonly Float64Array[], power: number, skip: number): readonly number[] {
      const count = all ? everyOne(px, py, skip) : nearest(buckets, px, py, k, index, d2, skip);
      for (let i = 0; i < count; i++)
        if ((d2[i] ?? 1) < AT_SAMPLE_M2) return layers.map((z) => z[index[i] ?? 0] ?? Number.NaN);
      if (count === 0) return layers.map(() => Number.NaN);
      weigh(d2, count, power);
      let total = 0;
      for (let i = 0; i < count; i++) total += d2[i] ?? 0;
      return layers.map((z) => {
        let sum = 0;
        for (let i = 0; i < count; i++) sum += (d2[i] ?? 0) * (z[index[i] ?? 0] ?? Number.NaN);
        return sum / total;
      });
    },
  };
}
