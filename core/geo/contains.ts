import type { LngLat, MultiPolygon } from './types.ts';

/**
 * Whether the place lies in the polygons: inside an odd number of rings, or on any edge (a sample on the boundary counts).
 * Edges are straight in lng/lat; linear in the number of positions. Even-odd rule of Shimrat, CACM 5(8), 1962.
 */
export function contains(polygons: MultiPolygon, p: LngLat): boolean {
  const [x, y] = p;
  let inside = false;
  for (const polygon of polygons) {
    for (const ring of polygon) {
      let previous = ring[ring.length - 1];
      for (const here of ring) {
        if (previous) {
          const [x1, y1] = previous;
          const [x2, y2] = here;
          const side = (x2 - x1) * (y - y1) - (x - x1) * (y2 - y1);
          if (side === 0 && within(x, x1, x2) && within(y, y1, y2)) return true;
          if (y1 > y !== y2 > y && side > 0 === y2 > y1) inside = !inside;
        }
        previous = here;
      }
    }
  }
  return inside;
}

const within = (value: number, a: number, b: number): boolean => value >= Math.min(a, b) && value <= Math.max(a, b);
