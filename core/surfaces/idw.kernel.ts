import { allCells, fillSet, sampleSet, writeHits } from './all.kernel.ts';
import { type Buckets, nearest, within } from './buckets.kernel.ts';
import { anyWanted, tileRoom, tileRow } from './tiles.kernel.ts';
import { rowsByTwin } from './twin.kernel.ts';

/** Squared distance under which a place is the sample itself: a billionth of a metre. */
export const AT_SAMPLE_M2 = 1e-18;

/** Squared distances become inverse-distance weights d^-power in place. Half powers go by square roots, any other by `pow`. */
export function weigh(d2: Float64Array, count: number, power: number): void {
  if (power === 2) for (let i = 0; i < count; i++) d2[i] = 1 / d2[i]!;
  else if (power === 1) for (let i = 0; i < count; i++) d2[i] = 1 / Math.sqrt(d2[i]!);
  else if (power === 4) for (let i = 0; i < count; i++) d2[i] = 1 / (d2[i]! * d2[i]!);
  else if (power === 3) for (let i = 0; i < count; i++) d2[i] = 1 / (d2[i]! * Math.sqrt(d2[i]!));
  else if (power === 1.5)
    for (let i = 0; i < count; i++) {
      const d = Math.sqrt(d2[i]!);
      d2[i] = 1 / (d * Math.sqrt(d));
    }
  else if (power === 2.5) for (let i = 0; i < count; i++) d2[i] = 1 / (d2[i]! * Math.sqrt(Math.sqrt(d2[i]!)));
  else if (power === 3.5)
    for (let i = 0; i < count; i++) {
      const d = Math.sqrt(d2[i]!);
      d2[i] = 1 / (d2[i]! * d * Math.sqrt(d));
    }
  else for (let i = 0; i < count; i++) d2[i] = d2[i]! ** (-power / 2);
}

/** Cells of one grid, and what is known at the samples. */
export interface IdwJob {
  readonly buckets: Buckets;
  /** One array of n values per layer. */
  readonly values: readonly Float64Array[];
  readonly power: number;
  /** 1 to n. n takes every sample. */
  readonly k: number;
  /** Samples farther than this from a cell have no say in it; a cell without any has NaN. Null or absent sets no limit. */
  readonly radius_m?: number | null;
  /** Centre of cell (0, 0), and the step of columns and rows, in the samples' frame. */
  readonly x0: number;
  readonly y0: number;
  readonly dx: number;
  readonly dy: number;
  readonly cols: number;
  readonly rows: number;
  /** Cells with a value above 0 are worked out; the others stay as they are. */
  readonly wanted: Float64Array;
  /** One array of cols x rows per layer. */
  readonly out: readonly Float64Array[];
  /** Distance to the nearest sample, per cell; an empty array where nobody asks for it. */
  readonly nearest_m: Float32Array;
}

/** Most candidates a tile should have; above that smaller tiles are cheaper. */
const MOST_CANDIDATES = 96;

/**
 * Side of the tiles in cells: 16 or smaller where samples lie dense, 1 where a search per cell is cheaper; 0 where every sample counts.
 */
export function tileSide(job: IdwJob): number {
  const { x, cols, rows, size } = job.buckets;
  if (job.k >= x.length) return 0;
  const area = (cols * rows * size * size) / x.length;
  for (const side of [16, 8, 4]) {
    const reach = Math.sqrt((job.k * area) / Math.PI) + (side - 1) * Math.hypot(job.dx, job.dy);
    if ((Math.PI * reach * reach) / area <= Math.max(MOST_CANDIDATES, 3 * job.k)) return side;
  }
  return 1;
}

/** Works out the rows from `rowFrom` up to `rowTo` (not taken). `side` is of `tileSide`; start rows on a multiple of it. */
export function idwRows(job: IdwJob, side: number, rowFrom: number, rowTo: number): void {
  if (job.buckets.x.length === 0) return;
  if (side === 0) nearestRows(job, rowFrom, rowTo);
  if (rowsByTwin(job, side, rowFrom, rowTo)) {
    if (side !== 1) writeHits(job, rowFrom, rowTo);
  } else plainRows(job, side, rowFrom, rowTo);
}

/** `idwRows` in TypeScript alone: what the twin is held to, and what works where there is none. At least one sample; distances to the nearest only where `side` is above 0. */
export function plainRows(job: IdwJob, side: number, rowFrom: number, rowTo: number): void {
  const { length } = job.buckets.x;
  if (side === 0) allRows(job, rowFrom, rowTo);
  else if (side > 1) {
    const room = tileRoom(length, job.values.length);
    for (let row = rowFrom; row < rowTo; row += side) tileRow(job, side, row, Math.min(row + side, rowTo), room);
    writeHits(job, rowFrom, rowTo);
  } else {
    const index = new Int32Array(job.k);
    const d2 = new Float64Array(job.k);
    for (let row = rowFrom; row < rowTo; row++) cellRow(job, row, index, d2);
  }
}

