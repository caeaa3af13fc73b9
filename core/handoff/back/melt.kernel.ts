import { union } from '../../geo/clip.ts';
import { orient } from '../../geo/orient.kernel.ts';
import { PlaceIndex } from '../../geo/place-index.kernel.ts';
import { toDegrees, toUnits } from '../../geo/ring.ts';
import type { LngLat, MultiPolygon, Polygon, Ring } from '../../geo/types.ts';

/** Edges that the sweep behind `union` gets through in a second or two. */
export const MOST_EDGES = 100_000;
const STEPS = 2 ** 26;

/**
 * All polygons as one ground. Edges that two neighbours run along in opposite directions cancel before anything is
 * swept, which leaves the winding number of every place as it was; so 100,000 cells that share their corners cost little
 * more than their outline. Polygons must be valid and wound per RFC 7946; they may overlap. Null where more than
 * `most` edges are left. Cost: linear in the edges, then a sweep over those that are left. Ours.
 */
export function melt(polygons: MultiPolygon, most = MOST_EDGES): MultiPolygon | null {
  const x: number[] = [];
  const y: number[] = [];
  const places = new PlaceIndex(x, y);
  // Net number of times that each edge is run from its lower to its higher place.
  const net = new Map<number, number>();
  for (const polygon of polygons) {
    for (const ring of polygon) {
      for (let i = 1; i < ring.length; i++) {
        const from = places.idOf(toUnits(ring[i - 1]![0]), toUnits(ring[i - 1]![1]));
        const to = places.idOf(toUnits(ring[i]![0]), toUnits(ring[i]![1]));
        if (from === to) continue;
        const key = from < to ? from * STEPS + to : to * STEPS + from;
        const now = (net.get(key) ?? 0) + (from < to ? 1 : -1);
        if (now === 0) net.delete(key);
        else net.set(key, now);
      }
    }
  }
  if (x.length >= STEPS) return null;
  const next = new Map<number, number[]>();
  let left = 0;
  for (const [key, count] of net) {
    const low = Math.floor(key / STEPS);
    const high = key % STEPS;
    const [from, to] = count > 0 ? [low, high] : [high, low];
    for (let n = Math.abs(count); n > 0; n--) {
      const list = next.get(from);
      if (list) list.push(to);
      else next.set(from, [to]);
      left++;
    }
  }
  if (left > most) return null;
  // As many edges come to each place as leave it, so every walk ends where it began.
  const rings: Ring[] = [];
  for (const start of next.keys()) {
    for (;;) {
      let here = start;
      const ring: LngLat[] = [[toDegrees(x[start]!), toDegrees(y[start]!)]];
      for (let to = next.get(here)?.pop(); to !== undefined; to = next.get(here)?.pop()) {
        here = to;
        ring.push([toDegrees(x[here]!), toDegrees(y[here]!)]);
        if (here === start) break;
      }
      if (ring.length < 2) break;
      rings.push(ring);
    }
  }
  return union(
    rings.map((ring) => [ring]),
    [],
  );
}

/** Corners up to which a ring is looked at pair by pair. */
const FEW = 12;

/** Whether a polygon of one small ring is plainly sound: no two edges meet but at their common corner. False is no verdict. */
export function plainlySound(polygon: Polygon): boolean {
  const ring = polygon[0];
  if (polygon.length !== 1 || !ring || ring.length < 4 || ring.length > FEW + 1) return false;
  const n = ring.length - 1;
  const at = ring.map((p) => [toUnits(p[0]), toUnits(p[1])] as const);
  for (let i = 0; i < n; i++) {
    const [ax, ay] = at[i]!;
    const [bx, by] = at[i + 1]!;
    const [ex, ey] = at[(i + 2) % n]!;
    // A corner without a turn may be a spike.
    if (orient(ax, ay, bx, by, ex, ey) === 0 && (bx - ax) * (ex - bx) + (by - ay) * (ey - by) <= 0) return false;
    for (let j = i + 2; j < n; j++) {
      if (i === 0 && j === n - 1) continue;
      const [cx, cy] = at[j]!;
      const [dx, dy] = at[j + 1]!;
      const c = Math.sign(orient(ax, ay, bx, by, cx, cy));
      const d = Math.sign(orient(ax, ay, bx, by, dx, dy));
      const a = Math.sign(orient(cx, cy, dx, dy, ax, ay));
      const b = Math.sign(orient(cx, cy, dx, dy, bx, by));
      if (c * d <= 0 && a * b <= 0) return false;
    }
  }
  return true;
}
