import { sumSquares } from './all.kernel.ts';
import { nearest, within } from './buckets.kernel.ts';
import { type IdwJob, weigh } from './idw.kernel.ts';

/**
 * Room for one job's tiles. Numbers stand in one array, column after column, since the compiler keeps one array's address and length at hand
 * but not those of ten; the columns that other kernels read are views of it.
 */
export interface TileRoom {
  /** Length of a column. */
  readonly span: number;
  readonly numbers: Float64Array;
  readonly chosenX: Float64Array;
  readonly north_m2: Float64Array;
  readonly weight: Float64Array;
  /** Values of those chosen, one column per layer. */
  readonly chosenZ: readonly Float64Array[];
  /** Sums over the sure ones, of four cells. */
  readonly sums: Float64Array;
  readonly d2: Float64Array;
  readonly found: Int32Array;
  /** Sample index of a candidate; candidates chosen; place among the chosen of a weight. */
  readonly candidate: Int32Array;
  readonly chosen: Int32Array;
  readonly slot: Int32Array;
}

// Columns of `numbers`. Candidates of a tile: place, distance from the tile's centre, from the subtile's. Those chosen: place, squared
// distance northward, weight, value. The least distances of a subtile, ascending.
const X = 0;
const Y = 1;
const FAR = 2;
const DISTANCE = 3;
const CHOSEN_X = 4;
const CHOSEN_Y = 5;
const NORTH = 6;
const WEIGHT = 7;
const VALUE = 8;
const LOWEST = 9;
const OWN = 10;
const COLUMNS = 11;

export function tileRoom(n: number, layers: number): TileRoom {
  const span = n + 2;
  const numbers = new Float64Array(COLUMNS * span);
  const view = (column: number) => numbers.subarray(column * span, (column + 1) * span);
  const whole = () => new Int32Array(span);
  return {
    span,
    numbers,
    chosenX: view(CHOSEN_X),
    north_m2: view(NORTH),
    weight: view(WEIGHT),
    chosenZ: Array.from({ length: layers }, (_none, layer) => (layer === 0 ? view(VALUE) : new Float64Array(span))),
    sums: new Float64Array(8),
    d2: new Float64Array(span),
    found: whole(),
    candidate: whole(),
    chosen: whole(),
    slot: whole(),
  };
}

/**
 * One row of square tiles, exact. Every sample that is among the k nearest of any cell of a tile lies within d_k(centre) + 2 h, h the
 * tile's half diagonal (triangle inequality): these candidates are gathered once. For a subtile of 4 x 4 cells, a candidate nearer to its
 * centre than d_k+1 - 2 h is among the k nearest of all its cells; only those up to d_k + 2 h are ranked cell by cell. Without a test for a
 * place at a sample: `writeHits` puts those right afterwards. Ours.
 */
