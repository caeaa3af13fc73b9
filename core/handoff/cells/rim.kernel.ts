import { contains } from '../../geo/contains.ts';
import { nameFaces } from '../../geo/faces.kernel.ts';
import { drawParts, gatherParts, type Part } from '../../geo/parts.kernel.ts';
import { clockwiseOf, EdgeSet, makeGraph, type PlanarGraph } from '../../geo/planar-graph.kernel.ts';
import { toDegrees, toUnits } from '../../geo/ring.ts';
import { snapRound } from '../../geo/snap-round.kernel.ts';
import type { MultiPolygon } from '../../geo/types.ts';
import { type CellLattice, cornerUnits } from './lattice.ts';

/** Where two parts meet along an edge. */
export interface Border {
  readonly a: number;
  readonly b: number;
  readonly length_m: number;
  /** True where one follows the other in a row. */
  readonly follows: boolean;
}

/** Connected parts of cells along the ground's edge. */
export interface Rim {
  /** Lattice cell of each part. */
  readonly homes: readonly number[];
  readonly areas_m2: readonly number[];
  readonly borders: readonly Border[];
  /** Polygons of each part that is its own root, parts of one root melted; empty for the others. */
  readonly draw: (root: Int32Array) => MultiPolygon[];
}

/** Stands for all cells that are not in the rim; cells of the rim have their index + 2. */
const BEYOND = 1;

/**
 * The cells marked in `rim`, cut by the ground: cell lines and the ground's rings are noded together by snap rounding, so neighbours have
 * the very same positions (9 decimals) and nothing lies between them. A cell that falls apart is several parts. Places move by at most 0.08 mm.
 * The rim must hold every crossed cell. Cost: edges of rim cells and of the ground.
 */
export function cutRim(lattice: CellLattice, ground: MultiPolygon, rim: Uint8Array): Rim {
  const edges = noded(lattice, ground, rim);
  const graph = makeGraph(edges, (edge) => edges.rings[edge] !== 0 || edges.left[edge] !== edges.right[edge]);
  const labels = nameFaces(
    edges,
    graph,
    (x, y) => labelOf(rim, cellAt(lattice, x, y)),
    (x, y) => contains(ground, [toDegrees(x), toDegrees(y)]),
  );
  const homes: number[] = [];
  const areas_m2: number[] = [];
  const ids = new Int32Array(graph.cycles).fill(-1);
  const m2PerUnit = lattice.frame.mPerDegLng * lattice.frame.mPerDegLat * 1e-18;
  for (const [label, parts] of gatherParts(graph, labels)) {
    if (label === BEYOND) continue;
    for (const part of parts) {
      flood(graph, labels, part, ids, homes.length);
      homes.push(label - 2);
      const twice = part.holes.reduce((sum, hole) => sum + hole.twiceArea, part.outer.twiceArea);
      areas_m2.push((twice / 2) * m2PerUnit);
    }
  }
  const draw = (root: Int32Array): MultiPolygon[] => {
    const names = labels.map((label, cycle) => (ids[cycle]! >= 0 ? root[ids[cycle]!]! + 2 : Math.min(label, BEYOND)));
    const drawn = drawParts(graph, names, gatherParts(graph, names), (node) => edges.isCorner(node));
    return homes.map((_, part) => drawn.get(part + 2) ?? []);
  };
  return { homes, areas_m2, borders: bordersOf(lattice, graph, ids, homes), draw };
}

const labelOf = (rim: Uint8Array, cell: number): number => (rim[cell] === 1 ? cell + 2 : BEYOND);

function cellAt(lattice: CellLattice, x: number, y: number): number {
  const { frame, sin, cos } = lattice;
  const east = (toDegrees(x) - frame.lng0_deg) * frame.mPerDegLng;
  const north = (toDegrees(y) - frame.lat0_deg) * frame.mPerDegLat;
  const col = Math.floor((east * sin + north * cos - lattice.u0_m) / lattice.length_m);
  const row = Math.floor((north * sin - east * cos - lattice.v0_m) / lattice.swath_m);
  return row * lattice.cols + col;
}

