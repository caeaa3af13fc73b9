/** How a brush paints. */
export interface Brush {
  readonly into: number;
  readonly half_m: number;
  readonly cellX_m: number;
  readonly cellY_m: number;
}

/**
 * Gives label `into` to every cell with ground whose centre lies within `half_m` of the line; answers how many changed. `line` holds x, y in
 * cells from the south-west corner, one place or more; a line of one place paints a disc. Cost: the cells of each segment's box.
 */
export function paintCells(labels: Int16Array, cols: number, line: Float64Array, brush: Brush): number {
  const rows = labels.length / cols;
  const { into, half_m, cellX_m, cellY_m } = brush;
  const half2 = half_m * half_m;
  let changed = 0;
  const last = line.length / 2 - 1;
  for (let i = 0; i < Math.max(1, last); i++) {
    const x1 = line[2 * i]!;
    const y1 = line[2 * i + 1]!;
    const x2 = last === 0 ? x1 : line[2 * i + 2]!;
    const y2 = last === 0 ? y1 : line[2 * i + 3]!;
    const reachX = half_m / cellX_m + 1;
    const reachY = half_m / cellY_m + 1;
    const west = Math.max(0, Math.floor(Math.min(x1, x2) - reachX));
    const east = Math.min(cols - 1, Math.ceil(Math.max(x1, x2) + reachX));
    const south = Math.max(0, Math.floor(Math.min(y1, y2) - reachY));
    const north = Math.min(rows - 1, Math.ceil(Math.max(y1, y2) + reachY));
    const dx = (x2 - x1) * cellX_m;
    const dy = (y2 - y1) * cellY_m;
    const length2 = dx * dx + dy * dy;
    for (let row = south; row <= north; row++) {
      const py = (row + 0.5 - y1) * cellY_m;
      for (let col = west; col <= east; col++) {
        const cell = row * cols + col;
        if (labels[cell] === 0 || labels[cell] === into) continue;
        const px = (col + 0.5 - x1) * cellX_m;
        const t = length2 === 0 ? 0 : Math.min(1, Math.max(0, (px * dx + py * dy) / length2));
        if ((px - t * dx) ** 2 + (py - t * dy) ** 2 > half2) continue;
        labels[cell] = into;
        changed++;
      }
    }
  }
  return changed;
}

/**
 * Cuts the cells of label `zone` along a line: two cells side by side part where the line crosses between their centres. Of each connected piece of the
 * zone that falls apart, the part with most ground keeps the label and the others get `next`. Answers how many parts went; 0 leaves all as it was.
 * `line` as at `paintCells`. Cost: cells, and those of each segment's box.
 */
export function cutCells(
  labels: Int16Array,
  cols: number,
  cover_m2: Float64Array,
  line: Float64Array,
  zone: number,
  next: number,
): number {
  const whole = piecesOf(labels, cols, zone, null);
  const apart = piecesOf(labels, cols, zone, walls(labels, cols, line));
  if (apart.count === whole.count) return 0;
  const area = new Float64Array(apart.count);
  const home = new Int32Array(apart.count);
  for (let cell = 0; cell < labels.length; cell++) {
    const piece = apart.of[cell]!;
    if (piece < 0) continue;
    area[piece]! += cover_m2[cell]!;
    home[piece] = whole.of[cell]!;
  }
  const largest = new Int32Array(whole.count).fill(-1);
  for (let piece = 0; piece < apart.count; piece++) {
    const at = home[piece]!;
    if (largest[at]! < 0 || area[piece]! > area[largest[at]!]!) largest[at] = piece;
  }
  for (let cell = 0; cell < labels.length; cell++) {
    const piece = apart.of[cell]!;
    if (piece >= 0 && largest[home[piece]!] !== piece) labels[cell] = next;
  }
  return apart.count - whole.count;
}

/** Bit 1: the line crosses between the cell and its eastern neighbour; bit 2: its northern one. */
function walls(labels: Int16Array, cols: number, line: Float64Array): Uint8Array {
  const rows = labels.length / cols;
  const wall = new Uint8Array(labels.length);
  for (let i = 0; i + 3 < line.length; i += 2) {
    const x1 = line[i]!;
    const y1 = line[i + 1]!;
    const x2 = line[i + 2]!;
    const y2 = line[i + 3]!;
    // Centres lie at halves: between the rows of centres the line is looked at once for each it meets.
    const firstRow = Math.max(0, Math.ceil(Math.min(y1, y2) - 0.5));
    const lastRow = Math.min(rows - 1, Math.ceil(Math.max(y1, y2) - 0.5) - 1);
    for (let row = firstRow; row <= lastRow; row++) {
      const x = x1 + ((row + 0.5 - y1) / (y2 - y1)) * (x2 - x1);
      const col = Math.floor(x - 0.5);
      if (col >= 0 && col < cols - 1) wall[row * cols + col]! |= 1;
    }
    const firstCol = Math.max(0, Math.ceil(Math.min(x1, x2) - 0.5));
    const lastCol = Math.min(cols - 1, Math.ceil(Math.max(x1, x2) - 0.5) - 1);
    for (let col = firstCol; col <= lastCol; col++) {
      const y = y1 + ((col + 0.5 - x1) / (x2 - x1)) * (y2 - y1);
      const row = Math.floor(y - 0.5);
      if (row >= 0 && row < rows - 1) wall[row * cols + col]! |= 2;
    }
  }
  return wall;
}

