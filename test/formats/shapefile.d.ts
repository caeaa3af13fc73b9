/** Only what the tests use of the package `shapefile`, a reader nobody here wrote. */
declare module 'shapefile' {
  import type { FeatureCollection } from 'geojson';
  export function read(
    shp: Uint8Array | ArrayBuffer,
    dbf?: Uint8Array | ArrayBuffer,
    options?: { readonly encoding?: string },
  ): Promise<FeatureCollection>;
}
