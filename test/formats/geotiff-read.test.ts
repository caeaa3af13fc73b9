import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { fromArrayBuffer } from 'geotiff';
import { afterAll, describe, expect, it } from 'vitest';
import { readRaster } from '../../core/formats/geotiff-read.ts';
import { writeGeoTiff } from '../../core/formats/geotiff-write.ts';
import { readTiffDirectories } from '../../core/formats/tiff-tags.ts';
import type { NamedBytes } from '../../core/formats/types.ts';
import type { Lattice } from '../../core/geo/types.ts';
import { fixture } from '../fixtures/fixtures.ts';
import { deepFreeze } from '../freeze.ts';
import { gdal, gdalWarnings, itWithGdal } from '../gdal.ts';
import { codes, value } from './helpers.ts';
import {
  expected,
  HEIGHT,
  isFloat,
  KINDS,
  newFolder,
  numbersOf,
  SPOTS,
  SYSTEMS,
  WIDTH,
  writeBase,
  writeKind,
} from './raster-kinds.ts';

const PLAIN = { band: 1, crs: null } as const;
const tif = (path: string): NamedBytes => {
  const [file] = fixture(`tif/${path}`);
  if (!file) throw new Error(path);
  return file;
};
const read = async (path: string, options: Parameters<typeof readRaster>[1] = PLAIN) =>
  readRaster(deepFreeze(tif(path)), options);
const rasterOf = async (path: string, options: Parameters<typeof readRaster>[1] = PLAIN) =>
  value(await read(path, options));

const folder = newFolder();
afterAll(() => rmSync(folder, { recursive: true }));

