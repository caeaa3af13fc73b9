/**
 * The loops of core/surfaces/*.kernel.ts in AssemblyScript, two numbers at a time (WebAssembly's f64x2). Every sum runs in the order of the
 * TypeScript it twins, lane by lane: cells, layers or samples lie in the two lanes, never two terms of one sum. So the answers are the same to the last bit.
 *
 * Who calls lays memory out (core/surfaces/twin.kernel.ts): samples and cells at addresses that are handed in, and `room` for work. Nothing is
 * allocated here. `npm run kernels` compiles this file into core/surfaces/twin-bytes.ts.
 */

const AT_SAMPLE_M2: f64 = 1e-18;
const SUMS: i32 = 14;
/** Up to so many a count of those that are less settles every one's place: work without a branch, but with the square of them. */
const FEW: i32 = 64;

// Samples and their buckets.
let n: i32 = 0;
let bucketCols: i32 = 0;
let bucketRows: i32 = 0;
let west: f64 = 0;
let south: f64 = 0;
let size: f64 = 0;
let xs: usize = 0;
let ys: usize = 0;
/** Values, sample by sample: `stride` doubles each, layers and one more where their number is odd. */
let zs: usize = 0;
let starts: usize = 0;
let items: usize = 0;
let itemX: usize = 0;
let itemY: usize = 0;
let layers: i32 = 0;
let stride: i32 = 0;

// The grid, and the band of rows in hand.
let k: i32 = 0;
let cols: i32 = 0;
let x0: f64 = 0;
let y0: f64 = 0;
let dx: f64 = 0;
let dy: f64 = 0;
let way: i32 = 0;
let limit_m2: f64 = Infinity;
let looks: bool = false;
let wanted: usize = 0;
let out: usize = 0;
let near: usize = 0;
let bandRow: i32 = 0;
let bandCells: i32 = 0;

// Room to work in: columns of one length, see `room`.
let X: usize = 0;
let Y: usize = 0;
let FAR: usize = 0;
let DISTANCE: usize = 0;
let CHOSEN_X: usize = 0;
let CHOSEN_Y: usize = 0;
let NORTH: usize = 0;
let WEIGHT: usize = 0;
let VALUE: usize = 0;
let LOWEST: usize = 0;
let OWN_FOUND: usize = 0;
let OWN_D2: usize = 0;
let OWN_Z: usize = 0;
let D2: usize = 0;
let CHOSEN_Z: usize = 0;
let FOUND: usize = 0;
let CANDIDATE: usize = 0;
let CHOSEN: usize = 0;
let SLOT: usize = 0;
let SUM: usize = 0;
let BLOCK_D2: usize = 0;
let BLOCK_NAME: usize = 0;

export function samples(
  count: i32,
  layerCount: i32,
  bCols: i32,
  bRows: i32,
  bWest: f64,
  bSouth: f64,
  bSize: f64,
  atX: usize,
  atY: usize,
  atZ: usize,
  atStarts: usize,
  atItems: usize,
  atItemX: usize,
  atItemY: usize,
): void {
  n = count;
  layers = layerCount;
  stride = (layerCount + 1) & ~1;
  bucketCols = bCols;
  bucketRows = bRows;
  west = bWest;
  south = bSouth;
  size = bSize;
  xs = atX;
  ys = atY;
  zs = atZ;
  starts = atStarts;
  items = atItems;
  itemX = atItemX;
  itemY = atItemY;
}

/** Sets the columns of `span` numbers from `base` on; answers where they end. All-samples weights lie over the first four. */
export function room(base: usize, span: i32): usize {
  const column = (<usize>span) << 3;
  X = base;
  Y = X + column;
  FAR = Y + column;
  DISTANCE = FAR + column;
  CHOSEN_X = DISTANCE + column;
  CHOSEN_Y = CHOSEN_X + column;
  NORTH = CHOSEN_Y + column;
  WEIGHT = NORTH + column;
  VALUE = WEIGHT + column;
  LOWEST = VALUE + column;
  OWN_FOUND = LOWEST + column;
  OWN_D2 = OWN_FOUND + 2 * column;
  OWN_Z = OWN_D2 + 2 * column;
  D2 = OWN_Z + 2 * column;
  CHOSEN_Z = D2 + column;
  FOUND = CHOSEN_Z + column * stride;
  CANDIDATE = FOUND + (column >> 1);
  CHOSEN = CANDIDATE + (column >> 1);
  SLOT = CHOSEN + (column >> 1);
  SUM = SLOT + (column >> 1);
  BLOCK_D2 = SUM + 8 * SUMS * 2;
  BLOCK_NAME = BLOCK_D2 + 8 * (FEW + 2);
  return BLOCK_NAME + 4 * (FEW + 2);
}

export function grid(
  neighbours: i32,
  gridCols: i32,
  gridX: f64,
  gridY: f64,
  stepX: f64,
  stepY: f64,
  powerWay: i32,
  most_m2: f64,
  looksNear: bool,
): void {
  k = neighbours;
  cols = gridCols;
  x0 = gridX;
  y0 = gridY;
  dx = stepX;
  dy = stepY;
  way = powerWay;
  limit_m2 = most_m2;
  looks = looksNear;
}

/** Cells of the rows that follow: all from `rowFrom` on, layer after layer `cells` apart. */
export function band(rowFrom: i32, cells: i32, atWanted: usize, atOut: usize, atNear: usize): void {
  bandRow = rowFrom;
  bandCells = cells;
  wanted = atWanted;
  out = atOut;
  near = atNear;
}

function at(column: usize, index: i32): f64 {
  return load<f64>(column + ((<usize>index) << 3));
}

function put(column: usize, index: i32, value: f64): void {
  store<f64>(column + ((<usize>index) << 3), value);
}

function whole(column: usize, index: i32): i32 {
  return load<i32>(column + ((<usize>index) << 2));
}

function putWhole(column: usize, index: i32, value: i32): void {
  store<i32>(column + ((<usize>index) << 2), value);
}

function two(a: f64, b: f64): v128 {
  return f64x2.replace_lane(f64x2.splat(a), 1, b);
}

