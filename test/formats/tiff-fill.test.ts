import { writeArrayBuffer } from 'geotiff';
import { describe, expect, it } from 'vitest';
import { readRaster } from '../../core/formats/geotiff-read.ts';
import { evidentFill, type FillWord } from '../../core/formats/tiff-fill.ts';
import type { NamedBytes } from '../../core/formats/types.ts';
import { codes, value } from './helpers.ts';

const WEST = -94.2;
const NORTH = 42.7;
/** A file that geotiff.js writes, in degrees, without a no-data tag unless told. */
function file(values: Float32Array | Uint8Array, width: number, tags: object = {}): NamedBytes {
  const bands = 'SamplesPerPixel' in tags ? Number(tags.SamplesPerPixel) : 1;
  const bytes = writeArrayBuffer(values, {
    height: values.length / width / bands,
    width,
    ModelPixelScale: [0.0001, 0.0001, 0],
    ModelTiepoint: [0, 0, 0, WEST, NORTH, 0],
    GeographicTypeGeoKey: 4326,
    GTModelTypeGeoKey: 2,
    GTRasterTypeGeoKey: 1,
    ...tags,
  });
  return { name: 'dem.tif', bytes: new Uint8Array(bytes) };
}
const read = (one: NamedBytes, fill?: FillWord) =>
  readRaster(one, { band: 1, crs: null, ...(fill === undefined ? {} : { fill }) });
const DEM = Float32Array.from({ length: 30 }, (_none, i) => (i % 10 === 0 ? -9999 : 310 + (i % 7) / 4));

describe('fills that the file does not name', () => {
  it('are left out with a caution that counts them, until a person says what they are', async () => {
    const first = await read(file(DEM, 6));
    expect(codes(first)).toEqual(['caution tif-fill']);
    expect(first.problems[0]?.message).toContain('3 of 30 pixels of dem.tif about the field hold -9999');
    expect(value(first).values.filter(Number.isNaN)).toHaveLength(3);
    expect(Math.min(...[...value(first).values].filter((one) => !Number.isNaN(one)))).toBe(310);

    const none = await read(file(DEM, 6), 'no data');
    expect([none.problems, value(none).values]).toEqual([[], value(first).values]);
    const told = await read(file(DEM, 6), 'a value');
    expect([told.problems, [...value(told).values]]).toEqual([[], [...DEM]]);
    expect(value(told).reading.join()).toContain('pixels that hold -9999: 3 of 30, values, as told');
  });

  it.each([-9999, -32768, -32767, -99999, -999, 3.4028234663852886e38, -3.4028234663852886e38])('%d is one', (fill) => {
    const values = Float32Array.from(DEM, (one) => (one === -9999 ? fill : one));
    expect(evidentFill(values)).toEqual({ value: Math.fround(fill), pixels: 3, of: 30 });
  });

  it('a number within the spread of the others is none, nor a common one', () => {
    expect(evidentFill(Float32Array.of(-1500, -999, -400, 100))).toBeNull();
    expect(evidentFill(Float32Array.of(-999, -998, -2))).toBeNull();
    expect(evidentFill(Float32Array.of(1, 310, 311))).toBeNull();
    expect(evidentFill(Float32Array.of(Number.NaN))).toBeNull();
  });

  it('are found where the file names another, and are values where a person says so', async () => {
    const other = await read(file(DEM, 6, { GDAL_NODATA: '-1' }));
    expect(codes(other)).toEqual(['caution tif-fill']);
    expect(other.problems[0]?.message).toContain('hold -9999, and the file names another no-data value, -1:');
    const told = value(await read(file(DEM, 6, { GDAL_NODATA: '-1' }), 'a value'));
    expect([...told.values]).toEqual([...DEM]);
    expect(codes(await read(file(DEM, 6, { GDAL_NODATA: '-9999' })))).toEqual([]);
  });

  it.each([1e20, 65_535, -1, 0])('%d over much of a raster of heights is one', (fill) => {
    const values = Float32Array.from(DEM, (one) => (one === -9999 ? fill : one));
    expect(evidentFill(values)).toEqual({ value: Math.fround(fill), pixels: 3, of: 30 });
    expect(evidentFill(values, true)?.value).toBe(fill === 0 || fill === -1 ? undefined : Math.fround(fill));
  });

  it('0 in imagery, in conductivity, in a mask of 0 and 1, and in a few pixels of heights is a value', () => {
    const of = (at: (i: number) => number) => evidentFill(Float32Array.from({ length: 200 }, (_none, i) => at(i)));
    expect(of((i) => (i % 4 === 0 ? 0 : 20 + (i % 200)))).toBeNull();
    expect(of((i) => (i % 5 === 0 ? 0 : 2 + (i % 60)))).toBeNull();
    expect(of((i) => i % 2)).toBeNull();
    expect(of((i) => (i < 8 ? 0 : 310 + (i % 7)))).toBeNull();
    expect(of((i) => (i < 11 ? 0 : 310 + (i % 7)))?.pixels).toBe(11);
    expect(of((i) => 1000 + ((i * 37) % 64_000))).toBeNull();
  });

  it('one pixel is refused', async () => {
    const one = await read(file(Float32Array.of(310), 1));
    expect([one.ok, codes(one)]).toEqual([false, ['stop tif-one-pixel']]);
  });

  it('a colour picture in 8 bits is read band by band, as imagery', async () => {
    const pixels = Uint8Array.from({ length: 4 * 3 }, (_none, i) => i * 20);
    const photo = file(pixels, 2, {
      SamplesPerPixel: 3,
      BitsPerSample: [8, 8, 8],
      PhotometricInterpretation: 2,
      PlanarConfiguration: 1,
    });
    for (const [band, colour] of ['red', 'green', 'blue'].entries()) {
      const out = await readRaster(photo, { band: band + 1, crs: null });
      expect(codes(out)).toEqual(['caution tif-imagery']);
      expect(out.problems[0]?.message).toContain(`band ${band + 1} of 3 is its ${colour}`);
      expect([...value(out).values]).toEqual([0, 1, 2, 3].map((i) => (3 * i + band) * 20));
    }
  });
});