export function tileRow(job: IdwJob, side: number, rowFrom: number, rowTo: number, room: TileRoom): void {
  const { buckets, k, cols, dx, dy, wanted } = job;
  for (let colFrom = 0; colFrom < cols; colFrom += side) {
    const colTo = Math.min(colFrom + side, cols);
    if (!anyWanted(wanted, cols, colFrom, colTo, rowFrom, rowTo)) continue;
    const x = job.x0 + ((colFrom + colTo - 1) / 2) * dx;
    const y = job.y0 + ((rowFrom + rowTo - 1) / 2) * dy;
    const width = (colTo - colFrom - 1) * dx;
    const height = (rowTo - rowFrom - 1) * dy;
    const half = Math.sqrt(width * width + height * height) / 2;
    const found = nearest(buckets, x, y, k, room.found, room.d2, -1);
    const reach = (Math.sqrt(room.d2[found - 1]!) + 2 * half) * (1 + 1e-9) + 1e-9;
    const count = within(buckets, x, y, reach, room.found);
    sortCandidates(job, x, y, count, room);
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
function sortCandidates(job: IdwJob, tileX: number, tileY: number, count: number, room: TileRoom): void {
  const { x, y } = job.buckets;
  const { found, candidate, numbers, span } = room;
  const far = FAR * span;
  for (let j = 0; j < count; j++) {
    const i = found[j]!;
    const ex = x[i]! - tileX;
    const ey = y[i]! - tileY;
    const d = Math.sqrt(ex * ex + ey * ey);
    let at = j;
    while (at > 0 && numbers[far + at - 1]! > d) {
      numbers[far + at] = numbers[far + at - 1]!;
      candidate[at] = candidate[at - 1]!;
      at--;
    }
    numbers[far + at] = d;
    candidate[at] = i;
  }
  for (let j = 0; j < count; j++) {
    numbers[X * span + j] = x[candidate[j]!]!;
    numbers[Y * span + j] = y[candidate[j]!]!;
  }
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
  const { k, dx, dy, x0, y0, power, out, radius_m } = job;
  const { numbers, span } = room;
  const centreX = x0 + ((c0 + c1 - 1) / 2) * dx;
  const centreY = y0 + ((r0 + r1 - 1) / 2) * dy;
  const width = (c1 - c0 - 1) * dx;
  const height = (r1 - r0 - 1) * dy;
  // Twice the half diagonal, with room for rounding.
  const across = Math.sqrt(width * width + height * height) + 1e-9 * (1 + reach);
  const off = Math.sqrt((centreX - tileX) * (centreX - tileX) + (centreY - tileY) * (centreY - tileY));
  const seen = rankCandidates(numbers, span, k, count, centreX, centreY, off + across);
  // A sample that is no candidate may be the next after the k-th, but no nearer than this.
  const inner = Math.min(numbers[LOWEST * span + k]!, reach - off) - across;
  const outer = numbers[LOWEST * span + k - 1]! + across;
  // Nothing farther from the centre than this is the nearest of a cell.
  const first = numbers[LOWEST * span]! + across;
  const { chosen } = room;
  let contenders = 0;
  let sures = 0;
  for (let j = 0; j < seen; j++) {
    const d = numbers[DISTANCE * span + j]!;
    if (d >= inner) continue;
    chosen[sures++] = j;
    if (d > first) continue;
    chosen[sures - 1] = chosen[contenders]!;
    chosen[contenders++] = j;
  }
  // Where all k are sure, the others need no ranking.
  const all = sures === k ? k : addUnsure(room, seen, inner, outer, sures);
  place(job, all, room);
  if (power === 2 && out.length === 1 && typeof radius_m !== 'number')
    squareCells(job, c0, c1, r0, r1, contenders, sures, all, room);
  else anyCells(job, c0, c1, r0, r1, contenders, sures, all, room);
}

/** Distances from a subtile's centre and the k + 1 least of them; answers how many candidates were looked at. */
function rankCandidates(
  numbers: Float64Array,
  span: number,
  k: number,
  count: number,
  centreX: number,
  centreY: number,
  margin: number,
): number {
  const lowest = LOWEST * span;
  for (let j = 0; j <= k; j++) numbers[lowest + j] = Number.POSITIVE_INFINITY;
  let worst = Number.POSITIVE_INFINITY;
  for (let j = 0; j < count; j++) {
    // Those that follow are farther from the tile's centre, so too far from the subtile's.
    if (numbers[FAR * span + j]! - margin > worst) return j;
    const ex = numbers[X * span + j]! - centreX;
    const ey = numbers[Y * span + j]! - centreY;
    const d = Math.sqrt(ex * ex + ey * ey);
    numbers[DISTANCE * span + j] = d;
    if (d >= worst) continue;
    let at = lowest + Math.min(j, k);
    while (at > lowest && numbers[at - 1]! > d) {
      numbers[at] = numbers[at - 1]!;
      at--;
    }
    numbers[at] = d;
    worst = numbers[lowest + k]!;
  }
  return count;
}

/** The unsure go by ascending sample index, so that of equally far ones the later loses. */
function addUnsure(room: TileRoom, seen: number, inner: number, outer: number, sures: number): number {
  const { chosen, candidate, numbers, span } = room;
  let count = sures;
  for (let j = 0; j < seen; j++) {
    const d = numbers[DISTANCE * span + j]!;
    if (d < inner || d > outer) continue;
    let at = count++;
    while (at > sures && candidate[chosen[at - 1]!]! > candidate[j]!) {
      chosen[at] = chosen[at - 1]!;
      at--;
    }
    chosen[at] = j;
  }
  return count;
}

/** Sets the chosen side by side. */
function place(job: IdwJob, count: number, room: TileRoom): void {
  const { chosen, candidate, numbers, span, chosenZ } = room;
  for (let s = 0; s < count; s++) {
    numbers[CHOSEN_X * span + s] = numbers[X * span + chosen[s]!]!;
    numbers[CHOSEN_Y * span + s] = numbers[Y * span + chosen[s]!]!;
  }
  for (let v = 0; v < chosenZ.length; v++) {
    const z = chosenZ[v]!;
    const values = job.values[v]!;
    for (let s = 0; s < count; s++) z[s] = values[candidate[chosen[s]!]!]!;
  }
}

/** Power 2, one layer: the sure ones four cells at a time, then each cell's own. */
function squareCells(
  job: IdwJob,
  c0: number,
  c1: number,
  r0: number,
  r1: number,
  contenders: number,
  sures: number,
  all: number,
  room: TileRoom,
): void {
  const { k, cols, x0, y0, dx, dy, wanted, nearest_m } = job;
  const { numbers, span, sums } = room;
  const own = job.out[0]!;
  const z = room.chosenZ[0]!;
  const looked = nearest_m.length > 0 ? contenders : 0;
  const north = NORTH * span;
  const xs = CHOSEN_X * span;
  const ys = CHOSEN_Y * span;
  const weight = WEIGHT * span;
  const value = VALUE * span;
  const ownZ = (OWN - WEIGHT) * span;
  const need = k - sures;
  for (let row = r0; row < r1; row++) {
    const py = y0 + row * dy;
    for (let s = 0; s < all; s++) {
      const d = numbers[ys + s]! - py;
      numbers[north + s] = d * d;
    }
    sumSquares(room.chosenX, room.north_m2, z, sures, x0 + c0 * dx, dx, sums);
    for (let col = c0; col < c1; col++) {
      const cell = row * cols + col;
      if (!(wanted[cell]! > 0)) continue;
      const px = x0 + col * dx;
      let least = Number.POSITIVE_INFINITY;
      for (let s = 0; s < looked; s++) {
        const ex = numbers[xs + s]! - px;
        const d = ex * ex + numbers[north + s]!;
        if (d < least) least = d;
      }
      let total = sums[col - c0]!;
      let sum = sums[4 + col - c0]!;
      if (need === 1) {
        // The one nearest of the unsure; of equals the first.
        let best = Number.POSITIVE_INFINITY;
        let bestZ = 0;
        for (let s = sures; s < all; s++) {
          const ex = numbers[xs + s]! - px;
          const d = ex * ex + numbers[north + s]!;
          if (d < best) {
            best = d;
            bestZ = numbers[value + s]!;
          }
        }
        if (best < least) least = best;
        total += 1 / best;
        sum += bestZ / best;
      } else if (need > 1) {
        // Weights and values of this cell's own stand from `sures` on, in a column each.
        const end = weight + need;
        let filled = weight;
        for (let s = sures; s < all; s++) {
          const ex = numbers[xs + s]! - px;
          const d = ex * ex + numbers[north + s]!;
          if (filled === end && d >= numbers[end - 1]!) continue;
          let at = filled < end ? filled++ : end - 1;
          while (at > weight && numbers[at - 1]! > d) {
            numbers[at] = numbers[at - 1]!;
            numbers[ownZ + at] = numbers[ownZ + at - 1]!;
            at--;
          }
          numbers[at] = d;
          numbers[ownZ + at] = numbers[value + s]!;
        }
        if (filled > weight && numbers[weight]! < least) least = numbers[weight]!;
        for (let at = weight; at < filled; at++) {
          const w = 1 / numbers[at]!;
          total += w;
          sum += w * numbers[ownZ + at]!;
        }
      }
      own[cell] = sum / total;
      if (nearest_m.length > 0) nearest_m[cell] = Math.sqrt(least);
    }
  }
}

/** Any power, layers and radius. */
function anyCells(
  job: IdwJob,
  c0: number,
  c1: number,
  r0: number,
  r1: number,
  contenders: number,
  sures: number,
  all: number,
  room: TileRoom,
): void {
  const { k, cols, x0, y0, dx, dy, wanted, out, nearest_m, power, radius_m } = job;
  const { numbers, span, chosenX, north_m2, chosenZ, weight, slot } = room;
  const limit_m2 = typeof radius_m === 'number' ? radius_m * radius_m : Number.POSITIVE_INFINITY;
  for (let s = 0; s < sures; s++) slot[s] = s;
  for (let row = r0; row < r1; row++) {
    const py = y0 + row * dy;
    for (let s = 0; s < all; s++) {
      const d = numbers[CHOSEN_Y * span + s]! - py;
      north_m2[s] = d * d;
    }
    for (let col = c0; col < c1; col++) {
      const cell = row * cols + col;
      if (!(wanted[cell]! > 0)) continue;
      const px = x0 + col * dx;
      let least = Number.POSITIVE_INFINITY;
      for (let s = 0; s < sures; s++) {
        const ex = chosenX[s]! - px;
        const d = ex * ex + north_m2[s]!;
        weight[s] = d;
        if (s < contenders && d < least) least = d;
      }
      let filled = sures;
      for (let s = sures; s < all; s++) {
        const ex = chosenX[s]! - px;
        const d = ex * ex + north_m2[s]!;
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
      if (nearest_m.length > 0) nearest_m[cell] = Math.sqrt(least);
      if (out.length === 0) continue;
      if (limit_m2 !== Number.POSITIVE_INFINITY)
        for (let s = 0; s < filled; s++) if (weight[s]! > limit_m2) weight[s] = Number.POSITIVE_INFINITY;
      weigh(weight, filled, power);
      let total = 0;
      for (let s = 0; s < filled; s++) total += weight[s]!;
      for (let v = 0; v < out.length; v++) {
        const z = chosenZ[v]!;
        let sum = 0;
        for (let s = 0; s < filled; s++) sum += weight[s]! * z[slot[s]!]!;
        out[v]![cell] = sum / total;
      }
    }
  }
}