/** `weigh` for two squared distances. Ways: 0 to 6 are powers 1, 1.5, 2, 2.5, 3, 3.5, 4. */
function weighTwo(d2: v128, powerWay: i32): v128 {
  const one = f64x2.splat(1);
  if (powerWay === 2) return f64x2.div(one, d2);
  if (powerWay === 6) return f64x2.div(one, f64x2.mul(d2, d2));
  const d = f64x2.sqrt(d2);
  if (powerWay === 0) return f64x2.div(one, d);
  if (powerWay === 4) return f64x2.div(one, f64x2.mul(d2, d));
  const half = f64x2.sqrt(d);
  if (powerWay === 1) return f64x2.div(one, f64x2.mul(d, half));
  if (powerWay === 3) return f64x2.div(one, f64x2.mul(d2, half));
  return f64x2.div(one, f64x2.mul(f64x2.mul(d2, d), half));
}

function weigh(d2: usize, count: i32, powerWay: i32): void {
  for (let i = 0; i < count; i += 2) {
    const place = d2 + ((<usize>i) << 3);
    v128.store(place, weighTwo(v128.load(place), powerWay));
  }
}

function bucketOf(value: f64, last: i32): i32 {
  return <i32>max<f64>(0, min<f64>(<f64>last, floor<f64>(value)));
}

/**
 * The samples of a bucket and the eight about it, by distance and then index; answers how many, or -1 (and nothing done) where they are more
 * than a few.
 */
function sortBlock(px: f64, py: f64, col: i32, row: i32, index: usize, d2: usize, skip: i32): i32 {
  const c0 = max(0, col - 1);
  const c1 = min(bucketCols - 1, col + 1);
  const r1 = min(bucketRows - 1, row + 1);
  const names = BLOCK_NAME;
  const squares = BLOCK_D2;
  let count = 0;
  for (let r = max(0, row - 1); r <= r1; r++) {
    const first = whole(starts, r * bucketCols + c0);
    const end = whole(starts, r * bucketCols + c1 + 1);
    if (count + end - first > FEW) return -1;
    for (let s = first; s < end; s++) {
      const ex = at(itemX, s) - px;
      const ey = at(itemY, s) - py;
      const i = whole(items, s);
      put(squares, count, ex * ex + ey * ey);
      putWhole(names, count, i);
      count += i === skip ? 0 : 1;
    }
  }
  put(squares, count, Infinity);
  const end = (<usize>count) << 3;
  let ties = i64x2.splat(0);
  for (let byte: usize = 0; byte < end; byte += 16) {
    const d = v128.load(squares + byte);
    const a = f64x2.extract_lane(d, 0);
    const b = f64x2.extract_lane(d, 1);
    ties = i64x2.sub(ties, f64x2.eq(f64x2.splat(a), f64x2.replace_lane(d, 0, NaN)));
    let rank = i64x2.replace_lane(i64x2.splat(b < a ? -1 : 0), 1, a <= b ? -1 : 0);
    for (let other: usize = 0; other < byte; other += 8) {
      const before = v128.load64_splat(squares + other);
      rank = i64x2.add(rank, f64x2.le(before, d));
      ties = i64x2.sub(ties, f64x2.eq(before, d));
    }
    for (let other: usize = byte + 16; other < end; other += 8)
      rank = i64x2.add(rank, f64x2.lt(v128.load64_splat(squares + other), d));
    const to = -(<i32>i64x2.extract_lane(rank, 0));
    put(d2, to, a);
    putWhole(index, to, whole(names, <i32>(byte >> 3)));
    if (byte + 8 < end) {
      const next = -(<i32>i64x2.extract_lane(rank, 1));
      put(d2, next, b);
      putWhole(index, next, whole(names, <i32>(byte >> 3) + 1));
    }
  }
  if (v128.any_true(ties))
    for (let s = 1; s < count; s++) {
      const i = whole(index, s);
      let slot = s;
      while (slot > 0 && at(d2, slot - 1) === at(d2, s) && whole(index, slot - 1) > i) {
        putWhole(index, slot, whole(index, slot - 1));
        slot--;
      }
      putWhole(index, slot, i);
    }
  return count;
}

/** `nearest` of buckets.kernel.ts. */
function nearest(px: f64, py: f64, most: i32, index: usize, d2: usize, skip: i32): i32 {
  const lastCol = bucketCols - 1;
  const lastRow = bucketRows - 1;
  const col = bucketOf((px - west) / size, lastCol);
  const row = bucketOf((py - south) / size, lastRow);
  const last = max(max(col, row), max(lastCol - col, lastRow - row));
  const placeX = itemX;
  const placeY = itemY;
  const names = items;
  const side = size;
  let count = 0;
  let worst: f64 = Infinity;
  let worstName = -1;
  let begin = 0;
  const block = sortBlock(px, py, col, row, index, d2, skip);
  if (block >= 0) {
    begin = 1;
    count = min(block, most);
    if (count === most) {
      worst = at(d2, most - 1);
      worstName = whole(index, most - 1);
    }
  }
  for (let ring = begin; ring <= last; ring++) {
    const c0 = max(0, col - ring);
    const c1 = min(lastCol, col + ring);
    const r0 = max(0, row - ring);
    const r1 = min(lastRow, row + ring);
    // The first ring about the middle was looked at with it.
    for (let r = ring === 1 && begin === 1 ? r1 + 1 : r0; r <= r1; r++) {
      const full = r === row - ring || r === row + ring;
      const pieces = full ? 1 : 2;
      for (let piece = 0; piece < pieces; piece++) {
        const first = full ? c0 : piece === 0 ? col - ring : col + ring;
        const to = full ? c1 : first;
        if (first < 0 || to > lastCol) continue;
        if (count === most) {
          let gap = full ? south + <f64>r * side - py : west + <f64>first * side - px;
          if (full && r < row) gap = py - south - <f64>(r + 1) * side;
          else if (!full && piece === 0) gap = px - west - <f64>(first + 1) * side;
          if (gap > 0 && worst < gap * gap * (1 - 1e-9)) continue;
        }
        const end = whole(starts, r * bucketCols + to + 1);
        for (let s = whole(starts, r * bucketCols + first); s < end; s++) {
          const ex = at(placeX, s) - px;
          const ey = at(placeY, s) - py;
          const d = ex * ex + ey * ey;
          if (d > worst) continue;
          const i = whole(names, s);
          if (i === skip || (d === worst && i > worstName)) continue;
          let slot = count < most ? count++ : most - 1;
          while (slot > 0) {
            const before = at(d2, slot - 1);
            if (before < d || (before === d && whole(index, slot - 1) < i)) break;
            put(d2, slot, before);
            putWhole(index, slot, whole(index, slot - 1));
            slot--;
          }
          put(d2, slot, d);
          putWhole(index, slot, i);
          if (count === most) {
            worst = at(d2, most - 1);
            worstName = whole(index, most - 1);
          }
        }
      }
    }
    if (count < most) continue;
    const bound = min(
      min(
        c0 === 0 ? Infinity : px - (west + <f64>c0 * side),
        c1 === lastCol ? Infinity : west + <f64>(c1 + 1) * side - px,
      ),
      min(
        r0 === 0 ? Infinity : py - (south + <f64>r0 * side),
        r1 === lastRow ? Infinity : south + <f64>(r1 + 1) * side - py,
      ),
    );
    if (worst < bound * bound * (1 - 1e-9)) break;
  }
  return count;
}

