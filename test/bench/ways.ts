/** Ours and the references from npm, each as one function from a workload to its numbers. */
import { interpolate } from '@turf/turf';
import KDBush from 'kdbush';
import { makeBuckets } from '../../core/surfaces/buckets.kernel.ts';
import { plainRows, tileSide } from '../../core/surfaces/idw.kernel.ts';
import { type IdwJob, idwGrid, scanOthers } from '../../core/surfaces/idw.ts';
import { COUNTS, NEAREST, POWERS, type Workload } from './workloads.ts';

export type Way = (work: Workload) => Float64Array;

/** Our grid kernel with every cell wanted, and no distances to the nearest sample: the references give none. */
export function ours(k: number, fill: (job: IdwJob) => void = idwGrid): Way {
  return ({ x, y, z, cell_m, cols }) => {
    const out = new Float64Array(cols * cols);
    const job: IdwJob = {
      buckets: makeBuckets(x, y),
      values: [z],
      power: 2,
      k: k === 0 ? x.length : k,
      x0: cell_m / 2,
      y0: cell_m / 2,
      dx: cell_m,
      dy: cell_m,
      cols,
      rows: cols,
      wanted: new Float64Array(cols * cols).fill(1),
      out: [out],
      nearest_m: new Float32Array(0),
    };
    fill(job);
    return out;
  };
}

/** The same without the twin in WebAssembly: what a host that has none works with. */
export const oursPlain = (k: number): Way => ours(k, (job) => plainRows(job, tileSide(job), 0, job.rows));

/** RMSE at every count (0 = all, last) and power. */
export const oursOthers: Way = ({ x, y, z }) => {
  const scan = scanOthers(x, y, [z], POWERS, COUNTS, null);
  scan.step(0, x.length);
  return Float64Array.from(scan.errors()[0] ?? [], ({ rmse }) => rmse);
};

/** Every distance of every cell, the nearest kept in a sorted list. */
export const plainNearest: Way = ({ x, y, z, cell_m, cols }) => {
  const out = new Float64Array(cols * cols);
  const list = new Nearest();
  for (let cell = 0; cell < out.length; cell++) {
    const px = ((cell % cols) + 0.5) * cell_m;
    const py = (Math.floor(cell / cols) + 0.5) * cell_m;
    list.clear();
    for (let i = 0; i < x.length; i++) list.offer(i, (x[i] ?? 0) - px, (y[i] ?? 0) - py);
    out[cell] = list.mean(z);
  }
  return out;
};

/** Every sample in every cell, as the formula says. */
export const plainAll: Way = ({ x, y, z, cell_m, cols }) => {
  const out = new Float64Array(cols * cols);
  for (let cell = 0; cell < out.length; cell++) {
    const px = ((cell % cols) + 0.5) * cell_m;
    const py = (Math.floor(cell / cols) + 0.5) * cell_m;
    let sum = 0;
    let total = 0;
    for (let i = 0; i < x.length; i++) {
      const dx = (x[i] ?? 0) - px;
      const dy = (y[i] ?? 0) - py;
      const weight = 1 / (dx * dx + dy * dy);
      sum += weight * (z[i] ?? 0);
      total += weight;
    }
    out[cell] = sum / total;
  }
  return out;
};

/** A k-d tree asked for all within a radius that grows until it holds twelve. */
export const treeNearest: Way = ({ x, y, z, cell_m, cols }) => {
  const tree = new KDBush(x.length);
  for (let i = 0; i < x.length; i++) tree.add(x[i] ?? 0, y[i] ?? 0);
  tree.finish();
  const out = new Float64Array(cols * cols);
  const list = new Nearest();
  let radius = cell_m;
  for (let cell = 0; cell < out.length; cell++) {
    const px = ((cell % cols) + 0.5) * cell_m;
    const py = (Math.floor(cell / cols) + 0.5) * cell_m;
    let found = tree.within(px, py, radius);
    while (found.length < NEAREST) {
      radius *= 1.2;
      found = tree.within(px, py, radius);
    }
    list.clear();
    for (const i of found) list.offer(i, (x[i] ?? 0) - px, (y[i] ?? 0) - py);
    out[cell] = list.mean(z);
    radius = list.farthest() * 1.05;
  }
  return out;
};

