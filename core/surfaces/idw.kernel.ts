import { type Buckets, nearest, within } from './buckets.kernel.ts';

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
  /** Distance to the nearest sample, per cell. */
  readonly nearest_m: Float32Array;
}

/** Scratch arrays, made once a job. */
interface Scratch {
  readonly candidates: Int32Array;
  readonly distance: Float64Array;
  readonly index: Int32Array;
  readonly d2: Float64Array;
  readonly lowest: Float64Array;
  readonly sure: Int32Array;
  readonly unsure: Int32Array;
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
  const n = job.buckets.x.length;
  const scratch: Scratch = {
    candidates: new Int32Array(n),
    distance: new Float64Array(n),
    index: new Int32Array(n),
    d2: new Float64Array(n + 1),
    lowest: new Float64Array(job.k + 1),
    sure: new Int32Array(n),
    unsure: new Int32Array(n),
  };
  if (side > 1)
    for (let row = rowFrom; row < rowTo; row += side) tileRow(job, side, row, Math.min(row + side, rowTo), scratch);
  else for (let row = rowFrom; row < rowTo; row++) cellRow(job, side === 0, row, scratch);
}

/** Cell by cell: every sample, or a search for the k nearest. */
function cellRow(job: IdwJob, all: boolean, row: number, { index, d2 }: Scratch): void {
  const { buckets, k, cols, wanted } = job;
  const { x, y } = buckets;
  const n = x.length;
  const py = job.y0 + row * job.dy;
  if (all) for (let i = 0; i < n; i++) index[i] = i;
  for (let col = 0; col < cols; col++) {
    const cell = row * cols + col;
    if (!(wanted[cell]! > 0)) continue;
    const px = job.x0 + col * job.dx;
    let count = n;
    if (all)
      for (let i = 0; i < n; i++) {
        const dx = x[i]! - px;
        const dy = y[i]! - py;
        d2[i] = dx * dx + dy * dy;
      }
    else count = nearest(buckets, px, py, k, index, d2, -1);
    writeCell(job, cell, index, d2, count);
  }
}