/** `within` and `sortCandidates`: those at most `radius` away, by distance and then index, as candidates of a tile. */
function gather(px: f64, py: f64, radius: f64): i32 {
  const c0 = max(0, <i32>floor<f64>((px - radius - west) / size));
  const c1 = min(bucketCols - 1, <i32>floor<f64>((px + radius - west) / size));
  const r0 = max(0, <i32>floor<f64>((py - radius - south) / size));
  const r1 = min(bucketRows - 1, <i32>floor<f64>((py + radius - south) / size));
  const most = radius * radius;
  let count = 0;
  if (c0 > c1) return 0;
  for (let r = r0; r <= r1; r++) {
    const end = whole(starts, r * bucketCols + c1 + 1);
    for (let s = whole(starts, r * bucketCols + c0); s < end; s++) {
      const ex = at(itemX, s) - px;
      const ey = at(itemY, s) - py;
      const d2 = ex * ex + ey * ey;
      if (!(d2 <= most)) continue;
      const d = sqrt<f64>(d2);
      const i = whole(items, s);
      let slot = count++;
      while (slot > 0) {
        const before = at(FAR, slot - 1);
        if (before < d || (before === d && whole(CANDIDATE, slot - 1) < i)) break;
        put(FAR, slot, before);
        putWhole(CANDIDATE, slot, whole(CANDIDATE, slot - 1));
        slot--;
      }
      put(FAR, slot, d);
      putWhole(CANDIDATE, slot, i);
    }
  }
  for (let j = 0; j < count; j++) {
    const i = whole(CANDIDATE, j);
    put(X, j, at(xs, i));
    put(Y, j, at(ys, i));
  }
  return count;
}

function anyWanted(c0: i32, c1: i32, r0: i32, r1: i32): bool {
  for (let row = r0; row < r1; row++) {
    const first = (row - bandRow) * cols;
    for (let cell = first + c0; cell < first + c1; cell++) if (at(wanted, cell) > 0) return true;
  }
  return false;
}

/** `tileRow` of tiles.kernel.ts. */
export function tiles(side: i32, rowFrom: i32, rowTo: i32): void {
  for (let colFrom = 0; colFrom < cols; colFrom += side) {
    const colTo = min(colFrom + side, cols);
    if (!anyWanted(colFrom, colTo, rowFrom, rowTo)) continue;
    const x = x0 + (<f64>(colFrom + colTo - 1) / 2) * dx;
    const y = y0 + (<f64>(rowFrom + rowTo - 1) / 2) * dy;
    const width = <f64>(colTo - colFrom - 1) * dx;
    const height = <f64>(rowTo - rowFrom - 1) * dy;
    const half = sqrt<f64>(width * width + height * height) / 2;
    const found = nearest(x, y, k, FOUND, D2, -1);
    const reach = (sqrt<f64>(at(D2, found - 1)) + 2 * half) * (1 + 1e-9) + 1e-9;
    const count = gather(x, y, reach);
    for (let row = rowFrom; row < rowTo; row += 4)
      for (let col = colFrom; col < colTo; col += 4) {
        const c1 = min(col + 4, colTo);
        const r1 = min(row + 4, rowTo);
        if (anyWanted(col, c1, row, r1)) subtile(col, c1, row, r1, x, y, reach, count);
      }
  }
}

function subtile(c0: i32, c1: i32, r0: i32, r1: i32, tileX: f64, tileY: f64, reach: f64, count: i32): void {
  const centreX = x0 + (<f64>(c0 + c1 - 1) / 2) * dx;
  const centreY = y0 + (<f64>(r0 + r1 - 1) / 2) * dy;
  const width = <f64>(c1 - c0 - 1) * dx;
  const height = <f64>(r1 - r0 - 1) * dy;
  const across = sqrt<f64>(width * width + height * height) + 1e-9 * (1 + reach);
  const off = sqrt<f64>((centreX - tileX) * (centreX - tileX) + (centreY - tileY) * (centreY - tileY));
  const seen = rankCandidates(count, centreX, centreY, off + across);
  const inner = min(at(LOWEST, k), reach - off) - across;
  const outer = at(LOWEST, k - 1) + across;
  const first = at(LOWEST, 0) + across;
  let contenders = 0;
  let sures = 0;
  for (let j = 0; j < seen; j++) {
    const d = at(DISTANCE, j);
    if (d >= inner) continue;
    putWhole(CHOSEN, sures++, j);
    if (d > first) continue;
    putWhole(CHOSEN, sures - 1, whole(CHOSEN, contenders));
    putWhole(CHOSEN, contenders++, j);
  }
  const all = sures === k ? k : addUnsure(seen, inner, outer, sures);
  const square = way === 2 && layers === 1 && limit_m2 === Infinity;
  for (let s = 0; s < all; s++) {
    const j = whole(CHOSEN, s);
    put(CHOSEN_X, s, at(X, j));
    put(CHOSEN_Y, s, at(Y, j));
    const from = zs + ((<usize>(whole(CANDIDATE, j) * stride)) << 3);
    if (square) put(VALUE, s, load<f64>(from));
    else {
      const to = CHOSEN_Z + ((<usize>(s * stride)) << 3);
      store<i64>(VALUE + ((<usize>s) << 3), <i64>to);
      for (let v = 0; v < stride; v += 2) v128.store(to + ((<usize>v) << 3), v128.load(from + ((<usize>v) << 3)));
    }
  }
  if (square) squareCells(c0, c1, r0, r1, contenders, sures, all);
  else anyCells(c0, c1, r0, r1, contenders, sures, all);
}

