import { sumSquares } from './all.kernel.ts';
import { nearest, within } from './buckets.kernel.ts';
import { AT_SAMPLE_M2, type IdwJob, weigh } from './idw.kernel.ts';

/** Room for one job's tiles. Candidates of a tile stand side by side in memory: place, distance, number. */
export interface TileRoom {
  readonly found: Int32Array;
  readonly d2: Float64Array;
  readonly candidate: Int32Array;
  readonly far_m: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly distance: Float64Array;
  readonly lowest: Float64Array;
  /** Of a subtile: those that may be the nearest of a cell, the other sure ones, then the unsure. */
  readonly chosen: Int32Array;
  readonly cx: Float64Array;
  readonly cy: Float64Array;
  readonly cz: readonly Float64Array[];
  readonly north_m2: Float64Array;
  readonly weight: Float64Array;
  readonly slot: Int32Array;
  /** Sums over the sure ones, of four cells. */
  readonly sums: Float64Array;
}

export function tileRoom(n: number, layers: number): TileRoom {
  const column = () => new Float64Array(n + 1);
  const numbers = () => new Int32Array(n + 1);
  return {
    found: numbers(),
    d2: column(),
    candidate: numbers(),
    far_m: column(),
    x: column(),
    y: column(),
    distance: column(),
    lowest: column(),
    chosen: numbers(),
    cx: column(),
    cy: column(),
    cz: Array.from({ length: layers }, column),
    north_m2: column(),
    weight: column(),
    slot: numbers(),
    sums: new Float64Array(8),
  };
}

/**
 * One row of square tiles, exact. Every sample that is among the k nearest of any cell of a tile lies within d_k(centre) + 2 h, h the
 * tile's half diagonal (triangle inequality): these candidates are gathered once. For a subtile of 4 x 4 cells, a candidate nearer to its
 * centre than d_k+1 - 2 h is among the k nearest of all its cells; only those up to d_k + 2 h are ranked cell by cell. Ours.
 */
export function tileRow(job: IdwJob, side: number, rowFrom: number, rowTo: number, room: TileRoom): void {
  const { buckets, k, cols, dx, dy, wanted } = job;
  for (let colFrom = 0; colFrom < cols; colFrom += side) {
    const colTo = Math.min(colFrom + side, cols);
    if (!anyWanted(wanted, cols, colFrom, colTo, rowFrom, rowTo)) continue;
    const x = job.x0 + ((colFrom + colTo - 1) / 2) * dx;
    const y = job.y0 + ((rowFrom + rowTo - 1) / 2) * dy;
    const half = Math.hypot((colTo - colFrom - 1) * dx, (rowTo - rowFrom - 1) * dy) / 2;
    const found = nearest(buckets, x, y, k, room.found, room.d2, -1);
    const reach = (Math.sqrt(room.d2[found - 1]!) + 2 * half) * (1 + 1e-9) + 1e-9;
    const count = sortCandidates(job, x, y, within(buckets, x, y, reach, room.found), room);
    for (let row = rowFrom; row < rowTo; row += 4)
      for (let col = colFrom; col < colTo; col += 4) {
        const c1 = Math.min(col + 4, colTo);
        const r1 = Math.min(row + 4, rowTo);
        if (anyWanted(wanted, cols, col, c1, row, r1)) subtile(job, col, c1, row, r1, x, y, reach, count, room);
      }
  }
}

export function anyWanted(wanted: Float64Array, cols: number, c0: number, c1: number, r0: number, r1: number): boolean {
  for (let row = r0; row < r1; row++)
    for (let cell = row * cols + c0; cell < row * cols + c1; cell++) if (wanted[cell]! > 0) return true;
  return false;
}

