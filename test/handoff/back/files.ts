import { encodeUtf8 } from '../../../core/base/text.ts';
import { writeShapefile } from '../../../core/formats/shapefile-write.ts';
import type { FieldSpec, NamedBytes } from '../../../core/formats/types.ts';
import type { LngLat, MultiPolygon } from '../../../core/geo/types.ts';

/** A square of `size` degrees with its south-west corner there. */
export const square = (west: number, south: number, size = 0.001): MultiPolygon => [
  [
    [
      [west, south],
      [west + size, south],
      [west + size, south + size],
      [west, south + size],
      [west, south],
    ] satisfies LngLat[],
  ],
];

export interface Row {
  readonly polygons: readonly unknown[] | null;
  readonly values: Readonly<Record<string, unknown>>;
}

/** A GeoJSON as some other program would write it. */
export const geoJson = (rows: readonly Row[], name = 'rx.geojson'): NamedBytes => ({
  name,
  bytes: encodeUtf8(
    JSON.stringify({
      type: 'FeatureCollection',
      features: rows.map(({ polygons, values }) => ({
        type: 'Feature',
        properties: values,
        geometry: polygons && { type: 'MultiPolygon', coordinates: polygons },
      })),
    }),
  ),
});

export const shapefile = (
  base: string,
  fields: readonly FieldSpec[],
  rows: readonly { readonly polygons: MultiPolygon; readonly values: readonly (string | number | null)[] }[],
): readonly NamedBytes[] => {
  const made = writeShapefile(base, fields, rows);
  if (!made.ok) throw new Error(made.problems.map((problem) => problem.message).join('\n'));
  return made.value;
};