/** Distances from a subtile's centre, and its k + 1 least at their places in LOWEST (of few: all of them); answers how many were looked at. */
function rankCandidates(count: i32, centreX: f64, centreY: f64, margin: f64): i32 {
  if (count > FEW) return rankMany(count, centreX, centreY, margin);
  const distance = DISTANCE;
  const lowest = LOWEST;
  const placeX = X;
  const placeY = Y;
  const cx = f64x2.splat(centreX);
  const cy = f64x2.splat(centreY);
  const end = (<usize>count) << 3;
  for (let byte: usize = 0; byte < end; byte += 16) {
    const ex = f64x2.sub(v128.load(placeX + byte), cx);
    const ey = f64x2.sub(v128.load(placeY + byte), cy);
    v128.store(distance + byte, f64x2.sqrt(f64x2.add(f64x2.mul(ex, ex), f64x2.mul(ey, ey))));
  }
  put(distance, count, Infinity);
  put(lowest, k, Infinity);
  for (let byte: usize = 0; byte < end; byte += 16) {
    const d = v128.load(distance + byte);
    // Of the two themselves the first comes before the second where they are alike.
    let rank = f64x2.le(f64x2.splat(f64x2.extract_lane(d, 0)), d);
    rank = i64x2.replace_lane(rank, 0, 0);
    const second = f64x2.extract_lane(d, 1) < f64x2.extract_lane(d, 0) ? -1 : 0;
    rank = i64x2.replace_lane(rank, 0, <i64>second);
    for (let other: usize = 0; other < byte; other += 8)
      rank = i64x2.add(rank, f64x2.le(v128.load64_splat(distance + other), d));
    for (let other: usize = byte + 16; other < end; other += 8)
      rank = i64x2.add(rank, f64x2.lt(v128.load64_splat(distance + other), d));
    store<f64>(lowest - ((<usize>i64x2.extract_lane(rank, 0)) << 3), f64x2.extract_lane(d, 0));
    if (byte + 8 < end) store<f64>(lowest - ((<usize>i64x2.extract_lane(rank, 1)) << 3), f64x2.extract_lane(d, 1));
  }
  return count;
}

function rankMany(count: i32, centreX: f64, centreY: f64, margin: f64): i32 {
  const lowest = LOWEST;
  const most = k;
  for (let j = 0; j <= most; j++) put(lowest, j, Infinity);
  let worst: f64 = Infinity;
  for (let j = 0; j < count; j++) {
    if (at(FAR, j) - margin > worst) return j;
    const ex = at(X, j) - centreX;
    const ey = at(Y, j) - centreY;
    const d = sqrt<f64>(ex * ex + ey * ey);
    put(DISTANCE, j, d);
    if (d >= worst) continue;
    let slot = min(j, most);
    while (slot > 0) {
      const before = at(lowest, slot - 1);
      if (!(before > d)) break;
      put(lowest, slot, before);
      slot--;
    }
    put(lowest, slot, d);
    worst = at(lowest, most);
  }
  return count;
}

function addUnsure(seen: i32, inner: f64, outer: f64, sures: i32): i32 {
  let count = sures;
  for (let j = 0; j < seen; j++) {
    const d = at(DISTANCE, j);
    if (d < inner || d > outer) continue;
    const name = whole(CANDIDATE, j);
    let slot = count++;
    while (slot > sures && whole(CANDIDATE, whole(CHOSEN, slot - 1)) > name) {
      putWhole(CHOSEN, slot, whole(CHOSEN, slot - 1));
      slot--;
    }
    putWhole(CHOSEN, slot, j);
  }
  return count;
}

function northOf(places: usize, count: i32, py: f64): void {
  for (let s = 0; s < count; s++) {
    const d = at(places, s) - py;
    put(NORTH, s, d * d);
  }
}

/** `sumSquares` of all.kernel.ts: four cells, weights into SUM 0 to 3, weighted values into 4 to 7. */
function sumSquares(count: i32, px: f64): void {
  const one = f64x2.splat(1);
  const p01 = two(px, px + dx);
  const p23 = two(px + 2 * dx, px + 3 * dx);
  let w01 = f64x2.splat(0);
  let w23 = f64x2.splat(0);
  let s01 = f64x2.splat(0);
  let s23 = f64x2.splat(0);
  const even = count & ~1;
  const placeX = CHOSEN_X;
  const north = NORTH;
  const value = VALUE;
  for (let i = 0; i < even; i += 2) {
    const byte = (<usize>i) << 3;
    const xa = v128.load64_splat(placeX + byte);
    const xb = v128.load64_splat(placeX + byte, 8);
    const ya = v128.load64_splat(north + byte);
    const yb = v128.load64_splat(north + byte, 8);
    const za = v128.load64_splat(value + byte);
    const zb = v128.load64_splat(value + byte, 8);
    let a = f64x2.sub(xa, p01);
    let b = f64x2.sub(xb, p01);
    a = f64x2.add(f64x2.mul(a, a), ya);
    b = f64x2.add(f64x2.mul(b, b), yb);
    let r = f64x2.div(one, f64x2.mul(a, b));
    w01 = f64x2.add(w01, f64x2.mul(f64x2.add(a, b), r));
    s01 = f64x2.add(s01, f64x2.mul(f64x2.add(f64x2.mul(za, b), f64x2.mul(zb, a)), r));
    a = f64x2.sub(xa, p23);
    b = f64x2.sub(xb, p23);
    a = f64x2.add(f64x2.mul(a, a), ya);
    b = f64x2.add(f64x2.mul(b, b), yb);
    r = f64x2.div(one, f64x2.mul(a, b));
    w23 = f64x2.add(w23, f64x2.mul(f64x2.add(a, b), r));
    s23 = f64x2.add(s23, f64x2.mul(f64x2.add(f64x2.mul(za, b), f64x2.mul(zb, a)), r));
  }
  if (even < count) {
    const byte = (<usize>even) << 3;
    const x = v128.load64_splat(placeX + byte);
    const y = v128.load64_splat(north + byte);
    const z = v128.load64_splat(value + byte);
    let a = f64x2.sub(x, p01);
    let r = f64x2.div(one, f64x2.add(f64x2.mul(a, a), y));
    w01 = f64x2.add(w01, r);
    s01 = f64x2.add(s01, f64x2.mul(z, r));
    a = f64x2.sub(x, p23);
    r = f64x2.div(one, f64x2.add(f64x2.mul(a, a), y));
    w23 = f64x2.add(w23, r);
    s23 = f64x2.add(s23, f64x2.mul(z, r));
  }
  v128.store(SUM, w01);
  v128.store(SUM, w23, 16);
  v128.store(SUM, s01, 32);
  v128.store(SUM, s23, 48);
}

