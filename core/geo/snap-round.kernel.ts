import { type EdgeList, HashGrid } from './hash-grid.kernel.ts';
import { orient } from './orient.kernel.ts';
import { PlaceIndex } from './place-index.kernel.ts';

/** Positions along edge i stand at start[i] .. start[i + 1], both ends among them, without repeats. */
export interface Chains {
  readonly start: Int32Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/**
 * Edges bent so that any two of them meet only at ends or coincide: every end and every crossing, rounded, is a hot unit
 * square, and an edge that passes through a hot square is led through its middle. No place moves by more than 0.71 units.
 * Squares are half open (west and south side belong to them). Source: Hobby, Computational Geometry 13(4), 1999.
 * Edges and squares are hashed on a grid of about one cell per edge; tests are exact.
 */
export function snapRound(edges: EdgeList): Chains {
  const { x1, y1, x2, y2 } = edges;
  const count = x1.length;
  const grid = new HashGrid(edges);
  const hot = new Squares(grid);
  const through: number[][] = Array.from({ length: count }, () => []);
  for (let i = 0; i < count; i++) {
    hot.add(x1[i]!, y1[i]!);
    hot.add(x2[i]!, y2[i]!);
  }
  grid.eachPair((i, j) => {
    const crossing = cross(edges, i, j);
    if (!crossing) return true;
    const square = hot.add(crossing[0], crossing[1]);
    through[i]!.push(square);
    through[j]!.push(square);
    return true;
  });
  for (let i = 0; i < count; i++) {
    grid.eachCell(i, (cell) => {
      for (const square of hot.inCell(cell)) {
        if (passes(x1[i]!, y1[i]!, x2[i]!, y2[i]!, hot.x[square]!, hot.y[square]!)) through[i]!.push(square);
      }
    });
  }

  const start = new Int32Array(count + 1);
  const x: number[] = [];
  const y: number[] = [];
  for (let i = 0; i < count; i++) {
    const dx = x2[i]! - x1[i]!;
    const dy = y2[i]! - y1[i]!;
    const along = (square: number): number => (hot.x[square]! - x1[i]!) * dx + (hot.y[square]! - y1[i]!) * dy;
    const squares = through[i]!.sort((a, b) => along(a) - along(b) || a - b);
    let last = -1;
    for (const square of squares) {
      if (square === last) continue;
      x.push(hot.x[square]!);
      y.push(hot.y[square]!);
      last = square;
    }
    start[i + 1] = x.length;
  }
  return { start, x: Float64Array.from(x), y: Float64Array.from(y) };
}

/** The rounded place where two edges pass through each other; null where they do not. */
function cross({ x1, y1, x2, y2 }: EdgeList, i: number, j: number): readonly [number, number] | null {
  const ax = x1[i]!;
  const ay = y1[i]!;
  const bx = x2[i]!;
  const by = y2[i]!;
  const cx = x1[j]!;
  const cy = y1[j]!;
  const dx = x2[j]!;
  const dy = y2[j]!;
  if (Math.max(ax, bx) < Math.min(cx, dx) || Math.max(cx, dx) < Math.min(ax, bx)) return null;
  if (Math.max(ay, by) < Math.min(cy, dy) || Math.max(cy, dy) < Math.min(ay, by)) return null;
  const c = orient(ax, ay, bx, by, cx, cy);
  const d = orient(ax, ay, bx, by, dx, dy);
  if (c === 0 || d === 0 || c > 0 === d > 0) return null;
  const a = orient(cx, cy, dx, dy, ax, ay);
  const b = orient(cx, cy, dx, dy, bx, by);
  if (a === 0 || b === 0 || a > 0 === b > 0) return null;
  const t = c / (c - d);
  return [cx + Math.round(t * (dx - cx)), cy + Math.round(t * (dy - cy))];
}

/** Whether an edge meets the half-open unit square about x, y. */
function passes(ax: number, ay: number, bx: number, by: number, x: number, y: number): boolean {
  if (Math.min(ax, bx) >= x + 0.5 || Math.max(ax, bx) < x - 0.5) return false;
  if (Math.min(ay, by) >= y + 0.5 || Math.max(ay, by) < y - 0.5) return false;
  if (ax === bx || ay === by) return true;
  const forward = ax < bx;
  // Eastward, doubled, so that the square's corners are whole numbers.
  const px = 2 * (forward ? ax : bx);
  const py = 2 * (forward ? ay : by);
  const qx = 2 * (forward ? bx : ax);
  const qy = 2 * (forward ? by : ay);
  const southWest = orient(px, py, qx, qy, 2 * x - 1, 2 * y - 1);
  if (southWest === 0) return true;
  const left = southWest > 0;
  // A corner on the line counts as the side that the inside of the half-open square has there.
  const northWest = orient(px, py, qx, qy, 2 * x - 1, 2 * y + 1);
  if (northWest > 0 !== left) return true;
  const northEast = orient(px, py, qx, qy, 2 * x + 1, 2 * y + 1);
  if (northEast > 0 !== left) return true;
  const southEast = orient(px, py, qx, qy, 2 * x + 1, 2 * y - 1) || qy - py;
  return southEast > 0 !== left;
}

/** Squares with an open-addressed index by place, and listed by the grid's cells. */
class Squares {
  readonly x: number[] = [];
  readonly y: number[] = [];
  readonly #grid: HashGrid;
  readonly #cells: (number[] | undefined)[];
  readonly #index: PlaceIndex;

  constructor(grid: HashGrid) {
    this.#grid = grid;
    this.#cells = new Array(grid.size * grid.size);
    this.#index = new PlaceIndex(this.x, this.y);
  }

  add(x: number, y: number): number {
    const known = this.x.length;
    const square = this.#index.idOf(x, y);
    if (square === known) {
      const cell = this.#grid.cellAt(x, y);
      const list = this.#cells[cell];
      if (list) list.push(square);
      else this.#cells[cell] = [square];
    }
    return square;
  }

  inCell(cell: number): readonly number[] {
    return this.#cells[cell] ?? [];
  }
}