/** Side of the tiles in which samples in a radius are gathered. */
const GATHER_SIDE = 16;

/** Distances to the nearest sample, which the loop over all samples does not ask for. */
function nearestRows(job: IdwJob, rowFrom: number, rowTo: number): void {
  if (job.nearest_m.length === 0) return;
  const only: IdwJob = { ...job, k: 1, values: [], out: [] };
  idwRows(only, tileSide(only) || 1, rowFrom, rowTo);
}

/** Every sample, or every one in the radius. */
function allRows(job: IdwJob, rowFrom: number, rowTo: number): void {
  const { buckets, cols, dx, dy } = job;
  const n = buckets.x.length;
  const set = sampleSet(n, job.values.length);
  const index = Int32Array.from({ length: n }, (_none, i) => i);
  if (typeof job.radius_m !== 'number') {
    allCells(job, fillSet(set, job, index, n), 0, cols, rowFrom, rowTo);
    writeHits(job, rowFrom, rowTo);
    return;
  }
  for (let r0 = rowFrom; r0 < rowTo; r0 += GATHER_SIDE)
    for (let c0 = 0; c0 < cols; c0 += GATHER_SIDE) {
      const r1 = Math.min(r0 + GATHER_SIDE, rowTo);
      const c1 = Math.min(c0 + GATHER_SIDE, cols);
      if (!anyWanted(job.wanted, cols, c0, c1, r0, r1)) continue;
      const half = Math.hypot((c1 - c0 - 1) * dx, (r1 - r0 - 1) * dy) / 2;
      const x = job.x0 + ((c0 + c1 - 1) / 2) * dx;
      const y = job.y0 + ((r0 + r1 - 1) / 2) * dy;
      const count = within(buckets, x, y, (job.radius_m + half) * (1 + 1e-9), index);
      allCells(job, fillSet(set, job, index, count), c0, c1, r0, r1);
    }
  writeHits(job, rowFrom, rowTo);
}

/** Cell by cell, a search for the k nearest each. */
function cellRow(job: IdwJob, row: number, index: Int32Array, d2: Float64Array): void {
  const { buckets, k, cols, wanted, values, out, nearest_m } = job;
  const py = job.y0 + row * job.dy;
  for (let col = 0; col < cols; col++) {
    const cell = row * cols + col;
    if (!(wanted[cell]! > 0)) continue;
    let count = nearest(buckets, job.x0 + col * job.dx, py, k, index, d2, -1);
    if (nearest_m.length > 0) nearest_m[cell] = Math.sqrt(d2[0]!);
    if (d2[0]! < AT_SAMPLE_M2) {
      for (let v = 0; v < values.length; v++) out[v]![cell] = values[v]![index[0]!]!;
      continue;
    }
    if (typeof job.radius_m === 'number') count = keepWithin(job.radius_m, index, d2, count);
    weigh(d2, count, job.power);
    let total = 0;
    for (let i = 0; i < count; i++) total += d2[i]!;
    for (let v = 0; v < values.length; v++) {
      const z = values[v]!;
      let sum = 0;
      for (let i = 0; i < count; i++) sum += d2[i]! * z[index[i]!]!;
      out[v]![cell] = sum / total;
    }
  }
}

/** Keeps those at most `radius_m` away, in their order; answers how many. */
export function keepWithin(radius_m: number, index: Int32Array, d2: Float64Array, count: number): number {
  const most = radius_m * radius_m;
  let kept = 0;
  for (let i = 0; i < count; i++)
    if (d2[i]! <= most) {
      index[kept] = index[i]!;
      d2[kept++] = d2[i]!;
    }
  return kept;
}

/** Gives each wanted cell of the whole grid what the cell of its block has. */
export function spreadBlocks(whole: IdwJob, coarse: IdwJob, step: number): void {
  const { cols, rows, wanted } = whole;
  for (let row = 0; row < rows; row++) {
    const blockRow = Math.floor(row / step) * coarse.cols;
    for (let col = 0; col < cols; col++) {
      const cell = row * cols + col;
      if (!(wanted[cell]! > 0)) continue;
      const block = blockRow + Math.floor(col / step);
      for (let v = 0; v < whole.out.length; v++) whole.out[v]![cell] = coarse.out[v]![block]!;
      if (whole.nearest_m.length > 0) whole.nearest_m[cell] = coarse.nearest_m[block]!;
    }
  }
}