function squareCells(c0: i32, c1: i32, r0: i32, r1: i32, contenders: i32, sures: i32, all: i32): void {
  const looked = looks ? (<usize>contenders) << 3 : 0;
  const need = k - sures;
  for (let row = r0; row < r1; row++) {
    northOf(CHOSEN_Y, all, y0 + <f64>row * dy);
    sumSquares(sures, x0 + <f64>c0 * dx);
    for (let col = c0; col < c1; col += 2) {
      const cell = (row - bandRow) * cols + col;
      const px = two(x0 + <f64>col * dx, x0 + <f64>(col + 1) * dx);
      const placeX = CHOSEN_X;
      const north = NORTH;
      let least = f64x2.splat(Infinity);
      for (let byte: usize = 0; byte < looked; byte += 8) least = f64x2.pmin(least, squareTo(placeX, north, byte, px));
      const sumAt = SUM + ((<usize>(col - c0)) << 3);
      let total = v128.load(sumAt);
      let sum = v128.load(sumAt, 32);
      if (need === 1) {
        let best = f64x2.splat(Infinity);
        let bestZ = f64x2.splat(0);
        for (let byte = (<usize>sures) << 3; byte < (<usize>all) << 3; byte += 8) {
          const d = squareTo(placeX, north, byte, px);
          const less = f64x2.lt(d, best);
          best = v128.bitselect(d, best, less);
          bestZ = v128.bitselect(v128.load64_splat(VALUE + byte), bestZ, less);
        }
        least = f64x2.pmin(least, best);
        total = f64x2.add(total, f64x2.div(f64x2.splat(1), best));
        sum = f64x2.add(sum, f64x2.div(bestZ, best));
      } else if (need > 1) {
        const filled = all - sures > FEW ? ownOnes(col, sures, all, need) : rankOwn(px, sures, all, need, 0);
        least = f64x2.pmin(least, v128.load(OWN_D2));
        for (let place: usize = 0; place < (<usize>filled) << 4; place += 16) {
          const w = f64x2.div(f64x2.splat(1), v128.load(OWN_D2 + place));
          total = f64x2.add(total, w);
          sum = f64x2.add(sum, f64x2.mul(w, v128.load(OWN_Z + place)));
        }
      }
      const mean = f64x2.div(sum, total);
      keep(cell, f64x2.extract_lane(mean, 0), f64x2.extract_lane(least, 0));
      if (col + 1 < c1) keep(cell + 1, f64x2.extract_lane(mean, 1), f64x2.extract_lane(least, 1));
    }
  }
}

function squareTo(placeX: usize, north: usize, byte: usize, px: v128): v128 {
  const ex = f64x2.sub(v128.load64_splat(placeX + byte), px);
  return f64x2.add(f64x2.mul(ex, ex), v128.load64_splat(north + byte));
}

function keep(cell: i32, mean: f64, least: f64): void {
  if (!(at(wanted, cell) > 0)) return;
  put(out, cell, mean);
  if (looks) store<f32>(near + ((<usize>cell) << 2), <f32>sqrt<f64>(least));
}

/** The unsure of two cells each to its place by distance, the first of equals first, from `from` on in OWN_D2, and what VALUE has of it in OWN_Z; answers how many count. */
function rankOwn(px: v128, sures: i32, all: i32, need: i32, from: usize): i32 {
  const first = (<usize>sures) << 3;
  const end = (<usize>all) << 3;
  const own = OWN_FOUND;
  const d2 = OWN_D2 + from;
  const z = OWN_Z + from;
  for (let byte = first; byte < end; byte += 8)
    v128.store(own + ((byte - first) << 1), squareTo(CHOSEN_X, NORTH, byte, px));
  const last = (end - first) << 1;
  for (let mine: usize = 0; mine < last; mine += 16) {
    const d = v128.load(own + mine);
    let rank = i64x2.splat(0);
    for (let other: usize = 0; other < mine; other += 16) rank = i64x2.add(rank, f64x2.le(v128.load(own + other), d));
    for (let other = mine + 16; other < last; other += 16) rank = i64x2.add(rank, f64x2.lt(v128.load(own + other), d));
    const value = load<i64>(VALUE + first + (mine >> 1));
    const a = (<usize>i64x2.extract_lane(rank, 0)) << 4;
    const b = (<usize>i64x2.extract_lane(rank, 1)) << 4;
    store<f64>(d2 - a, f64x2.extract_lane(d, 0));
    store<i64>(z - a, value);
    store<f64>(d2 - b + 8, f64x2.extract_lane(d, 1));
    store<i64>(z - b + 8, value);
  }
  return min(need, all - sures);
}

/** The same for any number of them. */
function ownOnes(col: i32, sures: i32, all: i32, need: i32): i32 {
  let filled = 0;
  for (let lane = 0; lane < 2; lane++) {
    filled = insertOwn(x0 + <f64>(col + lane) * dx, 0, sures, all, need);
    for (let s = 0; s < filled; s++) {
      put(OWN_D2, 2 * s + lane, at(WEIGHT, s));
      put(OWN_Z, 2 * s + lane, at(VALUE, whole(SLOT, s)));
    }
  }
  return filled;
}

/** The nearest of the unsure, up to `most` in all, into WEIGHT and SLOT from `from` on, ascending; answers where they end. */
function insertOwn(px: f64, from: i32, sures: i32, all: i32, most: i32): i32 {
  const weight = WEIGHT;
  const slots = SLOT;
  let filled = from;
  for (let s = sures; s < all; s++) {
    const ex = at(CHOSEN_X, s) - px;
    const d = ex * ex + at(NORTH, s);
    if (filled === most && d >= at(weight, most - 1)) continue;
    let slot = filled < most ? filled++ : most - 1;
    while (slot > from) {
      const before = at(weight, slot - 1);
      if (!(before > d)) break;
      put(weight, slot, before);
      putWhole(slots, slot, whole(slots, slot - 1));
      slot--;
    }
    put(weight, slot, d);
    putWhole(slots, slot, s);
  }
  return filled;
}

