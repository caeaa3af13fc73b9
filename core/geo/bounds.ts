import type { MultiPolygon } from './types.ts';

/** Degrees. Without any position west and south are Infinity, east and north -Infinity. */
export interface Bounds {
  readonly west: number;
  readonly south: number;
  readonly east: number;
  readonly north: number;
}

/** The box about all positions of all rings. A field across the 180th meridian is not known here. */
export function bounds(polygons: MultiPolygon): Bounds {
  let west = Infinity;
  let south = Infinity;
  let east = -Infinity;
  let north = -Infinity;
  for (const polygon of polygons) {
    for (const ring of polygon) {
      for (const [lng, lat] of ring) {
        if (lng < west) west = lng;
        if (lng > east) east = lng;
        if (lat < south) south = lat;
        if (lat > north) north = lat;
      }
    }
  }
  return { west, south, east, north };
}
