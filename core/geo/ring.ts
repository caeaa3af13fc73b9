import type { LngLat, Polygon, Ring } from './types.ts';

/** Parts of a degree on the integer grid that all topology is done on: 1e-9 degree, about 0.1 mm. */
export const UNITS_PER_DEG = 1e9;

/** Degrees as whole units, exact below 2^53. */
export const toUnits = (deg: number): number => Math.round(deg * UNITS_PER_DEG);
/** Whole units as the nearest double to that 9-decimal figure. */
export const toDegrees = (units: number): number => units / UNITS_PER_DEG;

/** Nearest double to the figure with 8 decimals (about 1 mm). */
export const snap8 = (deg: number): number => Math.round(deg * 1e8) / 1e8 + 0;

/** Plain area in square degrees, positive when the ring runs counter-clockwise. For comparing and winding only. */
export function signedArea_deg2(ring: Ring): number {
  const first = ring[0];
  if (first === undefined) return 0;
  let sum = 0;
  let previous = ring[ring.length - 1] ?? first;
  for (const here of ring) {
    sum += (previous[0] - first[0]) * (here[1] - first[1]) - (here[0] - first[0]) * (previous[1] - first[1]);
    previous = here;
  }
  return sum / 2;
}

/** Counter-clockwise outer ring, clockwise holes (RFC 7946, 3.1.6). */
export const wound = (polygon: Polygon): Polygon =>
  polygon.map((ring, index) => (signedArea_deg2(ring) > 0 === (index === 0) ? ring : ring.toReversed()));

export const samePlace = (a: LngLat, b: LngLat): boolean => a[0] === b[0] && a[1] === b[1];
