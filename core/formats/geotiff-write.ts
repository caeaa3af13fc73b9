import { writeArrayBuffer } from 'geotiff';
import type { Lattice } from '../geo/types.ts';

/** Value of a cell without ground or reading. */
export const NO_DATA = -9999;
const CELL_BYTES = 4;

/**
 * One layer of the field's lattice as a GeoTIFF (OGC 19-008r4): one band of 32-bit floats, north row first, cells aligned to WGS84
 * longitude and latitude (EPSG:4326, pixel is area), NaN as the no-data value -9999. Same values, same bytes. `values` are in
 * cell order, south row first; another length throws. Uncompressed, 4 bytes a cell; linear in the cells.
 */
export function writeGeoTiff(values: Float64Array, lattice: Lattice): Uint8Array {
  const { cols, rows, west_deg, south_deg, dLng_deg, dLat_deg } = lattice;
  if (values.length !== cols * rows) throw new Error(`${values.length} values for ${cols} x ${rows} cells`);
  // The library makes two objects a value. It is given one cell, for all that stands before the cells, and these are laid behind it here.
  const oneCell = writeArrayBuffer(Float32Array.of(0), {
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
    StripByteCounts: [values.length * CELL_BYTES],
  });
  const head_bytes = oneCell.byteLength - CELL_BYTES;
  const file = new Uint8Array(head_bytes + values.length * CELL_BYTES);
  file.set(new Uint8Array(oneCell, 0, head_bytes));
  const view = new DataView(file.buffer);
  for (let row = 0; row < rows; row++) {
    for (let col = 0; col < cols; col++) {
      const value = values[row * cols + col] ?? Number.NaN;
      // North row first, the more significant byte first, as the library's header says.
      const at = head_bytes + ((rows - 1 - row) * cols + col) * CELL_BYTES;
      view.setFloat32(at, Number.isNaN(value) ? NO_DATA : value);
    }
  }
  return file;
}
