import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import * as shapefile from 'shapefile';
import { parseShp } from 'shpjs';
import { describe, expect, it } from 'vitest';
import { decodeText } from '../../core/base/text.ts';
import { parseCrs } from '../../core/formats/crs.ts';
import { writePointShapefile, writeShapefile } from '../../core/formats/shapefile-write.ts';
import type { FeatureOut, FieldSpec, NamedBytes } from '../../core/formats/types.ts';
import { deepFreeze } from '../freeze.ts';
import { gdal, itWithGdal } from '../gdal.ts';
import { somePolygons } from './arbitraries.ts';
import { codes, column, readOne, value } from './helpers.ts';
import { square } from './raw-shp.ts';

const FIELDS: readonly FieldSpec[] = [
  { name: 'RATE', kind: 'number', width: 12, decimals: 2 },
  { name: 'ZONE', kind: 'text', width: 10, decimals: 0 },
];
const outer = (x: number, y: number, side: number) => square(x, y, side).reverse();
const hole = square;
const part = (files: readonly NamedBytes[], ending: string): Uint8Array => {
  const file = files.find((one) => one.name.endsWith(`.${ending}`));
  if (!file) throw new Error(`no .${ending}`);
  return file.bytes;
};
const viewOf = (bytes: Uint8Array) => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
const someFeatures = fc.array(
  fc.record({
    polygons: somePolygons,
    values: fc.tuple(
      fc.option(fc.integer({ min: -99_999_999, max: 999_999_999 }).map((n) => n / 100)),
      fc.option(fc.stringMatching(/^[a-zäÖ]{1,5}$/)),
    ),
  }),
  { minLength: 1, maxLength: 4 },
);

