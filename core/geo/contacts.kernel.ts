import { type EdgeList, HashGrid } from './hash-grid.kernel.ts';
import { orient } from './orient.kernel.ts';

/** Where two rings (or one ring and itself) meet. Places are in the units of the input. */
export interface Contact {
  readonly ringA: number;
  readonly ringB: number;
  /** cross: the edges pass through each other; overlap: they share a length; touch: they share a place only. */
  readonly kind: 'cross' | 'overlap' | 'touch';
  readonly x: number;
  readonly y: number;
  /** Number of the first edge within ringA. */
  readonly edge: number;
}

/** A search ends after so many crossings: the shape is refused anyhow. */
export const MOST_CROSSINGS = 50;

/**
 * All contacts between edges, except that neighbours in a ring share their position. Rings are closed, flat
 * x, y, x, y on whole numbers, without repeated positions. At most one touch and one overlap are told for each pair
 * of rings, and at most MOST_CROSSINGS crossings. Edges are hashed on a square grid of about one cell each, so it takes
 * some milliseconds for 20,000 positions; all tests are exact. Ours.
 */
export function findContacts(rings: readonly Float64Array[]): readonly Contact[] {
  const edges = flatten(rings);
  const found: Contact[] = [];
  const told = new Set<string>();
  let crossings = 0;
  new HashGrid(edges).eachPair((i, j) => {
    const ringA = edges.ring[i]!;
    const ringB = edges.ring[j]!;
    if (ringA === ringB && areNeighbours(edges, i, j)) return true;
    const kind = meet(edges, i, j);
    if (!kind) return true;
    const key = kind === 'cross' ? `${i},${j}` : `${kind} ${ringA},${ringB}`;
    if (told.has(key)) return true;
    told.add(key);
    const [x, y] = place(edges, i, j, kind);
    found.push({ ringA, ringB, kind, x, y, edge: edges.number[i]! });
    if (kind === 'cross') crossings++;
    return crossings < MOST_CROSSINGS;
  });
  return found.sort((a, b) => a.ringA - b.ringA || a.edge - b.edge || a.ringB - b.ringB);
}

interface Edges extends EdgeList {
  readonly ring: Int32Array;
  readonly number: Int32Array;
  /** Edges of the ring that the edge belongs to. */
  readonly inRing: Int32Array;
}

function flatten(rings: readonly Float64Array[]): Edges {
  let count = 0;
  for (const ring of rings) count += Math.max(0, ring.length / 2 - 1);
  const x1 = new Float64Array(count);
  const y1 = new Float64Array(count);
  const x2 = new Float64Array(count);
  const y2 = new Float64Array(count);
  const ringOf = new Int32Array(count);
  const number = new Int32Array(count);
  const inRing = new Int32Array(count);
  let edge = 0;
  rings.forEach((ring, index) => {
    const edgesHere = ring.length / 2 - 1;
    for (let i = 0; i < edgesHere; i++, edge++) {
      x1[edge] = ring[2 * i]!;
      y1[edge] = ring[2 * i + 1]!;
      x2[edge] = ring[2 * i + 2]!;
      y2[edge] = ring[2 * i + 3]!;
      ringOf[edge] = index;
      number[edge] = i;
      inRing[edge] = edgesHere;
    }
  });
  return { x1, y1, x2, y2, ring: ringOf, number, inRing };
}

function areNeighbours(edges: Edges, i: number, j: number): boolean {
  const apart = Math.abs(edges.number[i]! - edges.number[j]!);
  return apart <= 1 || apart === edges.inRing[i]! - 1;
}

function meet(edges: Edges, i: number, j: number): Contact['kind'] | null {
  const ax = edges.x1[i]!;
  const ay = edges.y1[i]!;
  const bx = edges.x2[i]!;
  const by = edges.y2[i]!;
  const cx = edges.x1[j]!;
  const cy = edges.y1[j]!;
  const dx = edges.x2[j]!;
  const dy = edges.y2[j]!;
  if (Math.max(ax, bx) < Math.min(cx, dx) || Math.max(cx, dx) < Math.min(ax, bx)) return null;
  if (Math.max(ay, by) < Math.min(cy, dy) || Math.max(cy, dy) < Math.min(ay, by)) return null;
  const c = Math.sign(orient(ax, ay, bx, by, cx, cy));
  const d = Math.sign(orient(ax, ay, bx, by, dx, dy));
  if (c * d > 0) return null;
  const a = Math.sign(orient(cx, cy, dx, dy, ax, ay));
  const b = Math.sign(orient(cx, cy, dx, dy, bx, by));
  if (a * b > 0) return null;
  if (c === 0 && d === 0) {
    const shareX = Math.min(Math.max(ax, bx), Math.max(cx, dx)) - Math.max(Math.min(ax, bx), Math.min(cx, dx));
    const shareY = Math.min(Math.max(ay, by), Math.max(cy, dy)) - Math.max(Math.min(ay, by), Math.min(cy, dy));
    return shareX > 0 || shareY > 0 ? 'overlap' : 'touch';
  }
  return a * b < 0 && c * d < 0 ? 'cross' : 'touch';
}

function place(edges: Edges, i: number, j: number, kind: Contact['kind']): readonly [number, number] {
  const ax = edges.x1[i]!;
  const ay = edges.y1[i]!;
  const bx = edges.x2[i]!;
  const by = edges.y2[i]!;
  const cx = edges.x1[j]!;
  const cy = edges.y1[j]!;
  const dx = edges.x2[j]!;
  const dy = edges.y2[j]!;
  if (kind === 'cross') {
    const fromC = orient(ax, ay, bx, by, cx, cy);
    const fromD = orient(ax, ay, bx, by, dx, dy);
    const t = fromC / (fromC - fromD);
    return [cx + t * (dx - cx), cy + t * (dy - cy)];
  }
  // An end of one edge lies on the other.
  if (onEdge(ax, ay, bx, by, cx, cy)) return [cx, cy];
  if (onEdge(ax, ay, bx, by, dx, dy)) return [dx, dy];
  return onEdge(cx, cy, dx, dy, ax, ay) ? [ax, ay] : [bx, by];
}

const onEdge = (ax: number, ay: number, bx: number, by: number, x: number, y: number): boolean =>
  orient(ax, ay, bx, by, x, y) === 0 &&
  x >= Math.min(ax, bx) &&
  x <= Math.max(ax, bx) &&
  y >= Math.min(ay, by) &&
  y <= Math.max(ay, by);