/** Candidates by distance from the tile's centre: then a subtile finds its nearest early. */
function sortCandidates(job: IdwJob, tileX: number, tileY: number, count: number, room: TileRoom): number {
  const { x, y } = job.buckets;
  const { found, candidate, far_m } = room;
  for (let j = 0; j < count; j++) {
    const i = found[j]!;
    const ex = x[i]! - tileX;
    const ey = y[i]! - tileY;
    const d = Math.sqrt(ex * ex + ey * ey);
    let at = j;
    while (at > 0 && far_m[at - 1]! > d) {
      far_m[at] = far_m[at - 1]!;
      candidate[at] = candidate[at - 1]!;
      at--;
    }
    far_m[at] = d;
    candidate[at] = i;
  }
  for (let j = 0; j < count; j++) {
    room.x[j] = x[candidate[j]!]!;
    room.y[j] = y[candidate[j]!]!;
  }
  return count;
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
  room: TileRoom,
): void {
  const { k, dx, dy } = job;
  const { x, y, far_m, distance, lowest } = room;
  const centreX = job.x0 + ((c0 + c1 - 1) / 2) * dx;
  const centreY = job.y0 + ((r0 + r1 - 1) / 2) * dy;
  const half = Math.sqrt(((c1 - c0 - 1) * dx) ** 2 + ((r1 - r0 - 1) * dy) ** 2) / 2;
  const off = Math.sqrt((centreX - tileX) ** 2 + (centreY - tileY) ** 2);
  for (let j = 0; j <= k; j++) lowest[j] = Number.POSITIVE_INFINITY;
  let seen = 0;
  for (; seen < count; seen++) {
    // Those that follow are farther from the tile's centre, so at least this far from the subtile's.
    if (far_m[seen]! - off > lowest[k]! + 2 * half + 1e-6 * (1 + reach)) break;
    const ex = x[seen]! - centreX;
    const ey = y[seen]! - centreY;
    const d = Math.sqrt(ex * ex + ey * ey);
    distance[seen] = d;
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
  const next = Math.min(lowest[k]!, reach - off);
  const slack = 1e-9 * (1 + next);
  const inner = next - 2 * half - slack;
  const outer = lowest[k - 1]! + 2 * half + slack;
  // Nothing farther from the centre than this is the nearest of a cell.
  const first = Math.min(inner, lowest[0]! + 2 * half + slack);
  const contenders = choose(room, seen, Number.NEGATIVE_INFINITY, first, 0);
  const sures = choose(room, seen, first, inner, contenders);
  // Where all k are sure, the others need no ranking.
  const chosen = sures === k ? k : choose(room, seen, inner, outer, sures);
  place(job, sures, chosen, room);
  cells(job, c0, c1, r0, r1, contenders, sures, chosen, room);
}

/** Adds the candidates at a distance from `from` up to `to` to those chosen; answers how many are chosen now. */
function choose({ chosen, distance }: TileRoom, seen: number, from: number, to: number, already: number): number {
  let count = already;
  for (let j = 0; j < seen; j++) if (distance[j]! >= from && distance[j]! < to) chosen[count++] = j;
  return count;
}

/** Sets the chosen side by side. The unsure go by ascending sample index, so that of equally far ones the later loses. */
function place(job: IdwJob, sures: number, count: number, room: TileRoom): void {
  const { chosen, candidate, x, y, cx, cy, cz, slot } = room;
  for (let s = sures + 1; s < count; s++) {
    const j = chosen[s]!;
    let at = s;
    while (at > sures && candidate[chosen[at - 1]!]! > candidate[j]!) {
      chosen[at] = chosen[at - 1]!;
      at--;
    }
    chosen[at] = j;
  }
  for (let s = 0; s < count; s++) {
    const j = chosen[s]!;
    cx[s] = x[j]!;
    cy[s] = y[j]!;
    slot[s] = s;
    for (let v = 0; v < cz.length; v++) cz[v]![s] = job.values[v]![candidate[j]!]!;
  }
}

function cells(
  job: IdwJob,
  c0: number,
  c1: number,
  r0: number,
  r1: number,
  contenders: number,
  sures: number,
  chosen: number,
  room: TileRoom,
): void {
  const { k, cols, x0, y0, dx, dy, wanted, out, nearest_m, power } = job;
  const { cx, cy, cz, north_m2, weight, slot, sums } = room;
  const limit_m2 = typeof job.radius_m === 'number' ? job.radius_m * job.radius_m : Number.POSITIVE_INFINITY;
  const simple = power === 2 && out.length === 1 && limit_m2 === Number.POSITIVE_INFINITY;
  for (let row = r0; row < r1; row++) {
    const py = y0 + row * dy;
    for (let s = 0; s < chosen; s++) north_m2[s] = (cy[s]! - py) * (cy[s]! - py);
    if (simple) sumSquares(cx, north_m2, cz[0]!, sures, x0 + c0 * dx, dx, sums);
    for (let col = c0; col < c1; col++) {
      const cell = row * cols + col;
      if (!(wanted[cell]! > 0)) continue;
      const px = x0 + col * dx;
      let least = Number.POSITIVE_INFINITY;
      for (let s = 0; s < contenders; s++) {
        const d = (cx[s]! - px) * (cx[s]! - px) + north_m2[s]!;
        if (d < least) least = d;
      }
      let filled = sures;
      for (let s = sures; s < chosen; s++) {
        const d = (cx[s]! - px) * (cx[s]! - px) + north_m2[s]!;
        if (filled === k && d >= weight[k - 1]!) continue;
        let at = filled < k ? filled++ : k - 1;
        while (at > sures && weight[at - 1]! > d) {
          weight[at] = weight[at - 1]!;
          slot[at] = slot[at - 1]!;
          at--;
        }
        weight[at] = d;
        slot[at] = s;
      }
      if (filled > sures && weight[sures]! < least) least = weight[sures]!;
      nearest_m[cell] = Math.sqrt(least);
      if (least < AT_SAMPLE_M2) {
        atSample(job, cell, px, py, room);
        continue;
      }
      if (simple) {
        const z = cz[0]!;
        let total = sums[col - c0]!;
        let sum = sums[4 + col - c0]!;
        for (let s = sures; s < filled; s++) {
          const w = 1 / weight[s]!;
          total += w;
          sum += w * z[slot[s]!]!;
        }
        out[0]![cell] = sum / total;
        continue;
      }
      for (let s = 0; s < sures; s++) weight[s] = (cx[s]! - px) * (cx[s]! - px) + north_m2[s]!;
      for (let s = 0; s < filled; s++) if (weight[s]! > limit_m2) weight[s] = Number.POSITIVE_INFINITY;
      weigh(weight, filled, power);
      let total = 0;
      for (let s = 0; s < filled; s++) total += weight[s]!;
      for (let v = 0; v < out.length; v++) {
        const z = cz[v]!;
        let sum = 0;
        for (let s = 0; s < filled; s++) sum += weight[s]! * z[slot[s]!]!;
        out[v]![cell] = sum / total;
      }
    }
  }
}

/** The value of the sample that the cell is at. */
function atSample(job: IdwJob, cell: number, px: number, py: number, { found, d2 }: TileRoom): void {
  nearest(job.buckets, px, py, 1, found, d2, -1);
  for (let v = 0; v < job.out.length; v++) job.out[v]![cell] = job.values[v]![found[0]!]!;
}
