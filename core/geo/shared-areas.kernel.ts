import { bounds } from './bounds.ts';
import { labelOnRay } from './label-on-ray.kernel.ts';
import { PlaceIndex } from './place-index.kernel.ts';
import { EdgeSet, makeGraph, NO_ARC, type PlanarGraph } from './planar-graph.kernel.ts';
import { toUnits, UNITS_PER_DEG } from './ring.ts';
import { snapRound } from './snap-round.kernel.ts';
import type { MultiPolygon } from './types.ts';
import { meanStrip_m2PerRad, RAD_PER_DEG } from './wgs84.ts';

/** Parts of a unit of 1e-9 degree that crossings are rounded to, 0.1 micrometre, so that areas keep some 11 digits. */
const FINE = 1024;

/** Ground that shape a[i] of the one list shares with shape b[i] of the other, numbers from 0. Each pair stands once. */
export interface SharedAreas {
  readonly a: Int32Array;
  readonly b: Int32Array;
  readonly m2: Float64Array;
}

/**
 * Area on the WGS84 ellipsoid that each shape of `ones` shares with each of `others`, by an overlay of both: all edges are noded by snap
 * rounding on a 1,024th of 1e-9 degree, and each face between them adds its area to the pair it lies in: of each list that shape whose edges run along most of the face's outline. Shapes of one list must not
 * overlap each other; each is valid, on 9 decimals, and wound per RFC 7946. Pairs that share nothing are left out.
 * Cost: edges times those near them. Sources: at the kernels and area.ts; the order of steps is ours.
 */
export function sharedAreas(ones: readonly MultiPolygon[], others: readonly MultiPolygon[]): SharedAreas {
  const box = bounds([...ones.flat(), ...others.flat()]);
  if (!(box.west <= box.east)) return { a: new Int32Array(0), b: new Int32Array(0), m2: new Float64Array(0) };
  const x0 = toUnits(box.west);
  const y0 = toUnits(box.south);
  const x1: number[] = [];
  const y1: number[] = [];
  const x2: number[] = [];
  const y2: number[] = [];
  const label: number[] = [];
  const addAll = (shapes: readonly MultiPolygon[]): void => {
    for (let shape = 0; shape < shapes.length; shape++) {
      for (const polygon of shapes[shape]!) {
        for (const ring of polygon) {
          for (let i = 1; i < ring.length; i++) {
            x1.push((toUnits(ring[i - 1]![0]) - x0) * FINE);
            y1.push((toUnits(ring[i - 1]![1]) - y0) * FINE);
            x2.push((toUnits(ring[i]![0]) - x0) * FINE);
            y2.push((toUnits(ring[i]![1]) - y0) * FINE);
            label.push(shape + 1);
          }
        }
      }
    }
  };
  addAll(ones);
  const firstOther = label.length;
  addAll(others);
  const chains = snapRound({
    x1: Float64Array.from(x1),
    y1: Float64Array.from(y1),
    x2: Float64Array.from(x2),
    y2: Float64Array.from(y2),
  });

  const drawn = new Drawing();
  for (let edge = 0; edge < label.length; edge++) {
    const list = edge < firstOther ? drawn.ones : drawn.others;
    for (let at = chains.start[edge]! + 1; at < chains.start[edge + 1]!; at++)
      drawn.add(list, label[edge]!, chains.x[at - 1]!, chains.y[at - 1]!, chains.x[at]!, chains.y[at]!);
  }
  const [one, other] = [drawn.labelled(drawn.ones), drawn.labelled(drawn.others)];
  const graph = makeGraph(one, () => true);
  const onesAt = voted(one, graph);
  const othersAt = voted(other, graph);

  const sums = new Map<number, number>();
  const add = (cycle: number, m2: number): void => {
    if (onesAt[cycle] === 0 || othersAt[cycle] === 0) return;
    const pair = (onesAt[cycle]! - 1) * others.length + othersAt[cycle]! - 1;
    sums.set(pair, (sums.get(pair) ?? 0) + m2);
  };
  const latOf = (y: number): number => (y0 + y / FINE) / UNITS_PER_DEG;
  const radPerFine = RAD_PER_DEG / (UNITS_PER_DEG * FINE);
  const { x, y, origin, cycle } = graph;
  for (let half = 0; half < origin.length; half += 2) {
    const left = cycle[half]!;
    const right = cycle[half + 1]!;
    if (onesAt[left] === onesAt[right] && othersAt[left] === othersAt[right]) continue;
    const [from, to] = [origin[half]!, origin[half + 1]!];
    if (x[from] === x[to]) continue;
    const strip = meanStrip_m2PerRad(box.south, latOf(y[from]!), latOf(y[to]!));
    const m2 = (x[from]! - x[to]!) * radPerFine * strip;
    add(left, m2);
    add(right, -m2);
  }
  const pairs = [...sums].filter(([, m2]) => m2 > 0).sort(([p], [q]) => p - q);
  return {
    a: Int32Array.from(pairs, ([pair]) => Math.floor(pair / others.length)),
    b: Int32Array.from(pairs, ([pair]) => pair % others.length),
    m2: Float64Array.from(pairs, ([, m2]) => m2),
  };
}

