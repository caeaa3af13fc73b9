import { signedRingArea_m2 } from '../geo/area.ts';
import { PlaceIndex } from '../geo/place-index.kernel.ts';
import { toDegrees, toUnits } from '../geo/ring.ts';
import { snapRound } from '../geo/snap-round.kernel.ts';
import type { LngLat, MultiPolygon } from '../geo/types.ts';

/** How records cover the ground. */
export interface Partition {
  /** Ground that lies in several records (twice for three), or in one beyond the ground. */
  readonly over_m2: number;
  /** Ground that lies in none. */
  readonly gap_m2: number;
}

/** Owner of what lies beyond the ground. */
const BEYOND = -1;

/** Directed edges, each with its reverse in one place, so that what runs both ways cancels. */
class Edges {
  readonly x: number[] = [];
  readonly y: number[] = [];
  readonly from: number[] = [];
  readonly to: number[] = [];
  /** How often the edge runs from -> to, less how often back. */
  readonly net: number[] = [];
  /** Who lies left and right of from -> to, as far as one was told last. */
  readonly left: number[] = [];
  readonly right: number[] = [];
  readonly #places = new PlaceIndex(this.x, this.y);
  readonly #known = new Map<number, number>();

  add(x1: number, y1: number, x2: number, y2: number, owner: number): void {
    const a = this.#places.idOf(x1, y1);
    const b = this.#places.idOf(x2, y2);
    if (a === b) return;
    const key = Math.min(a, b) * 2 ** 26 + Math.max(a, b);
    let edge = this.#known.get(key);
    if (edge === undefined) {
      edge = this.from.length;
      this.#known.set(key, edge);
      this.from.push(Math.min(a, b));
      this.to.push(Math.max(a, b));
      this.net.push(0);
      this.left.push(BEYOND);
      this.right.push(BEYOND);
    }
    if (a < b) {
      this.net[edge]!++;
      this.left[edge] = owner;
    } else {
      this.net[edge]!--;
      this.right[edge] = owner;
    }
  }

  /** Calls for each pair that an edge divides; a pair may come often. */
  eachPair(beside: (a: number, b: number) => void): void {
    for (let edge = 0; edge < this.from.length; edge++) {
      const [a, b] = [this.left[edge]!, this.right[edge]!];
      if (this.net[edge] === 0 && a >= 0 && b >= 0 && a !== b) beside(a, b);
    }
  }
}

/**
 * How far records cover the ground once: exact but for rounding to 1e-9 degree. Every record's outline runs counter-clockwise and the ground's clockwise;
 * edges that run both ways cancel, and where nothing is left the ground lies in one record everywhere. What is left is cut where it touches
 * (`snapRound`), cancelled again, and then joined to loops: those that run counter-clockwise hold ground too often, the others too
 * seldom. Polygons wound as RFC 7946 says. `beside` is told of records that share an edge. Cost: linear in the edges. Ours: boundaries of
 * chains, as in any book on homology.
 */
export function partitionOf(
  records: readonly MultiPolygon[],
  ground: MultiPolygon,
  beside: (a: number, b: number) => void = () => undefined,
): Partition {
  const edges = new Edges();
  for (const [owner, polygons] of records.entries()) walk(polygons, (a, b) => edges.add(a[0], a[1], b[0], b[1], owner));
  walk(ground, (a, b) => edges.add(b[0], b[1], a[0], a[1], BEYOND));
  edges.eachPair(beside);
  const cut = cutLeft(edges);
  cut.eachPair(beside);
  return loops(cut);
}

function walk(
  polygons: MultiPolygon,
  use: (from: readonly [number, number], to: readonly [number, number]) => void,
): void {
  for (const polygon of polygons) {
    for (const ring of polygon) {
      for (let i = 1; i < ring.length; i++) {
        const [a, b] = [ring[i - 1]!, ring[i]!];
        use([toUnits(a[0]), toUnits(a[1])], [toUnits(b[0]), toUnits(b[1])]);
      }
    }
  }
}

/** What did not cancel, cut where it meets. */
function cutLeft({ x, y, from, to, net, left, right }: Edges): Edges {
  const rest: { a: number; b: number; owner: number }[] = [];
  for (let edge = 0; edge < from.length; edge++) {
    const times = net[edge]!;
    for (let n = 0; n < Math.abs(times); n++) {
      rest.push(
        times > 0
          ? { a: from[edge]!, b: to[edge]!, owner: left[edge]! }
          : { a: to[edge]!, b: from[edge]!, owner: right[edge]! },
      );
    }
  }
  const cut = new Edges();
  if (rest.length === 0) return cut;
  const chains = snapRound({
    x1: Float64Array.from(rest, ({ a }) => x[a]!),
    y1: Float64Array.from(rest, ({ a }) => y[a]!),
    x2: Float64Array.from(rest, ({ b }) => x[b]!),
    y2: Float64Array.from(rest, ({ b }) => y[b]!),
  });
  rest.forEach(({ owner }, i) => {
    for (let at = chains.start[i]! + 1; at < chains.start[i + 1]!; at++)
      cut.add(chains.x[at - 1]!, chains.y[at - 1]!, chains.x[at]!, chains.y[at]!, owner);
  });
  return cut;
}

/** What is left as simple loops: at every place as much comes as goes, so walking on always comes back. */
function loops({ x, y, from, to, net }: Edges): Partition {
  const ahead = new Map<number, number[]>();
  for (let edge = 0; edge < from.length; edge++) {
    const times = net[edge]!;
    const [a, b] = times > 0 ? [from[edge]!, to[edge]!] : [to[edge]!, from[edge]!];
    for (let n = 0; n < Math.abs(times); n++) {
      const list = ahead.get(a);
      if (list) list.push(b);
      else ahead.set(a, [b]);
    }
  }
  let over_m2 = 0;
  let gap_m2 = 0;
  for (const start of [...ahead.keys()]) {
    while ((ahead.get(start)?.length ?? 0) > 0) {
      const path: number[] = [start];
      const placeOf = new Map<number, number>([[start, 0]]);
      for (let here = start; ; ) {
        const next = ahead.get(here)?.pop();
        if (next === undefined) break;
        const known = placeOf.get(next);
        if (known === undefined) {
          placeOf.set(next, path.length);
          path.push(next);
          here = next;
          continue;
        }
        const ring = path.slice(known).map((node): LngLat => [toDegrees(x[node]!), toDegrees(y[node]!)]);
        const area = signedRingArea_m2(ring);
        if (area > 0) over_m2 += area;
        else gap_m2 -= area;
        for (const node of path.splice(known + 1)) placeOf.delete(node);
        here = next;
      }
    }
  }
  return { over_m2, gap_m2 };
}
