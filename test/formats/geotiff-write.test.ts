import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fromArrayBuffer } from 'geotiff';
import { afterAll, describe, expect, it } from 'vitest';
import { NO_DATA, writeGeoTiff } from '../../core/formats/geotiff-write.ts';
import type { Lattice } from '../../core/geo/types.ts';
import { gdal, itWithGdal } from '../gdal.ts';

const lattice: Lattice = { west_deg: -94.2, south_deg: 42.7, dLng_deg: 0.0002, dLat_deg: 0.0001, cols: 3, rows: 2 };
// South row first: 1 2 3 below 4 NaN 6.
const values = Float64Array.of(1, 2, 3, 4, Number.NaN, 6);
const folder = mkdtempSync(join(tmpdir(), 'pearlash-tif-'));
afterAll(() => rmSync(folder, { recursive: true }));

describe('a surface as GeoTIFF', () => {
  it('is read back north row first, with its place and its no-data value', async () => {
    const bytes = writeGeoTiff(values, lattice);
    const image = await (await fromArrayBuffer(bytes.slice().buffer)).getImage();
    const [band] = await image.readRasters();
    expect([...(band as Float32Array)]).toEqual([4, NO_DATA, 6, 1, 2, 3]);
    expect(image.getGDALNoData()).toBe(NO_DATA);
    expect(image.getOrigin().slice(0, 2)).toEqual([-94.2, 42.7002]);
    expect(image.getBoundingBox().map((edge: number) => Number(edge.toFixed(9)))).toEqual([
      -94.2, 42.7, -94.1994, 42.7002,
    ]);
  });

  it('is the same bytes each time, and refuses values that do not fit the lattice', () => {
    expect(writeGeoTiff(values, lattice)).toEqual(writeGeoTiff(values, lattice));
    expect(() => writeGeoTiff(values.slice(1), lattice)).toThrow('5 values for 3 x 2 cells');
  });

  itWithGdal('opens in GDAL with the same statistics and no warning', () => {
    const path = join(folder, 'k.tif');
    writeFileSync(path, writeGeoTiff(values, lattice));
    const info = JSON.parse(gdal('gdalinfo', ['-json', '-stats', path]));
    expect(info.size).toEqual([3, 2]);
    expect(info.geoTransform.map((part: number) => Number(part.toFixed(9)))).toEqual([
      -94.2, 0.0002, 0, 42.7002, 0, -0.0001,
    ]);
    expect(info.coordinateSystem.wkt).toContain('4326');
    const [band] = info.bands;
    expect([band.type, band.noDataValue, band.minimum, band.maximum]).toEqual(['Float32', NO_DATA, 1, 6]);
    // (1 + 2 + 3 + 4 + 6) / 5, the cell without a value left out.
    expect(band.mean).toBeCloseTo(3.2, 6);
  });
});