/** Labels that lie along one edge, by edge; where a shape is thinner than the rounding both its sides come to lie on one edge. */
interface Sides {
  readonly left: number[][];
  readonly right: number[][];
}

/** Noded edges of both lists, each once, with all the labels beside it. */
class Drawing {
  readonly ones: Sides = { left: [], right: [] };
  readonly others: Sides = { left: [], right: [] };
  readonly #x: number[] = [];
  readonly #y: number[] = [];
  readonly #places = new PlaceIndex(this.#x, this.#y);
  readonly #edges = new Map<number, number>();
  readonly #from: number[] = [];
  readonly #to: number[] = [];

  add(list: Sides, label: number, x1: number, y1: number, x2: number, y2: number): void {
    const a = this.#places.idOf(x1, y1);
    const b = this.#places.idOf(x2, y2);
    const key = Math.min(a, b) * 2 ** 26 + Math.max(a, b);
    let edge = this.#edges.get(key);
    if (edge === undefined) {
      edge = this.#from.length;
      this.#edges.set(key, edge);
      this.#from.push(a);
      this.#to.push(b);
    }
    const side = this.#from[edge] === a ? list.left : list.right;
    const labels = side[edge];
    if (labels) labels.push(label);
    else side[edge] = [label];
  }

  /** The edges, in one order for both lists, with the label of one list left and right; a label on both sides of an edge is none. */
  labelled({ left, right }: Sides): EdgeSet {
    const set = new EdgeSet();
    for (let edge = 0; edge < this.#from.length; edge++) {
      const [from, to] = [this.#from[edge]!, this.#to[edge]!];
      const [onLeft, onRight] = [left[edge] ?? [], right[edge] ?? []];
      const a = onLeft.find((label) => !onRight.includes(label)) ?? 0;
      const b = onRight.find((label) => !onLeft.includes(label)) ?? 0;
      const none = a === b;
      set.addArc(this.#x[from]!, this.#y[from]!, this.#x[to]!, this.#y[to]!, none ? NO_ARC : a, none ? NO_ARC : b);
    }
    return set;
  }
}

/** The label of each boundary of a face: that of most of the labelled edges along it, by length; by a ray where it has none. */
function voted(edges: EdgeSet, graph: PlanarGraph): Int32Array {
  const { cycle, cycles, origin, halfOf, x, y } = graph;
  const parent = Int32Array.from({ length: cycles }, (_, i) => i);
  const rootOf = (item: number): number => {
    let at = item;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  for (let edge = 0; edge < edges.from.length; edge++) {
    if (edges.left[edge] === edges.right[edge]) parent[rootOf(cycle[2 * edge]!)] = rootOf(cycle[2 * edge + 1]!);
  }
  const votes: (Map<number, number> | undefined)[] = new Array(cycles);
  for (let half = 0; half < origin.length; half++) {
    const edge = half >> 1;
    if (edges.left[edge] === edges.right[edge]) continue;
    const label = half % 2 === 0 ? edges.left[edge]! : edges.right[edge]!;
    const root = rootOf(cycle[half]!);
    const [from, to] = [origin[half]!, origin[half ^ 1]!];
    const length = Math.abs(x[to]! - x[from]!) + Math.abs(y[to]! - y[from]!);
    votes[root] ??= new Map();
    const list = votes[root]!;
    list.set(label, (list.get(label) ?? 0) + length);
  }
  const names = new Int32Array(cycles).fill(-1);
  for (let at = 0; at < cycles; at++) {
    const root = rootOf(at);
    if (names[root]! < 0) {
      const [most] = [...(votes[root] ?? [])].sort((a, b) => b[1] - a[1] || a[0] - b[0]);
      const corner = origin[halfOf[root]!]!;
      names[root] = most ? most[0] : Math.max(0, labelOnRay(edges, x[corner]!, y[corner]!));
    }
    names[at] = names[root]!;
  }
  return names;
}