describe('a raster that GDAL wrote', () => {
  it.each(Object.entries(KINDS))('%s has the numbers that went in', async (name, [type]) => {
    const raster = await rasterOf(`kinds/${name}.tif`);
    expect([raster.width, raster.height, raster.bands]).toEqual([WIDTH, HEIGHT, 1]);
    expect(numbersOf(raster)).toEqual(expected(1, isFloat(type)));
    expect(raster.affine).toEqual({ a: 10, b: 0, c: 450000, d: 0, e: -10, f: 4650290 });
    expect(raster.crs).toEqual({ name: 'WGS 84 / UTM zone 15N', from: 'format' });
  });

  it.each(['u16_bands_pixel', 'u16_bands_apart'])('%s has each of its bands', async (name) => {
    for (const band of [1, 2, 3]) {
      const raster = await rasterOf(`kinds/${name}.tif`, { band, crs: null });
      expect([raster.band, raster.bands]).toEqual([band, 3]);
      expect(numbersOf(raster)).toEqual(expected(band, false));
    }
  });

  it('is read alike by a reader that somebody else wrote', async () => {
    // The kinds that it reads: none with a predictor in big-endian order, nor 64-bit whole numbers.
    for (const name of [
      'u8_none',
      'i8_lzw_tiled',
      'u16_deflate_pred2',
      'u32_packbits',
      'i32_lzw_pred2_tiled',
      'f16_deflate',
      'f32_big',
      'f32_deflate_pred3_tiled',
    ]) {
      const image = await (await fromArrayBuffer(tif(`kinds/${name}.tif`).bytes.slice().buffer)).getImage();
      const [band] = await image.readRasters();
      const none = image.getGDALNoData();
      const theirs = Array.from(band as Float32Array, (one) => (one === none ? Number.NaN : one));
      expect(numbersOf(await rasterOf(`kinds/${name}.tif`))).toEqual(theirs);
    }
  });

  itWithGdal('has its numbers in other mixtures of number, packing, predictor and block', async () => {
    const bases = { float: writeBase(folder, true), whole: writeBase(folder, false) };
    const tiles = ['TILED=YES', 'BLOCKXSIZE=32', 'BLOCKYSIZE=16'];
    // GDAL 3.6 cannot read back what it writes with the float predictor in big-endian order, so that is left out.
    const cases: readonly (readonly [type: string, ...options: string[]])[] = [
      ['Byte', 'COMPRESS=LZW', 'PREDICTOR=2', 'BLOCKYSIZE=3'],
      ['Byte', 'COMPRESS=PACKBITS', ...tiles],
      ['UInt16', 'COMPRESS=LZW', 'PREDICTOR=2', 'ENDIANNESS=BIG', ...tiles],
      ['UInt16', 'COMPRESS=NONE', 'ENDIANNESS=BIG', ...tiles],
      ['Int16', 'COMPRESS=PACKBITS', 'BLOCKYSIZE=3'],
      ['Int16', 'COMPRESS=DEFLATE', 'PREDICTOR=2'],
      ['UInt32', 'COMPRESS=DEFLATE', 'PREDICTOR=2', 'ENDIANNESS=BIG'],
      ['UInt32', 'COMPRESS=LZW', ...tiles],
      ['Int32', 'COMPRESS=DEFLATE', ...tiles],
      ['Int32', 'COMPRESS=NONE', 'BLOCKYSIZE=3'],
      ['Float32', 'COMPRESS=LZW', 'PREDICTOR=3', 'BLOCKYSIZE=3'],
      ['Float32', 'COMPRESS=DEFLATE', 'PREDICTOR=2', ...tiles],
      ['Float64', 'COMPRESS=DEFLATE', 'PREDICTOR=3', ...tiles],
      ['Float64', 'COMPRESS=PACKBITS', 'BIGTIFF=YES'],
    ];
    for (const [type, ...options] of cases) {
      const file = writeKind(folder, isFloat(type) ? bases.float : bases.whole, 'one', type, options);
      const raster = value(await readRaster(file, PLAIN));
      expect([type, ...options, numbersOf(raster)]).toEqual([type, ...options, expected(1, isFloat(type))]);
    }
  });

  itWithGdal('may leave blocks out, have bits for numbers, a mask, an alpha band, and overviews', async () => {
    const base = writeBase(folder, false);
    const write = (name: string, args: readonly string[]): NamedBytes => {
      const out = join(folder, `${name}.tif`);
      gdal('gdal_translate', [
        '-q',
        '-a_srs',
        'EPSG:32615',
        '-a_ullr',
        '450000',
        '4650290',
        '450370',
        '4650000',
        ...args,
        base,
        out,
      ]);
      return { name: `${name}.tif`, bytes: new Uint8Array(readFileSync(out)) };
    };
    const all = expected(1, false);
    // Whole blocks of no-data: the source window reaches past the picture, which GDAL fills with the no-data value.
    const sparse = write('sparse', [
      '-ot',
      'Int16',
      '-b',
      '1',
      '-a_nodata',
      '110',
      '-srcwin',
      '-64',
      '-64',
      '128',
      '128',
      '-co',
      'SPARSE_OK=YES',
      '-co',
      'TILED=YES',
      '-co',
      'BLOCKXSIZE=32',
      '-co',
      'BLOCKYSIZE=32',
    ]);
    const far = value(await readRaster(sparse, PLAIN));
    expect(far.reading.join()).toContain('blocks left empty by the file');
    expect([...far.values].filter((one) => !Number.isNaN(one))).toEqual(all.filter((one) => !Number.isNaN(one)));
    const bits = write('bits', ['-ot', 'Byte', '-b', '1', '-scale', '0', '100', '0', '1', '-co', 'NBITS=1']);
    const said = await readRaster(bits, PLAIN);
    expect(new Set(numbersOf(value(said)))).toEqual(new Set([0, 1]));
    // The mask is made of the first band: what is 0 there is not shown of the second.
    const masked = write('masked', [
      ...['-ot', 'Byte', '-b', '2', '-mask', '1'],
      ...['--config', 'GDAL_TIFF_INTERNAL_MASK', 'YES'],
    ]);
    const left = value(await readRaster(masked, PLAIN));
    expect(left.reading.join()).toContain('the file has a mask');
    expect(numbersOf(left).map(Number.isNaN)).toEqual(all.map((one) => one === 0));
    const alpha = write('alpha', ['-ot', 'Byte', '-b', '2', '-b', '1', '-colorinterp_2', 'alpha']);
    const shown = value(await readRaster(alpha, PLAIN));
    expect(shown.reading.join()).toContain('band 2 is alpha');
    expect(numbersOf(shown).map((one) => Number.isNaN(one))).toEqual(all.map((one) => one === 0));
    const withOverviews = write('overviews', ['-ot', 'Int16', '-b', '1', '-a_nodata', '110']);
    gdal('gdaladdo', ['-q', '-r', 'nearest', join(folder, 'overviews.tif'), '2', '4']);
    const bytes = new Uint8Array(readFileSync(join(folder, 'overviews.tif')));
    expect(bytes.length).toBeGreaterThan(withOverviews.bytes.length);
    expect(numbersOf(value(await readRaster({ name: 'overviews.tif', bytes }, PLAIN)))).toEqual(all);
    // Half as many each way: every second pixel, in the place of four.
    const few = value(await readRaster({ name: 'overviews.tif', bytes }, { ...PLAIN, mostPixels: 400 }));
    expect([few.width, few.height]).toEqual([19, 15]);
    expect(few.reading.join()).toContain('overview of 19 x 15');
    expect(few.values[3 * 19 + 4]).toBe(all[6 * WIDTH + 8]);
    expect(few.affine).toMatchObject({ a: (10 * WIDTH) / 19, e: (-10 * HEIGHT) / 15, c: 450000, f: 4650290 });
    expect(codes(await readRaster({ name: 'overviews.tif', bytes }, { ...PLAIN, mostPixels: 20 }))).toEqual([
      'stop tif-too-large',
    ]);
  });

  it('packed as JPEG is within a step or two of what GDAL reads', async () => {
    const raster = await rasterOf('utm_u8_jpeg.tif');
    // gdallocationinfo of GDAL 3.6.2 at these columns and rows.
    const at = (col: number, row: number) => raster.values[row * raster.width + col] ?? Number.NaN;
    for (const [col, row, gdalSays] of JPEG_SPOTS) expect(Math.abs(at(col, row) - gdalSays)).toBeLessThanOrEqual(2);
  });
});

