import { type Place, type Problem, stop } from '../base/problem.ts';
import { orient } from './orient.kernel.ts';
import { samePlace, snap8, toUnits } from './ring.ts';
import type { LngLat, Ring } from './types.ts';

/** The first position that cannot be one, as a Problem: `geo-no-position`, `geo-not-a-number`, `geo-outside-degrees`. */
export function checkPlaces(polygons: readonly (readonly (readonly LngLat[])[])[], at: Place): Problem | null {
  const positions = polygons.flat(2);
  if (positions.length === 0) {
    return stop('geo-no-position', 'The polygon has no positions.', 'Check that the file holds a polygon.', at);
  }
  for (const [lng, lat] of positions) {
    if (!(Number.isFinite(lng) && Number.isFinite(lat))) {
      const remedy = 'Mend the file: each position needs two finite numbers.';
      return stop('geo-not-a-number', 'A position of the polygon is not a number.', remedy, at);
    }
    if (Math.abs(lat) <= 90 && Math.abs(lng) <= 180) continue;
    const swapped = Math.abs(lat) <= 180 && Math.abs(lng) <= 90;
    return stop(
      'geo-outside-degrees',
      swapped
        ? `Latitude ${lat} lies outside -90 to 90: longitude and latitude look swapped.`
        : `The position ${lng}, ${lat} does not lie in degrees of longitude and latitude.`,
      swapped ? 'Write longitude first, then latitude.' : 'Tell the CRS of the file, or give it its .prj.',
      at,
    );
  }
  return null;
}

export interface Tidied {
  /** Closed, without repeats; null where fewer than 3 places off one line are left. */
  readonly ring: Ring | null;
  /** Tip of the first spike that was taken off: a way out and straight back, which holds no ground. */
  readonly spike: LngLat | null;
}

/** A ring snapped to 8 decimals, without repeated places and spikes, and closed. */
export function tidyRing(positions: readonly LngLat[]): Tidied {
  const kept: LngLat[] = [];
  let spike: LngLat | null = null;
  for (const [lng, lat] of positions) {
    const here: LngLat = [snap8(lng), snap8(lat)];
    for (;;) {
      const last = kept[kept.length - 1];
      const before = kept[kept.length - 2];
      if (last && samePlace(last, here)) break;
      if (!last || !before || !turnsBack(before, last, here)) {
        kept.push(here);
        break;
      }
      spike ??= last;
      kept.pop();
    }
  }
  // The seam, where the ring closes.
  for (;;) {
    const first = kept[0];
    const second = kept[1];
    const last = kept[kept.length - 1];
    const before = kept[kept.length - 2];
    if (!first || !second || !last || !before || kept.length < 3) return { ring: null, spike };
    if (samePlace(first, last)) kept.pop();
    else if (turnsBack(before, last, first)) {
      spike ??= last;
      kept.pop();
    } else if (turnsBack(last, first, second)) {
      spike ??= first;
      kept.shift();
    } else return { ring: [...kept, first], spike };
  }
}

/** Whether the way a -> b -> c goes straight back on itself. */
function turnsBack(a: LngLat, b: LngLat, c: LngLat): boolean {
  const [ax, ay] = [toUnits(a[0]), toUnits(a[1])];
  const [bx, by] = [toUnits(b[0]), toUnits(b[1])];
  const [cx, cy] = [toUnits(c[0]), toUnits(c[1])];
  return orient(ax, ay, bx, by, cx, cy) === 0 && (bx - ax) * (cx - bx) + (by - ay) * (cy - by) < 0;
}
