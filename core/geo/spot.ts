// The package has no types; windows and hosts that compile this file need them too.
/// <reference path="./polylabel.d.ts" />
import polylabel from 'polylabel';
import { area_m2 } from './area.ts';
import { localFrame, toLngLat, toLocal } from './frame.ts';
import type { LngLat, MultiPolygon, Polygon } from './types.ts';

/**
 * The widest spot of the largest part: the place farthest from its edges, holes counted, to 1/200 of its width or 0.1 m.
 * Found in local metres, so that a degree of longitude is not taken for one of latitude. Throws on no polygons.
 * Source: polylabel (Agafonkin 2016, after Garcia-Castellanos and Lombardo, Scott. Geogr. J. 123(3), 2007).
 */
export function widestSpot(polygons: MultiPolygon): LngLat {
  const largest = largestPart(polygons);
  const corner = largest?.[0]?.[0];
  if (!largest || !corner) throw new RangeError('no polygon has a widest spot');
  const frame = localFrame(corner);
  const local = largest.map((ring) => ring.map((place) => toLocal(frame, place)));
  const precision_m = Math.max(0.1, Math.sqrt(area_m2([largest])) / 200);
  const [x, y] = polylabel(local, precision_m);
  return toLngLat(frame, [x, y]);
}

function largestPart(polygons: MultiPolygon): Polygon | null {
  let largest: Polygon | null = null;
  let most = -1;
  for (const polygon of polygons) {
    const area = area_m2([polygon]);
    if (area > most) {
      most = area;
      largest = polygon;
    }
  }
  return largest;
}
