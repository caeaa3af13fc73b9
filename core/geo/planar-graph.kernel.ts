import { orient } from './orient.kernel.ts';
import { PlaceIndex } from './place-index.kernel.ts';

/** No arc runs along the edge. */
export const NO_ARC = -32_767;

/** Edges that meet only at their ends, each once, collected before the graph is made. */
export class EdgeSet {
  readonly x: number[] = [];
  readonly y: number[] = [];
  readonly #places = new PlaceIndex(this.x, this.y);
  readonly #edges = new Map<number, number>();
  readonly from: number[] = [];
  readonly to: number[] = [];
  /** Labels left and right of from -> to; NO_ARC on both sides where none runs there. */
  readonly left: number[] = [];
  readonly right: number[] = [];
  /** How many ground rings run from -> to, less those that run back: 1 has ground on the left. */
  readonly rings: number[] = [];
  readonly #corners = new Set<number>();

  /** A place that is to stay a position of the outlines, even on a straight line. */
  markCorner(x: number, y: number): void {
    this.#corners.add(this.#places.idOf(x, y));
  }

  isCorner(node: number): boolean {
    return this.#corners.has(node);
  }

  #edge(x1: number, y1: number, x2: number, y2: number): { readonly edge: number; readonly along: boolean } {
    const a = this.#places.idOf(x1, y1);
    const b = this.#places.idOf(x2, y2);
    const key = Math.min(a, b) * 2 ** 26 + Math.max(a, b);
    let edge = this.#edges.get(key);
    if (edge === undefined) {
      edge = this.from.length;
      this.#edges.set(key, edge);
      this.from.push(a);
      this.to.push(b);
      this.left.push(NO_ARC);
      this.right.push(NO_ARC);
      this.rings.push(0);
    }
    return { edge, along: this.from[edge] === a };
  }

  addRing(x1: number, y1: number, x2: number, y2: number): void {
    const { edge, along } = this.#edge(x1, y1, x2, y2);
    this.rings[edge]! += along ? 1 : -1;
  }

  addArc(x1: number, y1: number, x2: number, y2: number, leftLabel: number, rightLabel: number): void {
    const { edge, along } = this.#edge(x1, y1, x2, y2);
    const left = along ? leftLabel : rightLabel;
    const right = along ? rightLabel : leftLabel;
    if (this.left[edge] === NO_ARC) {
      this.left[edge] = left;
      this.right[edge] = right;
    } else if (this.right[edge] === left) this.right[edge] = right;
    else this.left[edge] = left;
  }
}

/**
 * Half-edges of a planar drawing: 2 e runs from -> to of edge e, 2 e + 1 back. `next` goes on along the same face, which
 * lies on the left. `around` lists the half-edges that leave node n at start[n] .. start[n + 1], counter-clockwise, and
 * `rank` says where a half-edge stands in it. Source: the doubly connected edge list (Muller and Preparata, Theoretical
 * Computer Science 7, 1978).
 */
export interface PlanarGraph {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly origin: Int32Array;
  readonly start: Int32Array;
  readonly around: Int32Array;
  readonly rank: Int32Array;
  /** Number of the face's boundary that the half-edge runs along. */
  readonly cycle: Int32Array;
  readonly cycles: number;
  /** A half-edge of each cycle. */
  readonly halfOf: Int32Array;
}

/** The graph of those edges for which `keep` says so; numbers of edges stay. */
export function makeGraph(edges: EdgeSet, keep: (edge: number) => boolean): PlanarGraph {
  const { x, y, from, to } = edges;
  const halves = from.length * 2;
  const origin = new Int32Array(halves).fill(-1);
  const start = new Int32Array(x.length + 1);
  for (let edge = 0; edge < from.length; edge++) {
    if (!keep(edge)) continue;
    origin[2 * edge] = from[edge]!;
    origin[2 * edge + 1] = to[edge]!;
    start[from[edge]! + 1]!++;
    start[to[edge]! + 1]!++;
  }
  for (let node = 0; node < x.length; node++) start[node + 1]! += start[node]!;
  const fill = start.slice();
  const around = new Int32Array(start[x.length]!);
  for (let half = 0; half < halves; half++) if (origin[half]! >= 0) around[fill[origin[half]!]!++] = half;

  for (let node = 0; node < x.length; node++) {
    const first = start[node]!;
    const last = start[node + 1]!;
    if (last - first < 3) continue;
    const nx = x[node]!;
    const ny = y[node]!;
    const endX = (half: number): number => x[origin[half ^ 1]!]!;
    const endY = (half: number): number => y[origin[half ^ 1]!]!;
    const isUpper = (half: number): boolean => endY(half) > ny || (endY(half) === ny && endX(half) > nx);
    around.subarray(first, last).sort((a, b) => {
      const upperA = isUpper(a);
      const upperB = isUpper(b);
      if (upperA !== upperB) return upperA ? -1 : 1;
      return -orient(nx, ny, endX(a), endY(a), endX(b), endY(b));
    });
  }
  const rank = new Int32Array(halves).fill(-1);
  for (let at = 0; at < around.length; at++) rank[around[at]!] = at;

  const cycle = new Int32Array(halves).fill(-1);
  const graph = { x, y, origin, start, around, rank };
  const halfOf: number[] = [];
  for (let half = 0; half < halves; half++) {
    if (origin[half]! < 0 || cycle[half]! >= 0) continue;
    for (let at = half; cycle[at]! < 0; at = clockwiseOf(graph, at ^ 1)) cycle[at] = halfOf.length;
    halfOf.push(half);
  }
  return { ...graph, cycle, cycles: halfOf.length, halfOf: Int32Array.from(halfOf) };
}

/** The half-edge that leaves the same node next in clockwise order; itself where it is the only one. */
export function clockwiseOf(graph: Pick<PlanarGraph, 'origin' | 'start' | 'around' | 'rank'>, half: number): number {
  const node = graph.origin[half]!;
  const at = graph.rank[half]!;
  return graph.around[at > graph.start[node]! ? at - 1 : graph.start[node + 1]! - 1]!;
}
