/** Only what is used here. The published types are of another version and name other functions. */
declare module 'shpjs' {
  type Position = [number, number];
  /** Geometry of a .shp in file order; null where a record is null or has no part. */
  export function parseShp(
    shp: DataView,
  ): (
    | { readonly type: 'Point'; readonly coordinates: Position }
    | { readonly type: 'MultiPoint' | 'LineString'; readonly coordinates: Position[] }
    | { readonly type: 'MultiLineString'; readonly coordinates: Position[][] }
    | null
  )[];
}