/** Any layers and radius, two cells at a time. */
function anyCells(c0: i32, c1: i32, r0: i32, r1: i32, contenders: i32, sures: i32, all: i32): void {
  if (all - sures > FEW) {
    eachCell(c0, c1, r0, r1, contenders, sures, all);
    return;
  }
  const sure = (<usize>sures) << 4;
  const end = (<usize>k) << 4;
  const looked = (<usize>contenders) << 4;
  const weight = OWN_D2;
  const limit = f64x2.splat(limit_m2);
  for (let row = r0; row < r1; row++) {
    northOf(CHOSEN_Y, all, y0 + <f64>row * dy);
    for (let col = c0; col < c1; col += 2) {
      const cell = (row - bandRow) * cols + col;
      const both = col + 1 < c1 && at(wanted, cell + 1) > 0;
      const first = at(wanted, cell) > 0;
      if (!both && !first) continue;
      const px = two(x0 + <f64>col * dx, x0 + <f64>(col + 1) * dx);
      for (let place: usize = 0; place < sure; place += 16)
        v128.store(weight + place, squareTo(CHOSEN_X, NORTH, place >> 1, px));
      let least = f64x2.splat(Infinity);
      for (let place: usize = 0; place < looked; place += 16) least = f64x2.pmin(least, v128.load(weight + place));
      if (sure < end) {
        rankOwn(px, sures, all, k - sures, sure);
        least = f64x2.pmin(least, v128.load(weight + sure));
      }
      if (looks) {
        const root = f64x2.sqrt(least);
        if (first) store<f32>(near + ((<usize>cell) << 2), <f32>f64x2.extract_lane(root, 0));
        if (both) store<f32>(near + ((<usize>cell) << 2), <f32>f64x2.extract_lane(root, 1), 4);
      }
      if (layers === 0) continue;
      let total = f64x2.splat(0);
      for (let place: usize = 0; place < end; place += 16) {
        let w = v128.load(weight + place);
        w = weighTwo(v128.bitselect(f64x2.splat(Infinity), w, f64x2.gt(w, limit)), way);
        v128.store(weight + place, w);
        total = f64x2.add(total, w);
      }
      meansOf(cell, first, both, sure, end, total);
    }
  }
}

/** Every layer's mean into two cells, with the weights in OWN_D2: of the sure ones in their order, then of those that OWN_Z names. */
function meansOf(cell: i32, first: bool, second: bool, sure: usize, end: usize, total: v128): void {
  const weight = OWN_D2;
  const names = OWN_Z;
  const step = (<usize>stride) << 3;
  const totalA = f64x2.splat(f64x2.extract_lane(total, 0));
  const totalB = f64x2.splat(f64x2.extract_lane(total, 1));
  for (let v = 0; v < layers; v += 2) {
    const layer = (<usize>v) << 3;
    let a = f64x2.splat(0);
    let b = f64x2.splat(0);
    let z = CHOSEN_Z + layer;
    for (let place: usize = 0; place < sure; place += 16) {
      const value = v128.load(z);
      a = f64x2.add(a, f64x2.mul(v128.load64_splat(weight + place), value));
      b = f64x2.add(b, f64x2.mul(v128.load64_splat(weight + place, 8), value));
      z += step;
    }
    for (let place = sure; place < end; place += 16) {
      const ofA = v128.load(<usize>load<i64>(names + place) + layer);
      const ofB = v128.load(<usize>load<i64>(names + place, 8) + layer);
      a = f64x2.add(a, f64x2.mul(v128.load64_splat(weight + place), ofA));
      b = f64x2.add(b, f64x2.mul(v128.load64_splat(weight + place, 8), ofB));
    }
    a = f64x2.div(a, totalA);
    b = f64x2.div(b, totalB);
    const more = v + 1 < layers;
    if (first) {
      put(out, v * bandCells + cell, f64x2.extract_lane(a, 0));
      if (more) put(out, (v + 1) * bandCells + cell, f64x2.extract_lane(a, 1));
    }
    if (second) {
      put(out, v * bandCells + cell + 1, f64x2.extract_lane(b, 0));
      if (more) put(out, (v + 1) * bandCells + cell + 1, f64x2.extract_lane(b, 1));
    }
  }
}

/** The same with a search by insertion, for many that are unsure. */
function eachCell(c0: i32, c1: i32, r0: i32, r1: i32, contenders: i32, sures: i32, all: i32): void {
  const weight = WEIGHT;
  for (let s = 0; s < sures; s++) putWhole(SLOT, s, s);
  for (let row = r0; row < r1; row++) {
    northOf(CHOSEN_Y, all, y0 + <f64>row * dy);
    for (let col = c0; col < c1; col++) {
      const cell = (row - bandRow) * cols + col;
      if (!(at(wanted, cell) > 0)) continue;
      const px = x0 + <f64>col * dx;
      let least: f64 = Infinity;
      for (let s = 0; s < sures; s++) {
        const ex = at(CHOSEN_X, s) - px;
        const d = ex * ex + at(NORTH, s);
        put(weight, s, d);
        if (s < contenders && d < least) least = d;
      }
      const filled = sures === k ? k : insertOwn(px, sures, sures, all, k);
      if (filled > sures && at(weight, sures) < least) least = at(weight, sures);
      if (looks) store<f32>(near + ((<usize>cell) << 2), <f32>sqrt<f64>(least));
      if (layers === 0) continue;
      if (limit_m2 !== Infinity)
        for (let s = 0; s < filled; s++) if (at(weight, s) > limit_m2) put(weight, s, Infinity);
      meanOf(cell, filled, CHOSEN_Z, SLOT);
    }
  }
}

/** Weights out of the squared distances in WEIGHT, and every layer's mean into the cell. Values lie at `z` by the places in `slots`. */
function meanOf(cell: i32, count: i32, z: usize, slots: usize): void {
  weigh(WEIGHT, count, way);
  let total: f64 = 0;
  for (let s = 0; s < count; s++) total += at(WEIGHT, s);
  const all = f64x2.splat(total);
  for (let v = 0; v < layers; v += 2) {
    let sum = f64x2.splat(0);
    for (let s = 0; s < count; s++) {
      const value = v128.load(z + ((<usize>(whole(slots, s) * stride + v)) << 3));
      sum = f64x2.add(sum, f64x2.mul(v128.load64_splat(WEIGHT + ((<usize>s) << 3)), value));
    }
    const mean = f64x2.div(sum, all);
    put(out, v * bandCells + cell, f64x2.extract_lane(mean, 0));
    if (v + 1 < layers) put(out, (v + 1) * bandCells + cell, f64x2.extract_lane(mean, 1));
  }
}