/** Connected pieces of a label by rows with union-find; two cells side by side are apart where a wall stands between them. */
function piecesOf(
  labels: Int16Array,
  cols: number,
  zone: number,
  wall: Uint8Array | null,
): { readonly of: Int32Array; readonly count: number } {
  const of = new Int32Array(labels.length).fill(-1);
  const parent: number[] = [];
  for (let cell = 0, col = 0; cell < labels.length; cell++, col = col === cols - 1 ? 0 : col + 1) {
    if (labels[cell] !== zone) continue;
    let west = -1;
    let south = -1;
    if (col > 0 && labels[cell - 1] === zone && (wall === null || (wall[cell - 1]! & 1) === 0)) west = of[cell - 1]!;
    if (cell >= cols && labels[cell - cols] === zone && (wall === null || (wall[cell - cols]! & 2) === 0))
      south = of[cell - cols]!;
    if (west < 0 && south < 0) {
      of[cell] = parent.length;
      parent.push(parent.length);
    } else if (west < 0 || south < 0 || west === south) of[cell] = west < 0 ? south : west;
    else {
      const a = rootOf(parent, west);
      const b = rootOf(parent, south);
      of[cell] = Math.min(a, b);
      parent[Math.max(a, b)] = Math.min(a, b);
    }
  }
  const numbers = new Int32Array(parent.length).fill(-1);
  let count = 0;
  for (let cell = 0; cell < labels.length; cell++) {
    if (of[cell]! < 0) continue;
    const root = rootOf(parent, of[cell]!);
    if (numbers[root]! < 0) numbers[root] = count++;
    of[cell] = numbers[root]!;
  }
  return { of, count };
}

function rootOf(parent: number[], piece: number): number {
  let at = piece;
  while (parent[at] !== at) {
    parent[at] = parent[parent[at]!]!;
    at = parent[at]!;
  }
  return at;
}

/**
 * Gives leftovers of a change by hand to a neighbour, in place: ground that the change did not touch, but parted from its zone, where the part is under
 * `least_m2`. `before` are the labels before the change. A part joins the label with which it shares most cell edges, then the lower one;
 * label `still` neither goes nor takes, and a part with no other neighbour stays. Answers the ground moved, in square metres. A part is filled from
 * where it meets changed cells, and no farther than `least_m2`. Cost: cells once, and the parts looked at. Ours.
 */
export function joinLeftovers(
  before: Int16Array,
  labels: Int16Array,
  cols: number,
  cover_m2: Float64Array,
  least_m2: number,
  still: number,
): number {
  const size = labels.length;
  // Number of the part that a cell was found in.
  const seen = new Int32Array(size);
  const changed: number[] = [];
  for (let cell = 0; cell < size; cell++) if (labels[cell] !== before[cell]) changed.push(cell);
  const part: number[] = [];
  const edges = new Map<number, number>();
  let id = 0;
  let moved_m2 = 0;
  for (const start of changed) {
    const own = before[start]!;
    if (own === still) continue;
    for (let side = 0; side < 4; side++) {
      const from = besideOf(start, side, cols, size);
      if (from < 0 || seen[from] !== 0 || labels[from] !== own || before[from] !== own) continue;
      id++;
      part.length = 0;
      part.push(from);
      seen[from] = id;
      edges.clear();
      let area_m2 = 0;
      let isLeft = true;
      for (let at = 0; isLeft && at < part.length; at++) {
        const cell = part[at]!;
        area_m2 += cover_m2[cell]!;
        isLeft = labels[cell] === before[cell] && area_m2 < least_m2;
        for (let next = 0; isLeft && next < 4; next++) {
          const other = besideOf(cell, next, cols, size);
          const label = other < 0 ? 0 : labels[other]!;
          if (label === own) {
            if (seen[other] === 0) {
              seen[other] = id;
              part.push(other);
              // It runs into ground that was found to be no leftover.
            } else if (seen[other] !== id) isLeft = false;
          } else if (label !== 0 && label !== still) edges.set(label, (edges.get(label) ?? 0) + 1);
        }
      }
      if (!isLeft || edges.size === 0) continue;
      let into = 0;
      for (const [label, shared] of edges) {
        const most = edges.get(into) ?? 0;
        if (shared > most || (shared === most && label < into)) into = label;
      }
      for (const cell of part) labels[cell] = into;
      moved_m2 += area_m2;
    }
  }
  return moved_m2;
}

/** The cell beside one: west, east, south, north; -1 where there is none. */
function besideOf(cell: number, side: number, cols: number, size: number): number {
  if (side === 0) return cell % cols > 0 ? cell - 1 : -1;
  if (side === 1) return (cell + 1) % cols > 0 ? cell + 1 : -1;
  const other = side === 2 ? cell - cols : cell + cols;
  return other >= 0 && other < size ? other : -1;
}
