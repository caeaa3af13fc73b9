import { orient } from './orient.kernel.ts';
import { toUnits } from './ring.ts';
import type { Ring } from './types.ts';

/** A closed ring on whole units of 1e-9 degree: x, y, x, y. */
export type FlatRing = Float64Array;

export function flatRing(ring: Ring): FlatRing {
  const out = new Float64Array(ring.length * 2);
  ring.forEach(([lng, lat], i) => {
    out[2 * i] = toUnits(lng);
    out[2 * i + 1] = toUnits(lat);
  });
  return out;
}

/**
 * Whether a ring lies inside another that it does not cross: told by its first corner, or middle of an edge, that is not
 * on the other ring. A ring that lies on the other all along counts as inside. Exact.
 */
export function isInside(inner: FlatRing, outer: FlatRing): boolean {
  for (let i = 0; i + 3 < inner.length; i += 2) {
    const [x1 = 0, y1 = 0, x2 = 0, y2 = 0] = inner.subarray(i, i + 4);
    const corner = sideOf(outer, 2 * x1, 2 * y1);
    const side = corner === 0 ? sideOf(outer, x1 + x2, y1 + y2) : corner;
    if (side !== 0) return side > 0;
  }
  return true;
}

/** 1 inside, -1 outside, 0 on an edge; the place is given in half units, so that middles are whole. */
function sideOf(ring: FlatRing, x: number, y: number): number {
  let inside = false;
  let ax = 2 * (ring[0] ?? 0);
  let ay = 2 * (ring[1] ?? 0);
  for (let i = 2; i + 1 < ring.length; i += 2) {
    const bx = 2 * (ring[i] ?? 0);
    const by = 2 * (ring[i + 1] ?? 0);
    if (y >= Math.min(ay, by) && y <= Math.max(ay, by)) {
      const side = orient(ax, ay, bx, by, x, y);
      if (side === 0 && x >= Math.min(ax, bx) && x <= Math.max(ax, bx)) return 0;
      if (ay > y !== by > y && side > 0 === by > ay) inside = !inside;
    }
    ax = bx;
    ay = by;
  }
  return inside ? 1 : -1;
}
