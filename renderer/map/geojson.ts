import type { LngLat, MultiPolygon } from '../../core/geo/types.ts';

/** As much of GeoJSON (RFC 7946) as the map is given. */
export interface Feature {
  readonly type: 'Feature';
  readonly properties: Record<string, string | number>;
  readonly geometry:
    | { readonly type: 'Point'; coordinates: number[] }
    | { readonly type: 'MultiLineString'; coordinates: number[][][] }
    | { readonly type: 'MultiPolygon'; coordinates: number[][][][] };
}
export interface FeatureCollection {
  readonly type: 'FeatureCollection';
  features: Feature[];
}

export const NOTHING: FeatureCollection = { type: 'FeatureCollection', features: [] };

export const polygonFeature = (polygons: MultiPolygon, properties: Record<string, string | number> = {}): Feature => ({
  type: 'Feature',
  properties,
  geometry: { type: 'MultiPolygon', coordinates: polygons.map((p) => p.map((ring) => ring.map(([x, y]) => [x, y]))) },
});
export const lineFeature = (
  lines: readonly (readonly LngLat[])[],
  properties: Record<string, string | number> = {},
): Feature => ({
  type: 'Feature',
  properties,
  geometry: { type: 'MultiLineString', coordinates: lines.map((line) => line.map(([x, y]) => [x, y])) },
});
export const pointFeature = (at: LngLat, properties: Record<string, string | number> = {}): Feature => ({
  type: 'Feature',
  properties,
  geometry: { type: 'Point', coordinates: [at[0], at[1]] },
});
export const collection = (...features: Feature[]): FeatureCollection => ({ type: 'FeatureCollection', features });
