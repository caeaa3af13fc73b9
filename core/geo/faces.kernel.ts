import { clockwiseOf, type EdgeSet, type PlanarGraph } from './planar-graph.kernel.ts';

/**
 * The label of the ground that each face's boundary runs along: above 0 on ground with a label, else 0.
 *
 * A label holds on across edges where no arc runs, so one arc edge tells all boundaries that are joined that way; one that
 * none tells asks at one of its corners, which then lies on no arc.
 */
export function nameFaces(
  edges: EdgeSet,
  graph: PlanarGraph,
  labelAt: (x: number, y: number) => number,
  isGround: (x: number, y: number) => boolean,
): Int32Array {
  const { cycles, cycle, origin, halfOf } = graph;
  const sets = new Sets(cycles);
  for (let half = 0; half < origin.length; half += 2) {
    const edge = half >> 1;
    if (origin[half]! >= 0 && edges.left[edge] === edges.right[edge]) sets.join(cycle[half]!, cycle[half + 1]!);
  }
  const UNTOLD = -40_000;
  const label = new Int32Array(cycles).fill(UNTOLD);
  const tell = (set: number, value: number): void => {
    if (label[set] !== UNTOLD && label[set] !== value) throw new Error('two labels on one face');
    label[set] = value;
  };
  for (let half = 0; half < origin.length; half += 2) {
    const edge = half >> 1;
    if (origin[half]! < 0 || edges.left[edge] === edges.right[edge]) continue;
    tell(sets.of(cycle[half]!), edges.left[edge]!);
    tell(sets.of(cycle[half + 1]!), edges.right[edge]!);
  }
  const ground = findGround(edges, graph, isGround);
  return ground.map((on, at) => {
    if (on === 0) return 0;
    const set = sets.of(at);
    const corner = origin[halfOf[at]!]!;
    if (label[set] === UNTOLD) label[set] = labelAt(graph.x[corner]!, graph.y[corner]!);
    return Math.max(0, label[set]!);
  });
}

/**
 * 1 for boundaries of faces on ground. Where rings run, by how often they wind about the face: crossing an edge of one from
 * right to left winds once more, and what lies right of most of their length is 0. So a fold that rounding made in a ring
 * is no ground or counted once. A connected drawing without rings asks at a corner.
 */
function findGround(edges: EdgeSet, graph: PlanarGraph, isGround: (x: number, y: number) => boolean): Int32Array {
  const { cycles, cycle, origin, halfOf, x, y } = graph;
  const winding = new Int32Array(cycles);
  const seen = new Uint8Array(cycles);
  const ground = new Int32Array(cycles);
  for (let first = 0; first < cycles; first++) {
    if (seen[first]) continue;
    seen[first] = 1;
    const joined = [first];
    const outside = new Map<number, number>();
    for (let i = 0; i < joined.length; i++) {
      const at = joined[i]!;
      let half = halfOf[at]!;
      do {
        const beside = cycle[half ^ 1]!;
        const more = (half & 1) === 0 ? edges.rings[half >> 1]! : -edges.rings[half >> 1]!;
        if (!seen[beside]) {
          seen[beside] = 1;
          winding[beside] = winding[at]! - more;
          joined.push(beside);
        }
        if (more > 0) {
          const from = origin[half]!;
          const to = origin[half ^ 1]!;
          const length = Math.abs(x[to]! - x[from]!) + Math.abs(y[to]! - y[from]!);
          outside.set(winding[beside]!, (outside.get(winding[beside]!) ?? 0) + length);
        }
        half = clockwiseOf(graph, half ^ 1);
      } while (half !== halfOf[at]);
    }
    const corner = origin[halfOf[first]!]!;
    const [none] = [...outside].sort((a, b) => b[1] - a[1] || a[0] - b[0])[0] ?? [
      isGround(x[corner]!, y[corner]!) ? -1 : 0,
    ];
    for (const at of joined) ground[at] = winding[at]! > none ? 1 : 0;
  }
  return ground;
}

/** Disjoint sets with path halving (Tarjan and van Leeuwen, JACM 31(2), 1984). */
class Sets {
  readonly #parent: Int32Array;

  constructor(count: number) {
    this.#parent = Int32Array.from({ length: count }, (_, i) => i);
  }

  of(item: number): number {
    let at = item;
    while (this.#parent[at] !== at) {
      this.#parent[at] = this.#parent[this.#parent[at]!]!;
      at = this.#parent[at]!;
    }
    return at;
  }

  join(a: number, b: number): void {
    this.#parent[this.of(a)] = this.of(b);
  }
}