const JPEG_SPOTS = [
  [5, 5, 0],
  [30, 20, 182],
  [42, 11, 180],
  [50, 35, 0],
  [12, 33, 0],
] as const;

describe('where a raster lies', () => {
  const places: Record<string, readonly (readonly [number, number])[]> = JSON.parse(
    readFileSync(new URL('../fixtures/tif/crs/places.json', import.meta.url), 'utf8'),
  );
  it.each(Object.keys(SYSTEMS))('%s: within a millimetre of where GDAL has it, there and back', async (name) => {
    const result = await read(`crs/${name}.tif`);
    expect(codes(result)).toEqual([]);
    const raster = value(result);
    for (const [i, [col, row]] of SPOTS.entries()) {
      const [lng, lat] = raster.toLngLat(col, row);
      const [wantedLng, wantedLat] = places[name]?.[i] ?? [Number.NaN, Number.NaN];
      expect(Math.hypot(lng - wantedLng, lat - wantedLat)).toBeLessThan(1e-8);
      const back = raster.toPixel([lng, lat]);
      expect(Math.hypot(back[0] - col, back[1] - row)).toBeLessThan(1e-5);
    }
  });

  itWithGdal('the places kept are those that GDAL has', () => {
    const spots = `${SPOTS.map((spot) => spot.join(' ')).join('\n')}\n`;
    for (const name of ['own_lcc_ft', 'conus_albers']) {
      const path = fileURLToPath(new URL(`../fixtures/tif/crs/${name}.tif`, import.meta.url));
      const said = gdal('gdaltransform', ['-t_srs', 'EPSG:4326', '-output_xy', path], spots).trim().split('\n');
      expect(said.map((line) => line.split(' ').map(Number))).toEqual(places[name]);
    }
  });

  it('a pixel that is a point is centred on its position', async () => {
    const [area, point] = [await rasterOf('utm_f32.tif'), await rasterOf('pixel_is_point.tif')];
    expect(numbersOf(point)).toEqual(numbersOf(area));
    // GDAL wrote both with the same grid; only the file's own words differ.
    expect(point.affine).toEqual(area.affine);
    expect(point.reading.join()).toContain('pixel centres');
  });

  it('rows from south to north are turned, and lie where they lay', async () => {
    const raster = await rasterOf('south_up.tif');
    const directory = readTiffDirectories(tif('south_up.tif').bytes);
    if (!directory.ok) throw new Error(directory.detail);
    const matrix = directory.directories[0]?.numbers(34264) ?? [];
    expect(matrix[5]).toBeGreaterThan(0);
    expect(raster.affine.e).toBe(-(matrix[5] ?? 0));
    // The file's last row is the northern one.
    const image = await (await fromArrayBuffer(tif('south_up.tif').bytes.slice().buffer)).getImage();
    const [band] = await image.readRasters();
    const last = Array.from(band as Float32Array).slice(-raster.width);
    expect(numbersOf(raster).slice(0, raster.width)).toEqual(last.map((one) => (one === -9999 ? Number.NaN : one)));
    expect(raster.affine.f).toBeCloseTo((matrix[7] ?? 0) + (matrix[5] ?? 0) * raster.height, 6);
  });

  it('a turned grid keeps its turn', async () => {
    const { affine, reading } = await rasterOf('rotated.tif');
    const directory = readTiffDirectories(tif('rotated.tif').bytes);
    if (!directory.ok) throw new Error(directory.detail);
    const m = directory.directories[0]?.numbers(34264) ?? [];
    expect(affine).toEqual({ a: m[0], b: m[1], c: m[3], d: m[4], e: m[5], f: m[7] });
    expect(reading[0]).toContain('turned');
  });

  it('without a system: degrees are taken for WGS 84 and told, lengths are asked for', async () => {
    const lattice: Lattice = { west_deg: -94.2, south_deg: 42.7, dLng_deg: 0.0002, dLat_deg: 0.0001, cols: 3, rows: 2 };
    const ours = writeGeoTiff(Float64Array.of(1, 2, 3, 4, 5, 6), lattice);
    // Tag 34735, the key directory, becomes one that no reader knows.
    const without = (bytes: Uint8Array) => {
      const copy = bytes.slice();
      const big = copy[0] === 0x4d;
      const view = new DataView(copy.buffer);
      for (let at = 8; at + 2 < copy.length; at += 2)
        if (view.getUint16(at, !big) === 34735) view.setUint16(at, 65000, !big);
      return copy;
    };
    const degrees = await readRaster({ name: 'a.tif', bytes: without(ours) }, PLAIN);
    expect(codes(degrees)).toEqual(['note crs-assumed']);
    expect(value(degrees).crs.name).toBe('WGS 84');
    const lengths = { name: 'b.tif', bytes: without(tif('kinds/u8_none.tif').bytes) };
    const asked = await readRaster(lengths, PLAIN);
    expect(codes(asked)).toEqual(['stop crs-missing']);
    expect(asked.problems[0]?.remedy).toContain('EPSG:32615');
    const told = await readRaster(lengths, { band: 1, crs: 'EPSG:32615' });
    expect(value(told).crs).toEqual({ name: 'WGS 84 / UTM zone 15N', from: 'told' });
  });

  it('a system that cannot be read is asked for, and what is told is taken and said', async () => {
    const result = await read('unsupported_crs.tif');
    expect(codes(result)).toEqual(['stop crs-unreadable']);
    expect(result.problems[0]?.remedy).toContain('EPSG');
    expect(codes(await read('unsupported_crs.tif', { band: 1, crs: 'EPSG:32614' }))).toEqual([
      'caution crs-told-instead',
    ]);
  });
});