describe('writeShapefile', () => {
  it('lays out a small file as the technical description says (ESRI, July 1998, pages 4 to 8 and 23)', () => {
    const files = value(
      writeShapefile(
        'rx',
        FIELDS,
        deepFreeze([
          { polygons: [[outer(10, 50, 1), hole(10.2, 50.2, 0.1)]], values: [120.5, 'A'] },
          { polygons: [[outer(12, 50, 1)], [outer(14, 51, 2)]], values: [0, 'B'] },
        ]),
      ),
    );
    expect(files.map((file) => file.name)).toEqual(['rx.shp', 'rx.shx', 'rx.dbf', 'rx.prj', 'rx.cpg']);
    const shp = viewOf(part(files, 'shp'));
    const shx = viewOf(part(files, 'shx'));
    // Content: 44 bytes, 4 a ring, 16 a point: two rings of five points each.
    const content = 44 + 2 * 4 + 10 * 16;
    expect(shp.byteLength).toBe(100 + 2 * (8 + content));
    for (const view of [shp, shx]) {
      expect(view.getInt32(0)).toBe(9994);
      expect(view.getInt32(24)).toBe(view.byteLength / 2);
      expect(view.getInt32(28, true)).toBe(1000);
      expect(view.getInt32(32, true)).toBe(5);
      expect([36, 44, 52, 60, 68, 76, 84, 92].map((at) => view.getFloat64(at, true))).toEqual([
        10, 50, 16, 53, 0, 0, 0, 0,
      ]);
    }
    expect(shx.byteLength).toBe(100 + 2 * 8);
    for (const [i, offset] of [100, 100 + 8 + content].entries()) {
      expect([shx.getInt32(100 + 8 * i), shx.getInt32(104 + 8 * i)]).toEqual([offset / 2, content / 2]);
      expect([shp.getInt32(offset), shp.getInt32(offset + 4)]).toEqual([i + 1, content / 2]);
      expect(shp.getInt32(offset + 8, true)).toBe(5);
      expect([44, 48, 52, 56].map((at) => shp.getInt32(offset + at, true))).toEqual([2, 10, 0, 5]);
    }
    expect([12, 20, 28, 36].map((at) => shp.getFloat64(100 + at, true))).toEqual([10, 50, 11, 51]);
  });

  it('winds outer rings clockwise and holes counter-clockwise, whatever way they come', () => {
    for (const turn of [false, true]) {
      const ring = (one: [number, number][]) => (turn ? [...one].reverse() : one);
      const files = value(
        writeShapefile('rx', FIELDS, [{ polygons: [[ring(outer(0, 0, 9)), ring(hole(1, 1, 1))]], values: [1, 'A'] }]),
      );
      const view = viewOf(part(files, 'shp'));
      const twiceArea = (first: number): number => {
        const at = (i: number) => [
          view.getFloat64(160 + 16 * (first + i), true),
          view.getFloat64(168 + 16 * (first + i), true),
        ];
        return [0, 1, 2, 3].reduce((sum, i) => {
          const [[x0 = 0, y0 = 0], [x1 = 0, y1 = 0]] = [at(i), at(i + 1)];
          return sum + (x0 * y1 - x1 * y0);
        }, 0);
      };
      expect([twiceArea(0), twiceArea(5)]).toEqual([-162, 2]);
    }
  });

  it('writes the table as dBASE III: types, widths, right-aligned numbers, no clock', () => {
    const files = value(
      writeShapefile('rx', FIELDS, [
        { polygons: [[outer(0, 0, 1)]], values: [120.5, 'Süd'] },
        { polygons: [[outer(2, 0, 1)]], values: [null, null] },
        { polygons: [[outer(4, 0, 1)]], values: [-0.001, ''] },
      ]),
    );
    const dbf = part(files, 'dbf');
    const view = viewOf(dbf);
    expect([...dbf.subarray(0, 4)]).toEqual([3, 80, 1, 1]);
    expect([view.getUint32(4, true), view.getUint16(8, true), view.getUint16(10, true)]).toEqual([3, 97, 23]);
    expect(decodeText(dbf.subarray(32, 36))).toBe('RATE');
    expect([dbf[43], dbf[48], dbf[49]]).toEqual(['N'.charCodeAt(0), 12, 2]);
    expect(decodeText(dbf.subarray(97))).toBe(
      `${' '}      120.50Süd      ${' '.repeat(23)}${' '}        0.00          \u001a`,
    );
    expect(decodeText(part(files, 'cpg'))).toBe('UTF-8');
    expect(value(parseCrs(decodeText(part(files, 'prj')))).name).toBe('WGS 84');
  });

  it('is read back as it was', () => {
    fc.assert(
      fc.property(someFeatures, (features) => {
        const read = readOne(value(writeShapefile('rx', FIELDS, features)));
        expect(read.problems).toEqual([]);
        expect(read.records.map((record) => record.geometry)).toEqual(
          features.map(({ polygons }) => ({ type: 'MultiPolygon', polygons })),
        );
        expect(read.records.map((record) => record.cells)).toEqual(features.map((feature) => feature.values));
      }),
      { numRuns: 60 },
    );
  });

  it('is read the same by shpjs and by the package shapefile', async () => {
    await fc.assert(
      fc.asyncProperty(someFeatures, async (features) => {
        const files = value(writeShapefile('rx', FIELDS, features));
        const theirs = await shapefile.read(part(files, 'shp').slice(), part(files, 'dbf').slice(), {
          encoding: 'utf-8',
        });
        const positions = (geometry: unknown): number[] =>
          JSON.stringify(geometry)
            .match(/-?\d+(\.\d+)?/g)
            ?.map(Number) ?? [];
        const sum = (numbers: readonly number[]) => [...numbers].sort((a, b) => a - b);
        for (const [i, feature] of features.entries()) {
          const wanted = sum(positions(feature.polygons));
          expect(sum(positions(theirs.features[i]?.geometry))).toEqual(wanted);
          const [rings] = [(parseShp(viewOf(part(files, 'shp'))) as unknown as { coordinates: unknown }[])[i]];
          expect(sum(positions(rings?.coordinates))).toEqual(wanted);
          expect(theirs.features[i]?.properties).toEqual({ RATE: feature.values[0], ZONE: feature.values[1] });
        }
        const parts = theirs.features.map(({ geometry }) =>
          geometry.type === 'MultiPolygon' ? geometry.coordinates.length : 1,
        );
        expect(parts).toEqual(features.map(({ polygons }) => polygons.length));
      }),
      { numRuns: 25 },
    );
  });

  it('writes the same bytes for the same input', () => {
    const write = () => value(writeShapefile('rx', FIELDS, [{ polygons: [[outer(0, 0, 1)]], values: [1, 'A'] }]));
    expect(write()).toEqual(write());
  });

  it('a feature without ground becomes a null shape, and is told', () => {
    const result = writeShapefile('rx', FIELDS, [
      { polygons: [], values: [1, 'A'] },
      { polygons: [[outer(0, 0, 1)]], values: [2, 'B'] },
    ]);
    expect(codes(result)).toEqual(['caution shp-no-geometry']);
    const read = readOne(value(result));
    expect(read.records.map((record) => record.geometry?.type)).toEqual([undefined, 'MultiPolygon']);
    expect(column(read, 'RATE')).toEqual([1, 2]);
  });

  const one = (values: FeatureOut['values'], fields: readonly FieldSpec[] = FIELDS) =>
    writeShapefile('rx', fields, [{ polygons: [[outer(0, 0, 1)]], values }]);

  it.each([1e10, -1e9, Number.NaN, Number.POSITIVE_INFINITY, 1e21])('refuses %d, which does not fit', (rate) => {
    const result = one([rate, 'A']);
    expect(codes(result)).toEqual(['stop dbf-number']);
    expect(result.problems[0]?.at).toEqual({ file: 'rx.dbf', feature: 1, column: 'RATE' });
  });

  it('cuts text at a whole character, and tells', () => {
    const result = one([1, 'ÄÖÜÄÖÜÄ']);
    expect(codes(result)).toEqual(['caution dbf-text-cut']);
    expect(column(readOne(value(result)), 'ZONE')).toEqual(['ÄÖÜÄÖ']);
    const odd = one([1, 'aÄÖÜÄÖÜÄ']);
    expect(column(readOne(value(odd)), 'ZONE')).toEqual(['aÄÖÜÄ']);
  });

  it.each(['rate', '1RATE', 'RATE LBAC', 'ELEVENCHARS', '', 'RÄTE'])('refuses the column name "%s"', (name) => {
    expect(codes(one([1], [{ name, kind: 'number', width: 8, decimals: 0 }]))).toEqual(['stop dbf-name']);
  });

  it.each([
    [{ name: 'A', kind: 'number', width: 21, decimals: 0 }],
    [{ name: 'A', kind: 'number', width: 4, decimals: 3 }],
    [{ name: 'A', kind: 'text', width: 255, decimals: 0 }],
    [{ name: 'A', kind: 'text', width: 0, decimals: 0 }],
  ] as const)('refuses the field %j', (field) => {
    expect(codes(one([null], [field]))).toEqual(['stop dbf-field']);
  });

  it('refuses nothing to write, no columns, and one name twice', () => {
    expect(codes(writeShapefile('rx', FIELDS, []))).toEqual(['stop shp-no-features']);
    expect(codes(one([], []))).toEqual(['stop dbf-field']);
    const [rate] = FIELDS;
    if (rate) expect(codes(one([1, 2], [rate, rate]))).toEqual(['stop dbf-name']);
  });

  it("throws on the program's own mistakes", () => {
    expect(() => one([1])).toThrow('1 values for 2 fields');
    expect(() => one(['x', 'A'])).toThrow('RATE is a number');
    expect(() => writePointShapefile('p', FIELDS, [{ at: [Number.NaN, 1], values: [1, 'A'] }])).toThrow('NaN');
  });
});