/** `cellRow` of idw.kernel.ts for the rows of the band. */
export function cells(rowFrom: i32, rowTo: i32): void {
  for (let row = rowFrom; row < rowTo; row++) {
    const py = y0 + <f64>row * dy;
    for (let col = 0; col < cols; col++) {
      const cell = (row - bandRow) * cols + col;
      if (!(at(wanted, cell) > 0)) continue;
      let count = nearest(x0 + <f64>col * dx, py, k, FOUND, WEIGHT, -1);
      const least = at(WEIGHT, 0);
      if (looks) store<f32>(near + ((<usize>cell) << 2), <f32>sqrt<f64>(least));
      if (least < AT_SAMPLE_M2) {
        for (let v = 0; v < layers; v++) put(out, v * bandCells + cell, at(zs, whole(FOUND, 0) * stride + v));
        continue;
      }
      // Ascending: those beyond the radius stand last.
      while (count > 0 && !(at(WEIGHT, count - 1) <= limit_m2)) count--;
      meanOf(cell, count, zs, FOUND);
    }
  }
}

/**
 * `allCells` of all.kernel.ts: cells c0..c1 of rows r0..r1 from every sample within `radius_m` of a place, or from all of them where that is
 * infinite. Those chosen stand by ascending index.
 */
export function everySample(c0: i32, c1: i32, r0: i32, r1: i32, px: f64, py: f64, radius_m: f64): void {
  const most = radius_m * radius_m;
  const simple = way === 2 && limit_m2 === Infinity && layers === 1;
  const bounded = radius_m !== Infinity;
  let count = 0;
  for (let i = 0; i < n; i++) {
    const x = at(xs, i);
    const y = at(ys, i);
    if (bounded && !((x - px) * (x - px) + (y - py) * (y - py) <= most)) continue;
    put(CHOSEN_X, count, x);
    put(CHOSEN_Y, count, y);
    const from = zs + ((<usize>(i * stride)) << 3);
    if (simple) put(VALUE, count, load<f64>(from));
    else for (let v = 0; v < layers; v++) put(CHOSEN_Z, v * n + count, load<f64>(from + ((<usize>v) << 3)));
    count++;
  }
  for (let row = r0; row < r1; row++) {
    northOf(CHOSEN_Y, count, y0 + <f64>row * dy);
    for (let col = c0; col < c1; col += 4) {
      const end = min(4, c1 - col);
      const cell = (row - bandRow) * cols + col;
      let any = false;
      for (let c = 0; c < end; c++) if (at(wanted, cell + c) > 0) any = true;
      if (!any) continue;
      const left = x0 + <f64>col * dx;
      if (simple) sumSquares(count, left);
      else weighFour(count, left);
      for (let v = 0; v < layers; v++) {
        if (!simple) sumLayer(count, CHOSEN_Z + ((<usize>(v * n)) << 3));
        for (let c = 0; c < end; c++)
          if (at(wanted, cell + c) > 0) put(out, v * bandCells + cell + c, at(SUM, 4 + c) / at(SUM, c));
      }
    }
  }
}

function weighFour(count: i32, px: f64): void {
  const p01 = two(px, px + dx);
  const p23 = two(px + 2 * dx, px + 3 * dx);
  const limit = f64x2.splat(limit_m2);
  const far = f64x2.splat(Infinity);
  const weight = X;
  let w01 = f64x2.splat(0);
  let w23 = f64x2.splat(0);
  for (let i = 0; i < count; i++) {
    const byte = (<usize>i) << 3;
    const x = v128.load64_splat(CHOSEN_X + byte);
    const y = v128.load64_splat(NORTH + byte);
    let a = f64x2.sub(x, p01);
    let b = f64x2.sub(x, p23);
    a = f64x2.add(f64x2.mul(a, a), y);
    b = f64x2.add(f64x2.mul(b, b), y);
    a = weighTwo(v128.bitselect(far, a, f64x2.gt(a, limit)), way);
    b = weighTwo(v128.bitselect(far, b, f64x2.gt(b, limit)), way);
    v128.store(weight + (byte << 2), a);
    v128.store(weight + (byte << 2), b, 16);
    w01 = f64x2.add(w01, a);
    w23 = f64x2.add(w23, b);
  }
  v128.store(SUM, w01);
  v128.store(SUM, w23, 16);
}

function sumLayer(count: i32, z: usize): void {
  const weight = X;
  let s01 = f64x2.splat(0);
  let s23 = f64x2.splat(0);
  for (let i = 0; i < count; i++) {
    const byte = (<usize>i) << 3;
    const value = v128.load64_splat(z + byte);
    s01 = f64x2.add(s01, f64x2.mul(v128.load(weight + (byte << 2)), value));
    s23 = f64x2.add(s23, f64x2.mul(v128.load(weight + (byte << 2), 16), value));
  }
  v128.store(SUM, s01, 32);
  v128.store(SUM, s23, 48);
}

/**
 * `scanNearest` of others.kernel.ts: predictions [(count x powers + power) x layers + layer][sample - from]. `counts` ascend; `ways` are those
 * of `weighTwo`.
 */
export function othersNearest(
  sampleFrom: i32,
  sampleTo: i32,
  counts: usize,
  countCount: i32,
  ways: usize,
  wayCount: i32,
  most_m2: f64,
  predicted: usize,
): void {
  const longest = whole(counts, countCount - 1);
  const length = sampleTo - sampleFrom;
  for (let i = sampleFrom; i < sampleTo; i++) {
    let found = nearest(at(xs, i), at(ys, i), longest, FOUND, D2, i);
    while (found > 0 && at(D2, found - 1) > most_m2) found--;
    if (found === 0) continue;
    const hit = at(D2, 0) < AT_SAMPLE_M2;
    for (let p = 0; p < wayCount; p++) {
      if (!hit) {
        for (let j = 0; j < found; j += 2)
          v128.store(WEIGHT + ((<usize>j) << 3), weighTwo(v128.load(D2 + ((<usize>j) << 3)), whole(ways, p)));
      }
      for (let v = 0; v < layers; v += 2) {
        let sum = f64x2.splat(0);
        let total: f64 = 0;
        let j = 0;
        for (let c = 0; c < countCount; c++) {
          let mean: v128;
          if (hit) mean = v128.load(zs + ((<usize>(whole(FOUND, 0) * stride + v)) << 3));
          else {
            const end = min(whole(counts, c), found);
            for (; j < end; j++) {
              const w = at(WEIGHT, j);
              const value = v128.load(zs + ((<usize>(whole(FOUND, j) * stride + v)) << 3));
              sum = f64x2.add(sum, f64x2.mul(f64x2.splat(w), value));
              total += w;
            }
            mean = f64x2.div(sum, f64x2.splat(total));
          }
          const column = (c * wayCount + p) * layers + v;
          put(predicted, column * length + i - sampleFrom, f64x2.extract_lane(mean, 0));
          if (v + 1 < layers) put(predicted, (column + 1) * length + i - sampleFrom, f64x2.extract_lane(mean, 1));
        }
      }
    }
  }
}