describe('what its tags say', () => {
  it('scale and offset are applied, and told', async () => {
    const raster = await rasterOf('scale_offset.tif');
    const plain = await rasterOf('utm_f32.tif');
    // Written as round(10 v), with scale 0.1 and offset 5.
    raster.values.forEach((one, i) => {
      const whole = Math.round((plain.values[i] ?? Number.NaN) * 10);
      if (Number.isNaN(whole)) expect(one).toBeNaN();
      else expect(Math.abs(one - (whole * 0.1 + 5))).toBeLessThan(0.1 + 1e-9);
    });
    expect(raster.reading.join()).toContain('number x 0.1 + 5');
  });

  it('a no-data value that is no number', async () => {
    const raster = await rasterOf('nan_nodata.tif');
    expect(raster.reading.join()).toContain('no-data value: not a number');
    // It names another, and -9999 is left out until a person says that it is a value.
    expect(raster.reading.join()).toMatch(/pixels that hold -9999: .* taken as no data until a person says so/);
    expect(raster.values.some((one) => one < -9000)).toBe(false);
  });
});

describe('a window', () => {
  it('reads the same numbers at the same places, and no more than it needs', async () => {
    for (const name of ['u8_none', 'u16_deflate_pred2', 'f32_deflate_pred3_tiled', 'i16_lzw_pred2_big']) {
      const whole = await rasterOf(`kinds/${name}.tif`);
      const [west, north] = whole.toLngLat(20.2, 10.3);
      const [east, south] = whole.toLngLat(24.7, 14.6);
      const part = await rasterOf(`kinds/${name}.tif`, { band: 1, crs: null, window: { west, south, east, north } });
      expect(part.width).toBeLessThan(12);
      expect(part.height).toBeLessThan(12);
      const [col, row] = whole.toPixel(part.toLngLat(0.5, 0.5)).map(Math.floor) as [number, number];
      for (let j = 0; j < part.height; j++)
        for (let i = 0; i < part.width; i++)
          expect(part.values[j * part.width + i]).toEqual(whole.values[(row + j) * whole.width + col + i]);
      expect(col).toBeLessThanOrEqual(20);
      expect(col + part.width).toBeGreaterThanOrEqual(25);
    }
  });

  it('that the raster does not reach is told with where it lies', async () => {
    const result = await read('kinds/u8_none.tif', {
      band: 1,
      crs: null,
      window: { west: -90, south: 40, east: -89.9, north: 40.1 },
    });
    expect(codes(result)).toEqual(['stop tif-outside']);
    expect(result.problems[0]?.message).toContain('42.0');
  });
});