/** turf.interpolate at the cells' centres, asked one place at a time; the local metres stand near longitude and latitude 0. */
export const turfAll: Way = ({ x, y, z, cell_m, cols }) => {
  const metre = 180 / Math.PI / 6371008.8;
  const points = {
    type: 'FeatureCollection' as const,
    features: Array.from(x, (px, i) => ({
      type: 'Feature' as const,
      properties: { z: z[i] ?? 0 },
      geometry: { type: 'Point' as const, coordinates: [px * metre, (y[i] ?? 0) * metre] },
    })),
  };
  const first = (cell_m / 2) * metre;
  const last = (cell_m * (cols - 0.5) + 1e-6) * metre;
  const bbox: [number, number, number, number] = [first, first, last, last];
  const made = interpolate(points, cell_m / 1000, {
    gridType: 'point',
    property: 'z',
    units: 'kilometers',
    weight: 2,
    bbox,
  });
  const out = new Float64Array(cols * cols).fill(Number.NaN);
  for (const { geometry, properties } of made.features) {
    const [lng = 0, lat = 0] = geometry.coordinates as number[];
    const col = Math.round(lng / metre / cell_m - 0.5);
    const row = Math.round(lat / metre / cell_m - 0.5);
    if (col >= 0 && col < cols && row >= 0 && row < cols) out[row * cols + col] = properties?.z ?? Number.NaN;
  }
  return out;
};

/** All distances of a sample sorted once, then at every setting the first k weighed. */
export const plainOthers: Way = ({ x, y, z }) => {
  const n = x.length;
  const squares = new Float64Array(COUNTS.length * POWERS.length);
  for (let i = 0; i < n; i++) {
    const near = Array.from(x, (px, j) => ({ j, d2: (px - (x[i] ?? 0)) ** 2 + ((y[j] ?? 0) - (y[i] ?? 0)) ** 2 }))
      .filter(({ j }) => j !== i)
      .sort((a, b) => a.d2 - b.d2 || a.j - b.j);
    let at = 0;
    for (const k of COUNTS)
      for (const power of POWERS) {
        let sum = 0;
        let total = 0;
        for (let m = 0; m < (k || near.length) && m < near.length; m++) {
          const { j = 0, d2 = 0 } = near[m] ?? {};
          const weight = d2 ** (-power / 2);
          sum += weight * (z[j] ?? 0);
          total += weight;
        }
        squares[at] = (squares[at] ?? 0) + (sum / total - (z[i] ?? 0)) ** 2;
        at++;
      }
  }
  return squares.map((sum) => Math.sqrt(sum / n));
};

/** The nearest twelve of those offered, ascending. */
class Nearest {
  readonly d2 = new Float64Array(NEAREST);
  readonly at = new Int32Array(NEAREST);

  clear(): void {
    this.d2.fill(Number.POSITIVE_INFINITY);
  }
  offer(i: number, dx: number, dy: number): void {
    const { d2, at } = this;
    const d = dx * dx + dy * dy;
    if (d >= (d2[NEAREST - 1] ?? 0)) return;
    let slot = NEAREST - 1;
    for (; slot > 0 && (d2[slot - 1] ?? 0) > d; slot--) {
      d2[slot] = d2[slot - 1] ?? 0;
      at[slot] = at[slot - 1] ?? 0;
    }
    d2[slot] = d;
    at[slot] = i;
  }
  farthest(): number {
    return Math.sqrt(this.d2[NEAREST - 1] ?? 0);
  }
  mean(z: Float64Array): number {
    let sum = 0;
    let total = 0;
    for (let i = 0; i < NEAREST; i++) {
      const weight = 1 / (this.d2[i] ?? 0);
      sum += weight * (z[this.at[i] ?? 0] ?? 0);
      total += weight;
    }
    return sum / total;
  }
}