describe('writePointShapefile', () => {
  const utm15 =
    'PROJCS["WGS_1984_UTM_Zone_15N",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-93.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]';

  it('keeps coordinates as given, in the system that is given', () => {
    const files = value(writePointShapefile('p', FIELDS, [{ at: [450332.678, 4653281.216], values: [1, 'A'] }], utm15));
    const view = viewOf(part(files, 'shp'));
    expect([view.getFloat64(112, true), view.getFloat64(120, true)]).toEqual([450332.678, 4653281.216]);
    const read = readOne(files);
    expect(read.crs?.name).toBe('WGS 84 / UTM zone 15N');
    const at = read.records[0]?.geometry;
    expect(at?.type === 'Point' && at.at[0]).toBeCloseTo(-93.6, 7);
    expect(at?.type === 'Point' && at.at[1]).toBeCloseTo(42.03, 7);
  });

  it('in WGS84 is read back to the bit', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.tuple(fc.double({ min: -179, max: 179, noNaN: true }), fc.double({ min: -50, max: 70, noNaN: true })),
          {
            minLength: 1,
            maxLength: 5,
          },
        ),
        (places) => {
          const points = places.map((at, i) => ({ at, values: [i, `P${i}`] }));
          const read = readOne(value(writePointShapefile('p', FIELDS, points)));
          expect(read.records.map((record) => record.geometry)).toEqual(places.map((at) => ({ type: 'Point', at })));
          expect(column(read, 'ZONE')).toEqual(points.map((_, i) => `P${i}`));
        },
      ),
      { numRuns: 30 },
    );
  });
});