describe('what is refused', () => {
  it.each([
    ['no_georef.tif', 'tif-no-place'],
    ['truncated.tif', 'tif-truncated'],
    ['utm_f32_ZSTD.tif', 'tif-packing'],
    ['control_points.tif', 'tif-control-points'],
    ['complex.tif', 'tif-kind'],
  ])('%s: %s', async (path, code) => {
    const result = await read(path);
    expect(codes(result)).toEqual([`stop ${code}`]);
    expect(result.problems[0]?.at?.file).toBe(path);
    expect(result.problems[0]?.remedy).not.toBe('');
  });

  it('a band that it has not, and a file that is no TIFF', async () => {
    expect(codes(await read('utm_f32.tif', { band: 2, crs: null }))).toEqual(['stop tif-band']);
    const text = { name: 'a.tif', bytes: new TextEncoder().encode('id,K\nA1,120\n') };
    expect(codes(await readRaster(text, PLAIN))).toEqual(['stop tif-not-a-tiff']);
    expect(codes(await readRaster({ name: 'a.tif', bytes: new Uint8Array() }, PLAIN))).toEqual(['stop tif-not-a-tiff']);
  });

  it('a size that no memory holds, before any of it is asked for', async () => {
    // Width and height stand in the first two entries of the first directory.
    const bytes = tif('kinds/u32_packbits.tif').bytes.slice();
    const view = new DataView(bytes.buffer);
    const directory = view.getUint32(4, true);
    for (let i = 0; i < view.getUint16(directory, true); i++) {
      const entry = directory + 2 + i * 12;
      const tag = view.getUint16(entry, true);
      if (tag !== 256 && tag !== 257) continue;
      view.setUint16(entry + 2, 4, true);
      view.setUint32(entry + 8, 1_000_000, true);
    }
    const start = performance.now();
    const result = await readRaster({ name: 'vast.tif', bytes }, PLAIN);
    expect(performance.now() - start).toBeLessThan(200);
    expect(result.ok).toBe(false);
  });

  it('a cut anywhere: always a problem, or the same numbers', async () => {
    for (const name of ['kinds/f32_deflate_pred3_tiled.tif', 'kinds/u8_none.tif']) {
      const { bytes } = tif(name);
      const whole = numbersOf(await rasterOf(name));
      for (let length = 0; length < bytes.length; length += 23) {
        const result = await readRaster({ name, bytes: bytes.slice(0, length) }, PLAIN);
        if (result.ok) expect(numbersOf(result.value)).toEqual(whole);
        else expect(result.problems.every((problem) => problem.severity === 'stop')).toBe(true);
      }
    }
  });

  it('bytes turned at random: a result, soon, and never a throw', async () => {
    const names = Object.keys(KINDS);
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...names),
        fc.array(
          fc.tuple(fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true }), fc.integer({ min: 0, max: 255 })),
          {
            minLength: 1,
            maxLength: 6,
          },
        ),
        fc.boolean(),
        async (name, turns, inHead) => {
          const bytes = tif(`kinds/${name}.tif`).bytes.slice();
          const reach = inHead ? Math.min(400, bytes.length) : bytes.length;
          for (const [at, byte] of turns) bytes[Math.floor(at * reach)] = byte;
          const start = performance.now();
          const result = await readRaster({ name, bytes }, PLAIN);
          expect(performance.now() - start).toBeLessThan(2000);
          if (result.ok) expect(result.value.values.length).toBe(result.value.width * result.value.height);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('a block that unpacks without end costs no more than the block', async () => {
    // A strip of zeros packed 1000 to 1, in the place of the picture's only strip.
    const { zlibSync } = await import('fflate');
    const bomb = zlibSync(new Uint8Array(30_000_000), { level: 6 });
    const source = tif('kinds/f16_deflate.tif').bytes;
    const bytes = new Uint8Array(source.length + bomb.length);
    bytes.set(source);
    bytes.set(bomb, source.length);
    const view = new DataView(bytes.buffer);
    const directory = view.getUint32(4, true);
    for (let i = 0; i < view.getUint16(directory, true); i++) {
      const entry = directory + 2 + i * 12;
      const tag = view.getUint16(entry, true);
      if (tag !== 273 && tag !== 279) continue;
      expect(view.getUint32(entry + 4, true)).toBe(1);
      view.setUint16(entry + 2, 4, true);
      view.setUint32(entry + 8, tag === 273 ? source.length : bomb.length, true);
    }
    const before = process.memoryUsage().arrayBuffers;
    const result = await readRaster({ name: 'bomb.tif', bytes }, PLAIN);
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(20_000_000);
    expect(value(result).values.every((one) => one === 0)).toBe(true);
  });
});

