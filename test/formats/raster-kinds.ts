import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Raster } from '../../core/formats/geotiff-read.ts';
import type { NamedBytes } from '../../core/formats/types.ts';
import { gdal } from '../gdal.ts';

/** Size of the raster that every kind of test/fixtures/tif/kinds holds: odd, so that strips and tiles are cut. */
export const WIDTH = 37;
export const HEIGHT = 29;

/**
 * The number of a pixel, band from 1, NaN where it has none: 0 to 104 and whole, with quarters added for floats.
 * All of them are exact in every kind of number.
 */
export function numberAt(col: number, row: number, band: number, float: boolean): number {
  if ((col * 3 + row * 5) % 17 === 0) return Number.NaN;
  return ((col * 7 + row * 13) % 101) + band - 1 + (float ? 0.25 * ((col + row) % 4) : 0);
}

export const expected = (band: number, float: boolean): readonly number[] =>
  Array.from({ length: WIDTH * HEIGHT }, (_, i) => numberAt(i % WIDTH, Math.floor(i / WIDTH), band, float));

/** No-data value of whole numbers and of floats; the latter is exact in 16 bits too. */
export const NONE = { whole: 110, float: -9984 } as const;

/** The raster of the formula as a file that GDAL reads (ENVI: raw 64-bit floats, band after band, and a header). */
export function writeBase(folder: string, float: boolean): string {
  const values = [1, 2, 3].flatMap((band) => expected(band, float));
  const raw = Float64Array.from(values, (value) => (Number.isNaN(value) ? (float ? NONE.float : NONE.whole) : value));
  const path = join(folder, float ? 'float.img' : 'whole.img');
  writeFileSync(path, new Uint8Array(raw.buffer));
  writeFileSync(
    path.replace('.img', '.hdr'),
    `ENVI\nsamples = ${WIDTH}\nlines = ${HEIGHT}\nbands = 3\nheader offset = 0\nfile type = ENVI Standard\ndata type = 5\ninterleave = bsq\nbyte order = 0\n`,
  );
  return path;
}

/** Kinds by their file's name: the type of number, and what GDAL is told on writing. */
export const KINDS: Readonly<Record<string, readonly [type: string, ...options: string[]]>> = {
  u8_none: ['Byte'],
  i8_lzw_tiled: ['Byte', 'PIXELTYPE=SIGNEDBYTE', 'COMPRESS=LZW', 'TILED=YES', 'BLOCKXSIZE=16', 'BLOCKYSIZE=16'],
  u16_deflate_pred2: ['UInt16', 'COMPRESS=DEFLATE', 'PREDICTOR=2', 'BLOCKYSIZE=5'],
  i16_lzw_pred2_big: ['Int16', 'COMPRESS=LZW', 'PREDICTOR=2', 'ENDIANNESS=BIG'],
  u32_packbits: ['UInt32', 'COMPRESS=PACKBITS'],
  i32_lzw_pred2_tiled: ['Int32', 'COMPRESS=LZW', 'PREDICTOR=2', 'TILED=YES', 'BLOCKXSIZE=16', 'BLOCKYSIZE=32'],
  i64_none: ['Int64'],
  u64_deflate_pred2_big: ['UInt64', 'COMPRESS=DEFLATE', 'PREDICTOR=2', 'ENDIANNESS=BIG'],
  f16_deflate: ['Float32', 'NBITS=16', 'COMPRESS=DEFLATE'],
  f32_big: ['Float32', 'BIGTIFF=YES', 'ENDIANNESS=BIG'],
  f32_deflate_pred3_tiled: [
    'Float32',
    'COMPRESS=DEFLATE',
    'PREDICTOR=3',
    'TILED=YES',
    'BLOCKXSIZE=16',
    'BLOCKYSIZE=16',
  ],
  f64_lzw_pred3: ['Float64', 'COMPRESS=LZW', 'PREDICTOR=3', 'BLOCKYSIZE=7'],
  f64_deflate_big: ['Float64', 'COMPRESS=DEFLATE', 'ENDIANNESS=BIG'],
};

export const isFloat = (type: string): boolean => type.startsWith('Float');

const PLACE = ['-a_srs', 'EPSG:32615', '-a_ullr', '450000', '4650290', '450370', '4650000'];

