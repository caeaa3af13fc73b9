/// <reference path="./jsts.d.ts" />
import jsts from 'jsts/dist/jsts.min.js';
import type { LngLat, MultiPolygon } from '../../core/geo/types.ts';

const units = (deg: number): number => Math.round(deg * 1e9);

/** Why JSTS finds the polygons not valid (OGC simple features); empty when they are. Whole units about the first corner. */
export function whyInvalid(polygons: MultiPolygon): string {
  const first = polygons[0]?.[0]?.[0];
  if (!first) return '';
  const coordinates = polygons.map((polygon) =>
    polygon.map((ring) => ring.map(([lng, lat]) => [units(lng) - units(first[0]), units(lat) - units(first[1])])),
  );
  const check = new jsts.operation.valid.IsValidOp(
    new jsts.io.GeoJSONReader().read({ type: 'MultiPolygon', coordinates }),
  );
  return check.isValid() ? '' : check.getValidationError().toString();
}

/** Edges that stand once in all the polygons together: the rim of what they cover, if neighbours share every position. */
export function rim(all: readonly MultiPolygon[]): readonly (readonly [LngLat, LngLat])[] {
  const open = new Map<string, readonly [LngLat, LngLat]>();
  for (const ring of all.flat(2)) {
    for (let i = 1; i < ring.length; i++) {
      const from = ring[i - 1] as LngLat;
      const to = ring[i] as LngLat;
      if (!open.delete(`${to} ${from}`)) open.set(`${from} ${to}`, [from, to]);
    }
  }
  return [...open.values()];
}