describe('what is written, opened by GDAL', () => {
  const features: readonly FeatureOut[] = [
    { polygons: [[outer(10, 50, 1), hole(10.2, 50.2, 0.1)]], values: [120.5, 'Süd'] },
    { polygons: [[outer(12, 50, 1), hole(12.2, 50.2, 0.6)], [outer(12.4, 50.4, 0.1)]], values: [null, null] },
  ];

  itWithGdal('has its types, widths, system, text and shapes', () => {
    const folder = mkdtempSync(join(tmpdir(), 'pearlash-shp-'));
    try {
      for (const file of value(writeShapefile('rx', FIELDS, features)))
        writeFileSync(join(folder, file.name), file.bytes);
      const text = gdal('ogrinfo', ['-al', join(folder, 'rx.shp')]);
      expect(text).toContain('RATE: Real (12.2)');
      expect(text).toContain('ZONE: String (10.0)');
      expect(text).toContain('ID["EPSG",4326]');
      expect(text).toContain('ZONE (String) = Süd');
      expect(text).toContain('RATE (Real) = (null)');
      expect(text).toContain(
        'POLYGON ((10 50,10 51,11 51,11 50,10 50),(10.2 50.2,10.3 50.2,10.3 50.3,10.2 50.3,10.2 50.2))',
      );
      expect(text).toMatch(/MULTIPOLYGON \(\(\(12 50,12 51,13 51,13 50,12 50\),\(12\.2 .*\)\),\(\(12\.4 /);
      expect(text).toContain('Feature Count: 2');
      const valid = gdal('ogrinfo', [
        '-q',
        join(folder, 'rx.shp'),
        '-dialect',
        'sqlite',
        '-sql',
        'select min(ST_IsValid(geometry)) as valid from rx',
      ]);
      expect(valid).toContain('valid (Integer) = 1');
    } finally {
      rmSync(folder, { recursive: true });
    }
  });

  itWithGdal('and what GDAL writes is read here: a hole, an island, UTM, text', () => {
    const folder = mkdtempSync(join(tmpdir(), 'pearlash-ogr-'));
    try {
      for (const file of value(writeShapefile('rx', FIELDS, features)))
        writeFileSync(join(folder, file.name), file.bytes);
      const utm = join(folder, 'utm.shp.zip');
      gdal('ogr2ogr', [
        '-f',
        'ESRI Shapefile',
        '-t_srs',
        'EPSG:32632',
        '-lco',
        'ENCODING=UTF-8',
        utm,
        join(folder, 'rx.shp'),
      ]);
      const read = readOne([{ name: 'utm.zip', bytes: new Uint8Array(readFileSync(utm)) }]);
      expect(read.crs?.name).toBe('WGS 84 / UTM zone 32N');
      expect(column(read, 'ZONE')).toEqual(['Süd', null]);
      const shape = read.records[1]?.geometry;
      expect(shape?.type === 'MultiPolygon' && shape.polygons.map((one) => one.length)).toEqual([2, 1]);
      const corner = shape?.type === 'MultiPolygon' ? shape.polygons[1]?.[0] : undefined;
      const west = Math.min(...(corner ?? []).map((p) => p[0]));
      expect(west).toBeCloseTo(12.4, 9);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