/**
 * `addPairs` of pairs.kernel.ts for samples as a whole, two side by side: sums from the samples before one, then from those after it, as that
 * adds them. `sums` are 14 numbers [layer][sample - from], `same` the first sample at a sample's place or -1.
 */
export function othersAll(
  sampleFrom: i32,
  sampleTo: i32,
  most_m2: f64,
  low: bool,
  high: bool,
  sums: usize,
  same: usize,
): void {
  const length = sampleTo - sampleFrom;
  for (let i = sampleFrom; i < sampleTo; i += 2) {
    const last = min(i + 1, sampleTo - 1);
    const first = i - sampleFrom;
    putWhole(same, first, -1);
    putWhole(same, last - sampleFrom, -1);
    for (let q = 0; q < 2 * SUMS; q++) put(SUM, q, 0);
    weighOthers(i, last, 0, i + 1, most_m2, same - ((<usize>sampleFrom) << 2));
    weighOthers(i, last, i + 1, n, most_m2, same - ((<usize>sampleFrom) << 2));
    for (let v = 0; v < layers; v++) {
      for (let q = SUMS; q < 2 * SUMS; q++) put(SUM, q, 0);
      const z = zs + ((<usize>v) << 3);
      if (low) {
        addLow(z, 0, i + 1);
        addLow(z, i + 1, n);
      }
      if (high) {
        addHigh(z, 0, i + 1);
        addHigh(z, i + 1, n);
      }
      for (let lane = 0; lane <= last - i; lane++)
        for (let q = 0; q < SUMS; q++) put(sums, (v * length + first + lane) * SUMS + q, at(SUM, 2 * q + lane));
    }
  }
}

function addTo(q: i32, value: v128): void {
  const place = SUM + ((<usize>q) << 4);
  v128.store(place, f64x2.add(v128.load(place), value));
}

/** 1 / distance of two samples to those of j0..j1 and its root, kept side by side from X on; sums of weights at all seven powers. */
function weighOthers(i: i32, last: i32, j0: i32, j1: i32, most_m2: f64, same: usize): void {
  const one = f64x2.splat(1);
  const px = two(at(xs, i), at(xs, last));
  const py = two(at(ys, i), at(ys, last));
  const most = f64x2.splat(most_m2);
  const least = f64x2.splat(AT_SAMPLE_M2);
  const kept = X;
  let w0 = f64x2.splat(0);
  let w1 = f64x2.splat(0);
  let w2 = f64x2.splat(0);
  let w3 = f64x2.splat(0);
  let w4 = f64x2.splat(0);
  let w5 = f64x2.splat(0);
  let w6 = f64x2.splat(0);
  for (let j = j0; j < j1; j++) {
    const byte = (<usize>j) << 3;
    const ex = f64x2.sub(v128.load64_splat(xs + byte), px);
    const ey = f64x2.sub(v128.load64_splat(ys + byte), py);
    const d2 = f64x2.add(f64x2.mul(ex, ex), f64x2.mul(ey, ey));
    let r = v128.and(f64x2.div(one, f64x2.sqrt(d2)), f64x2.le(d2, most));
    const here = f64x2.lt(d2, least);
    if (v128.any_true(here)) {
      r = v128.andnot(r, here);
      if (j !== i && f64x2.extract_lane(d2, 0) < AT_SAMPLE_M2 && whole(same, i) < 0) putWhole(same, i, j);
      if (j !== last && f64x2.extract_lane(d2, 1) < AT_SAMPLE_M2 && whole(same, last) < 0) putWhole(same, last, j);
    }
    const h = f64x2.sqrt(r);
    v128.store(kept + (byte << 2), r);
    v128.store(kept + (byte << 2), h, 16);
    const a = f64x2.mul(r, h);
    const b = f64x2.mul(r, r);
    const c = f64x2.mul(a, r);
    const d = f64x2.mul(b, r);
    w0 = f64x2.add(w0, r);
    w1 = f64x2.add(w1, a);
    w2 = f64x2.add(w2, b);
    w3 = f64x2.add(w3, c);
    w4 = f64x2.add(w4, d);
    w5 = f64x2.add(w5, f64x2.mul(d, h));
    w6 = f64x2.add(w6, f64x2.mul(b, b));
  }
  addTo(0, w0);
  addTo(1, w1);
  addTo(2, w2);
  addTo(3, w3);
  addTo(4, w4);
  addTo(5, w5);
  addTo(6, w6);
}

/** Weighted values at powers 1 to 3. */
function addLow(z: usize, j0: i32, j1: i32): void {
  const kept = X;
  const step = (<usize>stride) << 3;
  let s0 = f64x2.splat(0);
  let s1 = f64x2.splat(0);
  let s2 = f64x2.splat(0);
  let s3 = f64x2.splat(0);
  let s4 = f64x2.splat(0);
  for (let j = j0; j < j1; j++) {
    const place = kept + ((<usize>j) << 5);
    const value = v128.load64_splat(z + <usize>j * step);
    const r = v128.load(place);
    const a = f64x2.mul(r, v128.load(place, 16));
    const b = f64x2.mul(r, r);
    s0 = f64x2.add(s0, f64x2.mul(r, value));
    s1 = f64x2.add(s1, f64x2.mul(a, value));
    s2 = f64x2.add(s2, f64x2.mul(b, value));
    s3 = f64x2.add(s3, f64x2.mul(f64x2.mul(a, r), value));
    s4 = f64x2.add(s4, f64x2.mul(f64x2.mul(b, r), value));
  }
  addTo(7, s0);
  addTo(8, s1);
  addTo(9, s2);
  addTo(10, s3);
  addTo(11, s4);
}

/** Weighted values at powers 3.5 and 4. */
function addHigh(z: usize, j0: i32, j1: i32): void {
  const kept = X;
  const step = (<usize>stride) << 3;
  let s5 = f64x2.splat(0);
  let s6 = f64x2.splat(0);
  for (let j = j0; j < j1; j++) {
    const place = kept + ((<usize>j) << 5);
    const value = v128.load64_splat(z + <usize>j * step);
    const r = v128.load(place);
    const square = f64x2.mul(r, r);
    s5 = f64x2.add(s5, f64x2.mul(f64x2.mul(f64x2.mul(square, r), v128.load(place, 16)), value));
    s6 = f64x2.add(s6, f64x2.mul(f64x2.mul(square, square), value));
  }
  addTo(12, s5);
  addTo(13, s6);
}