describe('ours, read back', () => {
  it('has the values that were written, north first, to the last digit of a float', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 2, max: 9 }),
        fc.integer({ min: 1, max: 9 }),
        fc.nat(),
        async (cols, rows, seed) => {
          const lattice: Lattice = { west_deg: -94.2, south_deg: 42.7, dLng_deg: 0.0002, dLat_deg: 0.0001, cols, rows };
          const values = Float64Array.from({ length: cols * rows }, (_, i) =>
            (i + seed) % 5 === 0 ? Number.NaN : Math.fround(Math.sin(i + seed) * 1e3),
          );
          const raster = value(await readRaster({ name: 'own.tif', bytes: writeGeoTiff(values, lattice) }, PLAIN));
          const northFirst = Array.from({ length: rows }, (_, row) => [
            ...values.slice((rows - 1 - row) * cols, (rows - row) * cols),
          ]).flat();
          expect(numbersOf(raster)).toEqual(northFirst);
          const [lng, lat] = raster.toLngLat(0, rows);
          expect(lng).toBeCloseTo(-94.2, 12);
          expect(lat).toBeCloseTo(42.7, 12);
        },
      ),
      { numRuns: 25 },
    );
  });

  itWithGdal('has the statistics that GDAL finds, and GDAL says nothing against it', () => {
    const lattice: Lattice = {
      west_deg: -94.2,
      south_deg: 42.7,
      dLng_deg: 0.00012,
      dLat_deg: 0.00009,
      cols: 40,
      rows: 30,
    };
    const values = Float64Array.from({ length: 1200 }, (_, i) =>
      i % 7 === 0 ? Number.NaN : Math.fround(120 + 40 * Math.sin(i / 9)),
    );
    const path = join(folder, 'surface.tif');
    writeFileSync(path, writeGeoTiff(values, lattice));
    expect(gdalWarnings('gdalinfo', ['-stats', path])).toBe('');
    const info = JSON.parse(gdal('gdalinfo', ['-json', '-stats', path]));
    const known = values.filter((one) => !Number.isNaN(one));
    const mean = known.reduce((sum, one) => sum + one, 0) / known.length;
    const sd = Math.sqrt(known.reduce((sum, one) => sum + (one - mean) ** 2, 0) / known.length);
    const [band] = info.bands;
    expect(band.mean).toBeCloseTo(mean, 3);
    expect(band.stdDev).toBeCloseTo(sd, 3);
    expect(band.minimum).toBeCloseTo(Math.min(...known), 3);
    expect(band.maximum).toBeCloseTo(Math.max(...known), 3);
    expect(Number(band.metadata[''].STATISTICS_VALID_PERCENT)).toBeCloseTo((100 * known.length) / 1200, 1);
  });
});