function noded(lattice: CellLattice, ground: MultiPolygon, rim: Uint8Array): EdgeSet {
  const { cols } = lattice;
  const list: { x1: number[]; y1: number[]; x2: number[]; y2: number[] } = { x1: [], y1: [], x2: [], y2: [] };
  const left: number[] = [];
  const right: number[] = [];
  const add = (ax: number, ay: number, bx: number, by: number): void => {
    list.x1.push(ax);
    list.y1.push(ay);
    list.x2.push(bx);
    list.y2.push(by);
  };
  const line = (
    a: readonly [number, number],
    b: readonly [number, number],
    leftCell: number,
    rightCell: number,
  ): void => {
    add(a[0], a[1], b[0], b[1]);
    left.push(labelOf(rim, leftCell));
    right.push(labelOf(rim, rightCell));
  };
  for (let cell = 0; cell < rim.length; cell++) {
    if (rim[cell] !== 1) continue;
    const col = cell % cols;
    const row = (cell - col) / cols;
    const rear = cornerUnits(lattice, col, row);
    const ahead = cornerUnits(lattice, col + 1, row);
    const rearLeft = cornerUnits(lattice, col, row + 1);
    line(rear, ahead, cell, cell - cols);
    line(rear, rearLeft, cell - 1, cell);
    if (rim[cell + 1] === 1 && rim[cell + cols] === 1) continue;
    const aheadLeft = cornerUnits(lattice, col + 1, row + 1);
    if (rim[cell + 1] !== 1) line(ahead, aheadLeft, cell, cell + 1);
    if (rim[cell + cols] !== 1) line(rearLeft, aheadLeft, cell + cols, cell);
  }
  const edges = new EdgeSet();
  const lines = left.length;
  for (const ring of ground.flat()) {
    for (let i = 1; i < ring.length; i++) {
      const [ax, ay] = [toUnits(ring[i - 1]![0]), toUnits(ring[i - 1]![1])];
      const [bx, by] = [toUnits(ring[i]![0]), toUnits(ring[i]![1])];
      if (ax !== bx || ay !== by) add(ax, ay, bx, by);
      edges.markCorner(ax, ay);
    }
  }
  const { start, x, y } = snapRound({
    x1: Float64Array.from(list.x1),
    y1: Float64Array.from(list.y1),
    x2: Float64Array.from(list.x2),
    y2: Float64Array.from(list.y2),
  });
  for (let piece = 0; piece < list.x1.length; piece++) {
    for (let at = start[piece]! + 1; at < start[piece + 1]!; at++) {
      if (piece < lines) edges.addArc(x[at - 1]!, y[at - 1]!, x[at]!, y[at]!, left[piece]!, right[piece]!);
      else edges.addRing(x[at - 1]!, y[at - 1]!, x[at]!, y[at]!);
    }
  }
  return edges;
}

/** Numbers all boundaries of faces that belong to the part. */
function flood(graph: PlanarGraph, labels: Int32Array, part: Part, ids: Int32Array, id: number): void {
  const stack = [part.outer, ...part.holes].flatMap(({ halves }) => halves.map((half) => graph.cycle[half]!));
  const own = labels[stack[0]!]!;
  while (stack.length > 0) {
    const at = stack.pop()!;
    if (labels[at] !== own || ids[at]! >= 0) continue;
    ids[at] = id;
    const first = graph.halfOf[at]!;
    let half = first;
    do {
      const beside = graph.cycle[half ^ 1]!;
      if (labels[beside] === own && ids[beside]! < 0) stack.push(beside);
      half = clockwiseOf(graph, half ^ 1);
    } while (half !== first);
  }
}

function bordersOf(lattice: CellLattice, graph: PlanarGraph, ids: Int32Array, homes: readonly number[]): Border[] {
  const { x, y, origin, cycle } = graph;
  const { mPerDegLng, mPerDegLat } = lattice.frame;
  const found = new Map<number, { a: number; b: number; length_m: number; follows: boolean }>();
  for (let half = 0; half < origin.length; half += 2) {
    if (origin[half]! < 0) continue;
    const one = ids[cycle[half]!]!;
    const other = ids[cycle[half + 1]!]!;
    if (one < 0 || other < 0 || one === other) continue;
    const [a, b] =
      homes[one]! < homes[other]! || (homes[one] === homes[other] && one < other) ? [one, other] : [other, one];
    const [from, to] = [origin[half]!, origin[half + 1]!];
    const length_m = Math.hypot((x[to]! - x[from]!) * mPerDegLng, (y[to]! - y[from]!) * mPerDegLat) * 1e-9;
    const key = a * 2 ** 26 + b;
    const known = found.get(key);
    if (known) known.length_m += length_m;
    else {
      const isNext = homes[b]! - homes[a]! === 1;
      found.set(key, { a, b, length_m, follows: isNext });
    }
  }
  return [...found.values()];
}