/** Value of one cell from the samples chosen; `d2` is used up. */
function writeCell(job: IdwJob, cell: number, index: Int32Array, d2: Float64Array, chosen: number): void {
  let count = chosen;
  let least = Number.POSITIVE_INFINITY;
  let at = 0;
  for (let i = 0; i < chosen; i++)
    if (d2[i]! < least) {
      least = d2[i]!;
      at = i;
    }
  job.nearest_m[cell] = Math.sqrt(least);
  const { values, out } = job;
  if (least < AT_SAMPLE_M2) {
    for (let v = 0; v < values.length; v++) out[v]![cell] = values[v]![index[at]!]!;
    return;
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

/**
 * One row of square tiles, exact. Every sample that is among the k nearest of any cell of a tile lies within d_k(centre) + 2 h, h the
 * tile's half diagonal (triangle inequality): these candidates are gathered once. For a subtile of 4 x 4 cells, a candidate nearer to its
 * centre than d_k+1 - 2 h is among the k nearest of all its cells; only those up to d_k + 2 h are ranked cell by cell. Ours.
 */
function tileRow(job: IdwJob, side: number, rowFrom: number, rowTo: number, scratch: Scratch): void {
  const { buckets, k, cols, dx, dy, wanted } = job;
  const { candidates, index, d2 } = scratch;
  for (let colFrom = 0; colFrom < cols; colFrom += side) {
    const colTo = Math.min(colFrom + side, cols);
    if (!anyWanted(wanted, cols, colFrom, colTo, rowFrom, rowTo)) continue;
    const cx = job.x0 + ((colFrom + colTo - 1) / 2) * dx;
    const cy = job.y0 + ((rowFrom + rowTo - 1) / 2) * dy;
    const half = Math.hypot((colTo - colFrom - 1) * dx, (rowTo - rowFrom - 1) * dy) / 2;
    const found = nearest(buckets, cx, cy, k, index, d2, -1);
    const reach = (Math.sqrt(d2[found - 1]!) + 2 * half) * (1 + 1e-9) + 1e-9;
    const count = within(buckets, cx, cy, reach, candidates);
    for (let row = rowFrom; row < rowTo; row += 4)
      for (let col = colFrom; col < colTo; col += 4) {
        const c1 = Math.min(col + 4, colTo);
        const r1 = Math.min(row + 4, rowTo);
        if (anyWanted(wanted, cols, col, c1, row, r1)) subtile(job, col, c1, row, r1, cx, cy, reach, count, scratch);
      }
  }
}

function anyWanted(wanted: Float64Array, cols: number, c0: number, c1: number, r0: number, r1: number): boolean {
  for (let row = r0; row < r1; row++)
    for (let cell = row * cols + c0; cell < row * cols + c1; cell++) if (wanted[cell]! > 0) return true;
  return false;
}

function subtile(
  job: IdwJob,
  c0: number,
  c1: number,
  r0: number,
  r1: number,
  tileX: number,
  tileY: number,
  reach: number,
  count: number,
  scratch: Scratch,
): void {
  const { k, cols, dx, dy, wanted } = job;
  const { x, y } = job.buckets;
  const { candidates, distance, lowest, sure, unsure, index, d2 } = scratch;
  const cx = job.x0 + ((c0 + c1 - 1) / 2) * dx;
  const cy = job.y0 + ((r0 + r1 - 1) / 2) * dy;
  const half = Math.hypot((c1 - c0 - 1) * dx, (r1 - r0 - 1) * dy) / 2;
  lowest.fill(Number.POSITIVE_INFINITY);
  for (let j = 0; j < count; j++) {
    const i = candidates[j]!;
    const ex = x[i]! - cx;
    const ey = y[i]! - cy;
    const d = Math.sqrt(ex * ex + ey * ey);
    distance[j] = d;
    if (d < lowest[k]!) {
      let at = k;
      while (at > 0 && lowest[at - 1]! > d) {
        lowest[at] = lowest[at - 1]!;
        at--;
      }
      lowest[at] = d;
    }
  }
  // A sample that is no candidate may be the next after the k-th, but no nearer than this.
  const next = Math.min(lowest[k]!, reach - Math.hypot(cx - tileX, cy - tileY));
  const slack = 1e-9 * (1 + next);
  const inner = next - 2 * half - slack;
  const outer = lowest[k - 1]! + 2 * half + slack;
  let sures = 0;
  let unsures = 0;
  for (let j = 0; j < count; j++)
    if (distance[j]! < inner) sure[sures++] = candidates[j]!;
    else if (distance[j]! <= outer) unsure[unsures++] = candidates[j]!;
  // Where all k are sure, the others need no ranking.
  const ranked = sures === k ? 0 : unsures;
  for (let row = r0; row < r1; row++) {
    const py = job.y0 + row * dy;
    for (let col = c0; col < c1; col++) {
      const cell = row * cols + col;
      if (!(wanted[cell]! > 0)) continue;
      const px = job.x0 + col * dx;
      for (let s = 0; s < sures; s++) {
        const i = sure[s]!;
        const ex = x[i]! - px;
        const ey = y[i]! - py;
        index[s] = i;
        d2[s] = ex * ex + ey * ey;
      }
      let filled = sures;
      for (let u = 0; u < ranked; u++) {
        const i = unsure[u]!;
        const ex = x[i]! - px;
        const ey = y[i]! - py;
        const d = ex * ex + ey * ey;
        // Candidates come by ascending index, so an equal one that comes later loses.
        if (filled === k && d >= d2[k - 1]!) continue;
        let at = filled < k ? filled++ : k - 1;
        while (at > sures && d2[at - 1]! > d) {
          d2[at] = d2[at - 1]!;
          index[at] = index[at - 1]!;
          at--;
        }
        d2[at] = d;
        index[at] = i;
      }
      writeCell(job, cell, index, d2, filled);
    }
  }
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
      whole.nearest_m[cell] = coarse.nearest_m[block]!;
    }
  }
}
