/** Edges on whole coordinates. */
export interface EdgeList {
  readonly x1: Float64Array;
  readonly y1: Float64Array;
  readonly x2: Float64Array;
  readonly y2: Float64Array;
}

/** Edges by the cells of a square grid that they, widened by 2 units, pass through. */
export class HashGrid {
  readonly size: number;
  readonly #edges: EdgeList;
  readonly #west: number;
  readonly #south: number;
  readonly #stepX: number;
  readonly #stepY: number;

  constructor(edges: EdgeList) {
    this.#edges = edges;
    let west = Infinity;
    let south = Infinity;
    let east = -Infinity;
    let north = -Infinity;
    const { x1, y1, x2, y2 } = edges;
    for (let i = 0; i < x1.length; i++) {
      west = Math.min(west, x1[i]!, x2[i]!);
      east = Math.max(east, x1[i]!, x2[i]!);
      south = Math.min(south, y1[i]!, y2[i]!);
      north = Math.max(north, y1[i]!, y2[i]!);
    }
    this.size = Math.max(1, Math.min(512, Math.ceil(Math.sqrt(x1.length))));
    this.#west = west;
    this.#south = south;
    this.#stepX = (east - west + 1) / this.size;
    this.#stepY = (north - south + 1) / this.size;
  }

  cellAt(x: number, y: number): number {
    const col = Math.floor((x - this.#west) / this.#stepX);
    const row = Math.floor((y - this.#south) / this.#stepY);
    return row * this.size + col;
  }

  eachCell(i: number, use: (cell: number) => void): void {
    const { x1, y1, x2, y2 } = this.#edges;
    const forward = x1[i]! <= x2[i]!;
    const ax = (forward ? x1[i]! : x2[i]!) - this.#west;
    const ay = (forward ? y1[i]! : y2[i]!) - this.#south;
    const bx = (forward ? x2[i]! : x1[i]!) - this.#west;
    const by = (forward ? y2[i]! : y1[i]!) - this.#south;
    const slope = bx > ax ? (by - ay) / (bx - ax) : 0;
    const firstCol = Math.max(0, Math.floor((ax - 2) / this.#stepX));
    const lastCol = Math.min(this.size - 1, Math.floor((bx + 2) / this.#stepX));
    for (let col = firstCol; col <= lastCol; col++) {
      const fromX = Math.min(bx, Math.max(ax, col * this.#stepX - 2));
      const toX = Math.max(ax, Math.min(bx, (col + 1) * this.#stepX + 2));
      const fromY = bx > ax ? ay + (fromX - ax) * slope : ay;
      const toY = bx > ax ? ay + (toX - ax) * slope : by;
      const low = Math.max(0, Math.floor((Math.min(fromY, toY) - 2) / this.#stepY));
      const high = Math.min(this.size - 1, Math.floor((Math.max(fromY, toY) + 2) / this.#stepY));
      for (let row = low; row <= high; row++) use(row * this.size + col);
    }
  }

  /** Pairs i < j that share a cell; a pair may come more than once. Ends when `use` says false. */
  eachPair(use: (i: number, j: number) => boolean): void {
    const count = this.#edges.x1.length;
    const cells = this.size * this.size;
    const start = new Int32Array(cells + 1);
    for (let i = 0; i < count; i++) this.eachCell(i, (cell) => start[cell + 1]!++);
    for (let cell = 0; cell < cells; cell++) start[cell + 1]! += start[cell]!;
    const next = start.slice();
    const listed = new Int32Array(start[cells]!);
    for (let i = 0; i < count; i++) {
      this.eachCell(i, (cell) => {
        listed[next[cell]!++] = i;
      });
    }
    for (let cell = 0; cell < cells; cell++) {
      for (let a = start[cell]!; a < start[cell + 1]!; a++) {
        for (let b = a + 1; b < start[cell + 1]!; b++) {
          if (!use(listed[a]!, listed[b]!)) return;
        }
      }
    }
  }
}
