import { writeArrayBuffer } from 'geotiff';
import type { Lattice } from '../geo/types.ts';

/** Value of a cell without ground or reading. */
export const NO_DATA = -9999;

/**
 * One layer of the field's lattice as a GeoTIFF (OGC 19-008r4): one band of 32-bit floats, north row first, cells aligned to WGS84
 * longitude and latitude (EPSG:4326, pixel is area), NaN as the no-data value -9999. Same values, same bytes. `values` are in
 * cell order, south row first; another length throws. Uncompressed, 4 bytes a cell; linear in the cells.
 */
export function writeGeoTiff(values: Float64Array, lattice: Lattice): Uint8Array {
  const { cols, rows, west_deg, south_deg, dLng_deg, dLat_deg } = lattice;
  if (values.length !== cols * rows) throw new Error(`${values.length} values for ${cols} x ${rows} cells`);
  const northFirst = new Float32Array(values.length);
  for (let row = 0; row < rows; row++) {
    for (let col = 0; col < cols; col++) {
      const value = values[row * cols + col] ?? Number.NaN;
      northFirst[(rows - 1 - row) * cols + col] = Number.isNaN(value) ? NO_DATA : value;
    }
  }
  const file = writeArrayBuffer(northFirst, {
    width: cols,
    height: rows,
    GTModelTypeGeoKey: 2,
    GTRasterTypeGeoKey: 1,
    GeographicTypeGeoKey: 4326,
    ModelPixelScale: [dLng_deg, dLat_deg, 0],
    ModelTiepoint: [0, 0, 0, west_deg, south_deg + rows * dLat_deg, 0],
    GDAL_NODATA: String(NO_DATA),
    BitsPerSample: [32],
    SampleFormat: [3],
    SamplesPerPixel: [1],
  });
  return new Uint8Array(file);
}
