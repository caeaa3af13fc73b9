/** Stands for what lies beyond the lattice; no label has it. */
export const BEYOND = -32_768;

/**
 * A line between two labels, from node to node (where three or four cells of it meet) or closed. Positions are in quarters
 * of a cell from the lattice's south-west corner, so that smoothing stays on whole numbers. A closed arc does not repeat
 * its first position.
 */
export interface Arc {
  readonly left: number;
  readonly right: number;
  readonly closed: boolean;
  readonly x: readonly number[];
  readonly y: readonly number[];
}

const STEP_X = [1, 0, -1, 0] as const;
const STEP_Y = [0, 1, 0, -1] as const;

/**
 * All lines between unlike cells, the lattice's own edge among them, each once. Where two cells of one label meet only
 * at a corner the corner is a node, so that each label keeps to its own cell. Cost: cells + length of the lines. Ours,
 * after the edge walk of contour tracing on cell edges.
 */
export function traceArcs(labels: Int16Array, cols: number, rows: number): readonly Arc[] {
  const width = cols + 2;
  const padded = new Int16Array(width * (rows + 2)).fill(BEYOND);
  for (let row = 0; row < rows; row++) {
    padded.set(labels.subarray(row * cols, (row + 1) * cols), (row + 1) * width + 1);
  }
  const corners = cols + 1;
  // Bit 0: the edge east of the corner was walked, bit 1: the edge north of it.
  const walked = new Uint8Array(corners * (rows + 1));

  /** Directions with a line at a corner, as bits: east, north, west, south. */
  const linesAt = (col: number, row: number): number => {
    const at = row * width + col;
    const sw = padded[at]!;
    const se = padded[at + 1]!;
    const nw = padded[at + width]!;
    const ne = padded[at + width + 1]!;
    return (ne !== se ? 1 : 0) | (nw !== ne ? 2 : 0) | (nw !== sw ? 4 : 0) | (sw !== se ? 8 : 0);
  };
  const isWalked = (col: number, row: number, direction: number): boolean => {
    if (direction === 0) return (walked[row * corners + col]! & 1) !== 0;
    if (direction === 1) return (walked[row * corners + col]! & 2) !== 0;
    if (direction === 2) return (walked[row * corners + col - 1]! & 1) !== 0;
    return (walked[(row - 1) * corners + col]! & 2) !== 0;
  };
  const walk = (startCol: number, startRow: number, startDirection: number, closed: boolean): Arc => {
    const at = startRow * width + startCol;
    // Cells around the corner, then the one left and the one right of the first step.
    const around = [padded[at + width + 1]!, padded[at + width]!, padded[at]!, padded[at + 1]!];
    const x = [4 * startCol];
    const y = [4 * startRow];
    let col = startCol;
    let row = startRow;
    let direction = startDirection;
    for (;;) {
      if (direction === 0) walked[row * corners + col]! |= 1;
      else if (direction === 1) walked[row * corners + col]! |= 2;
      else if (direction === 2) walked[row * corners + col - 1]! |= 1;
      else walked[(row - 1) * corners + col]! |= 2;
      col += STEP_X[direction]!;
      row += STEP_Y[direction]!;
      if (closed && col === startCol && row === startRow) break;
      x.push(4 * col);
      y.push(4 * row);
      const lines = linesAt(col, row);
      if (countBits(lines) !== 2) break;
      const ahead = lines & ~(1 << ((direction + 2) % 4));
      direction = ahead === 1 ? 0 : ahead === 2 ? 1 : ahead === 4 ? 2 : 3;
    }
    return { left: around[startDirection]!, right: around[(startDirection + 3) % 4]!, closed, x, y };
  };

  const arcs: Arc[] = [];
  for (let row = 0; row <= rows; row++) {
    for (let col = 0; col <= cols; col++) {
      const lines = linesAt(col, row);
      if (countBits(lines) < 3) continue;
      for (let direction = 0; direction < 4; direction++) {
        if ((lines & (1 << direction)) !== 0 && !isWalked(col, row, direction)) {
          arcs.push(walk(col, row, direction, false));
        }
      }
    }
  }
  for (let row = 0; row <= rows; row++) {
    for (let col = 0; col < cols; col++) {
      if ((linesAt(col, row) & 1) !== 0 && !isWalked(col, row, 0)) arcs.push(walk(col, row, 0, true));
    }
  }
  return arcs;
}

const countBits = (bits: number): number => (bits & 1) + ((bits >> 1) & 1) + ((bits >> 2) & 1) + ((bits >> 3) & 1);

/**
 * The staircase of an arc cut down twice: first its corners are replaced by the middles of its steps, then those by the
 * middles between them. Nodes stay. Every piece stays in the triangle between two middles and the corner that it cuts,
 * and no two arcs share such a triangle, so arcs cannot cross; none moves by as much as half a cell. Corner cutting:
 * Chaikin, Computer Graphics and Image Processing 3, 1974.
 */
export const smoothArc = (arc: Arc): Arc => halve(halve(arc));

function halve(arc: Arc): Arc {
  const { closed } = arc;
  const count = arc.x.length;
  const x: number[] = closed ? [] : [arc.x[0]!];
  const y: number[] = closed ? [] : [arc.y[0]!];
  for (let i = 0; i < (closed ? count : count - 1); i++) {
    const next = (i + 1) % count;
    x.push((arc.x[i]! + arc.x[next]!) / 2);
    y.push((arc.y[i]! + arc.y[next]!) / 2);
  }
  if (!closed) {
    x.push(arc.x[count - 1]!);
    y.push(arc.y[count - 1]!);
  }
  return { ...arc, x, y };
}