/** One kind, written by GDAL from the base: its band or bands, with the no-data value. */
export function writeKind(
  folder: string,
  base: string,
  name: string,
  type: string,
  options: readonly string[],
  bands: readonly number[] = [1],
): NamedBytes {
  const out = join(folder, `${name}.tif`);
  const none = isFloat(type) ? NONE.float : NONE.whole;
  gdal('gdal_translate', [
    '-q',
    ...['-of', 'GTiff', '-ot', type, '-a_nodata', String(none), ...PLACE],
    ...bands.flatMap((band) => ['-b', String(band)]),
    ...options.flatMap((option) => ['-co', option]),
    base,
    out,
  ]);
  return { name: `${name}.tif`, bytes: new Uint8Array(readFileSync(out)) };
}

export const newFolder = (): string => mkdtempSync(join(tmpdir(), 'pearlash-raster-'));

/** Values as plain numbers, so that NaN compares. */
export const numbersOf = (raster: Raster): readonly number[] => [...raster.values];

/** Coordinate systems by their file's name in test/fixtures/tif/crs: what GDAL is told, and west, north and pixel size on its plane. */
export const SYSTEMS: Readonly<Record<string, readonly [srs: string, west: number, north: number, pixel: number]>> = {
  wgs84: ['EPSG:4326', -93.6, 42.05, 0.01],
  mercator: ['EPSG:3857', -10419500, 5166000, 700],
  utm_nad83_2011: ['EPSG:6344', 450000, 4653000, 500],
  conus_albers: ['EPSG:5070', 190000, 2110000, 500],
  iowa_m: ['EPSG:26975', 1490000, 1060000, 500],
  iowa_ft: ['EPSG:3417', 4890000, 3475000, 1500],
  new_zealand: ['EPSG:2193', 1570000, 5180000, 500],
  own_tmerc: [
    '+proj=tmerc +lat_0=40 +lon_0=-95 +k=0.9999 +x_0=200000 +y_0=100000 +datum=NAD83 +units=m +no_defs',
    310000,
    325000,
    500,
  ],
  own_lcc_ft: [
    '+proj=lcc +lat_1=43.5 +lat_2=41 +lat_0=40 +lon_0=-93 +x_0=500000 +y_0=10000 +datum=NAD83 +units=us-ft +no_defs',
    1480000,
    770000,
    1500,
  ],
  own_lcc_1sp: [
    '+proj=lcc +lat_1=42 +lat_0=42 +lon_0=-93 +k_0=0.9998 +x_0=100000 +y_0=200000 +datum=WGS84 +units=m +no_defs',
    50000,
    205000,
    500,
  ],
  own_albers: [
    '+proj=aea +lat_1=41 +lat_2=44 +lat_0=40 +lon_0=-93 +x_0=0 +y_0=0 +datum=WGS84 +units=m +no_defs',
    -50000,
    225000,
    500,
  ],
  own_laea: ['+proj=laea +lat_0=42 +lon_0=-93 +x_0=1000 +y_0=2000 +datum=WGS84 +units=m +no_defs', -49000, 6000, 500],
  own_stere: [
    '+proj=stere +lat_0=90 +lat_ts=60 +lon_0=-96 +x_0=0 +y_0=0 +datum=WGS84 +units=m +no_defs',
    230000,
    -5100000,
    500,
  ],
};

/** Columns and rows at which the systems are compared. */
export const SPOTS = [
  [0, 0],
  [37, 0],
  [18.5, 14.5],
  [0, 29],
  [37, 29],
] as const;

/** A small file in a system, and where GDAL says that its SPOTS lie. */
export function writeSystem(
  folder: string,
  base: string,
  name: string,
  [srs, west, north, pixel]: readonly [string, number, number, number],
): { readonly file: NamedBytes; readonly places: readonly (readonly [number, number])[] } {
  const out = join(folder, `${name}.tif`);
  const box = [west, north, west + WIDTH * pixel, north - HEIGHT * pixel].map(String);
  gdal('gdal_translate', ['-q', '-ot', 'Byte', '-b', '1', '-a_srs', srs, '-a_ullr', ...box, base, out]);
  const spots = SPOTS.map((spot) => spot.join(' ')).join('\n');
  const said = gdal('gdaltransform', ['-t_srs', 'EPSG:4326', '-output_xy', out], `${spots}\n`);
  const places = said
    .trim()
    .split('\n')
    .map((line) => line.split(' ').map(Number))
    .map(([lng = Number.NaN, lat = Number.NaN]) => [lng, lat] as const);
  return { file: { name: `${name}.tif`, bytes: new Uint8Array(readFileSync(out)) }, places };
}
