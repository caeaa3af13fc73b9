import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeText } from '../../core/base/text.ts';
import { writeGeoJson } from '../../core/formats/geojson-write.ts';
import { findJsonBreak } from '../../core/formats/json-break.ts';
import { readFiles } from '../../core/formats/read.ts';
import { cleanPolygons } from '../../core/geo/clean.ts';
import { deepFreeze } from '../freeze.ts';
import { somePolygons } from './arbitraries.ts';
import { codes, column, readOne, textFile } from './helpers.ts';

const SQUARE = [
  [
    [1, 2],
    [3, 2],
    [3, 4],
    [1, 4],
    [1, 2],
  ],
];
const feature = (geometry: unknown, properties: unknown = {}) => ({ type: 'Feature', properties, geometry });
const collection = (features: readonly unknown[], more: object = {}) => ({
  type: 'FeatureCollection',
  ...more,
  features,
});
const file = (value: unknown, name = 'a.geojson') => [textFile(name, JSON.stringify(value))];
const geometry = (value: unknown) => readOne(file(feature(value))).records[0]?.geometry;

describe('reading GeoJSON', () => {
  it.each([
    ['Polygon', { type: 'Polygon', coordinates: SQUARE }],
    ['MultiPolygon', { type: 'MultiPolygon', coordinates: [SQUARE] }],
    [
      'a collection of one kind',
      { type: 'GeometryCollection', geometries: [{ type: 'Polygon', coordinates: SQUARE }] },
    ],
    ['a ring wound the other way', { type: 'Polygon', coordinates: [[...(SQUARE[0] ?? [])].reverse()] }],
    ['a ring that is not closed', { type: 'Polygon', coordinates: [SQUARE[0]?.slice(0, 4)] }],
    ['heights', { type: 'Polygon', coordinates: [SQUARE[0]?.map((p) => [...p, 300])] }],
  ])('%s', (_, value) => {
    const read = geometry(value);
    const ring = read?.type === 'MultiPolygon' ? read.polygons[0]?.[0] : undefined;
    expect(read?.type === 'MultiPolygon' && read.polygons.length).toBe(1);
    expect(new Set(ring?.map(String))).toEqual(new Set(SQUARE[0]?.map(String)));
    expect(ring).toHaveLength(5);
    // Counter-clockwise: the next corner after the south-west one is the south-east one.
    const at = ring?.findIndex((p) => String(p) === '1,2') ?? -1;
    expect(ring?.[at + 1]).toEqual([3, 2]);
  });

  it('holes wind clockwise', () => {
    const hole = [
      [1.5, 2.5],
      [2, 2.5],
      [2, 3],
      [1.5, 3],
      [1.5, 2.5],
    ];
    const read = geometry({ type: 'Polygon', coordinates: [SQUARE[0], hole] });
    expect(read?.type === 'MultiPolygon' && read.polygons[0]?.[1]).toEqual([...hole].reverse());
  });

  it('points, several points and lines', () => {
    expect(geometry({ type: 'Point', coordinates: [1, 2, 9] })).toEqual({ type: 'Point', at: [1, 2] });
    expect(
      geometry({
        type: 'LineString',
        coordinates: [
          [1, 2],
          [3, 4],
        ],
      }),
    ).toEqual({
      type: 'Lines',
      lines: [
        [
          [1, 2],
          [3, 4],
        ],
      ],
    });
    const several = readOne(
      file(
        feature(
          {
            type: 'MultiPoint',
            coordinates: [
              [1, 2],
              [3, 4],
            ],
          },
          { id: 'x' },
        ),
      ),
    );
    expect(several.records.map((record) => [record.row, record.cells[0]])).toEqual([
      [1, 'x'],
      [1, 'x'],
    ]);
    expect(codes(several)).toEqual(['caution geometry-several-points']);
  });

  it('a bare geometry and a single feature are one record', () => {
    expect(readOne(file({ type: 'Polygon', coordinates: SQUARE })).records).toHaveLength(1);
    expect(readOne(file(feature({ type: 'Point', coordinates: [1, 2] }))).geometry).toBe('point');
  });

  it('properties become columns in the order they appear; blank and missing are null', () => {
    const read = readOne(
      file(
        collection([
          feature({ type: 'Point', coordinates: [1, 2] }, { id: 'a', k: 1.5, ok: true, note: ' ' }),
          feature({ type: 'Point', coordinates: [3, 4] }, { k: null, id: 'b', extra: 'x', constructor: 'y' }),
        ]),
      ),
    );
    expect(read.columns).toEqual(['id', 'k', 'ok', 'note', 'extra', 'constructor']);
    expect(read.records.map((record) => record.cells)).toEqual([
      ['a', 1.5, true, null, null, null],
      ['b', null, null, null, 'x', 'y'],
    ]);
    expect(read.crs).toEqual({ name: 'WGS 84', from: 'format' });
  });

  it('an identifier beside the properties is a column, unless a property has its name', () => {
    const at = { type: 'Point', coordinates: [1, 2] };
    const beside = readOne(file({ ...feature(at, { k: 5 }), id: 'S7' }));
    expect([beside.columns, beside.records[0]?.cells]).toEqual([
      ['id', 'k'],
      ['S7', 5],
    ]);
    const both = readOne(file({ ...feature(at, { id: 'mine' }), id: 'S7' }));
    expect([both.columns, both.records[0]?.cells]).toEqual([['id'], ['mine']]);
  });

  it('a property named __proto__ is a column like any other', () => {
    const text = '{"type":"Feature","properties":{"__proto__":5},"geometry":{"type":"Point","coordinates":[1,2]}}';
    const read = readOne([textFile('a.geojson', text)]);
    expect(column(read, '__proto__')).toEqual([5]);
  });

  it('nested properties keep their text, and are told', () => {
    const read = readOne(file(feature({ type: 'Point', coordinates: [1, 2] }, { list: [1, { a: 2 }] })));
    expect(column(read, 'list')).toEqual(['[1,{"a":2}]']);
    expect(codes(read)).toEqual(['caution geojson-nested']);
  });

  it('a feature without geometry is a record, and told', () => {
    const read = readOne(
      file(collection([feature(null, { id: 1 }), feature({ type: 'Point', coordinates: [1, 2] }, { id: 2 })])),
    );
    expect(read.records[0]).toEqual({ row: 1, geometry: null, cells: [1] });
    expect(codes(read)).toEqual(['caution geometry-none']);
  });

  it('a byte-order mark and the ending .json do no harm', () => {
    const text = `\uFEFF${JSON.stringify(feature({ type: 'Point', coordinates: [1, 2] }))}`;
    expect(readOne([textFile('A.JSON', text)]).name).toBe('A');
  });
});

describe('its coordinate system', () => {
  const utm = collection([feature({ type: 'Point', coordinates: [450332.678, 4653281.216] })]);
  const named = (name: string, value: object = utm) => ({ ...value, crs: { type: 'name', properties: { name } } });

  it('the old crs member is honoured where it is known', () => {
    const read = readOne(file(named('urn:ogc:def:crs:EPSG::32615')));
    expect(read.crs).toEqual({ name: 'WGS 84 / UTM zone 15N', from: 'format' });
    const at = read.records[0]?.geometry;
    expect(at?.type === 'Point' && at.at[0]).toBeCloseTo(-93.6, 7);
  });

  it('CRS84 is plain degrees', () => {
    const degrees = collection([feature({ type: 'Point', coordinates: [-93.6, 42] })]);
    expect(readOne(file(named('urn:ogc:def:crs:OGC:1.3:CRS84', degrees))).crs?.name).toBe('WGS 84');
  });

  it('NAD27 is read with its caution', () => {
    const degrees = collection([feature({ type: 'Point', coordinates: [-81.4, 36.2] })]);
    expect(codes(readOne(file(named('urn:ogc:def:crs:EPSG::4267', degrees))))).toEqual(['caution crs-datum']);
  });

  it('one that is not known asks, and takes what is told', () => {
    const result = readFiles(file(named('urn:ogc:def:crs:EPSG::99999')));
    expect(codes(result)).toEqual(['stop crs-unknown']);
    expect(readOne(file(named('urn:ogc:def:crs:EPSG::99999')), { crs: 'EPSG:32615' }).crs?.from).toBe('told');
    expect(codes(readFiles(file({ ...utm, crs: { type: 'link', properties: { href: 'x' } } })))).toEqual([
      'stop crs-unreadable',
    ]);
  });

  it('metres without a crs member ask, and take what is told', () => {
    expect(codes(readFiles(file(utm)))).toEqual(['stop crs-missing']);
    expect(readOne(file(utm), { crs: 'EPSG:32615' }).crs).toEqual({ name: 'WGS 84 / UTM zone 15N', from: 'told' });
  });

  it('latitude first is told', () => {
    const swapped = collection([feature({ type: 'Point', coordinates: [42, -93.6] })]);
    expect(codes(readFiles(file(swapped)))).toEqual(['stop crs-swapped']);
  });
});

describe('what is no GeoJSON', () => {
  const lines = JSON.stringify(collection([feature({ type: 'Point', coordinates: [1, 2] })]), null, 1);
  it('broken JSON names its line', () => {
    const result = readFiles([textFile('a.geojson', lines.replace('"Point"', 'Point'))]);
    expect(codes(result)).toEqual(['stop geojson-json']);
    const row = lines.split('\n').findIndex((line) => line.includes('"Point"')) + 1;
    expect(result.problems[0]?.at).toEqual({ file: 'a.geojson', row });
  });

  it('JSON cut off names its last line', () => {
    const cut = lines.slice(0, lines.length - 30);
    const result = readFiles([textFile('a.geojson', cut)]);
    expect(result.problems[0]?.at?.row).toBe(cut.split('\n').length);
  });

  it.each([
    ['other JSON', { some: 'thing' }, 'geojson-type'],
    ['a list', [1, 2], 'geojson-type'],
    ['features that are no list', { type: 'FeatureCollection', features: 5 }, 'geojson-type'],
    ['an empty collection', collection([]), 'geojson-empty'],
    ['a member that is no feature', collection([5]), 'geojson-geometry'],
    ['an unknown geometry', feature({ type: 'Circle', coordinates: [1, 2] }), 'geojson-geometry'],
    ['text for a coordinate', feature({ type: 'Point', coordinates: ['1', '2'] }), 'geojson-geometry'],
    ['coordinates one level too shallow', feature({ type: 'Polygon', coordinates: SQUARE[0] }), 'geojson-geometry'],
    [
      'a collection of several kinds',
      feature({
        type: 'GeometryCollection',
        geometries: [
          { type: 'Point', coordinates: [1, 2] },
          { type: 'Polygon', coordinates: SQUARE },
        ],
      }),
      'geojson-geometry',
    ],
  ])('%s', (_, value, code) => {
    expect(codes(readFiles(file(value)))).toEqual([`stop ${code}`]);
  });

  it('all bad features are named, the first fifty and a count', () => {
    const result = readFiles(file(collection(Array.from({ length: 60 }, () => feature({ type: 'Circle' })))));
    expect(result.problems).toHaveLength(51);
    expect(result.problems[1]?.at).toEqual({ file: 'a.geojson', feature: 2 });
    expect(result.problems[50]?.message).toContain('10 more');
  });

  it('a break is found at the token that was changed, or after it', () => {
    const whole = JSON.stringify(
      collection([feature({ type: 'Point', coordinates: [1, -2.5e3] }, { a: 'x', b: [true, null] })]),
    );
    fc.assert(
      fc.property(fc.nat(whole.length - 1), fc.constantFrom('"', '{', '}', ',', '#', '0x', ']', '\n'), (at, put) => {
        const text = whole.slice(0, at) + put + whole.slice(at + 1);
        let parses = true;
        try {
          JSON.parse(text);
        } catch {
          parses = false;
        }
        fc.pre(!parses);
        const found = findJsonBreak(text);
        expect(found).toBeGreaterThanOrEqual(Math.min(at, whole.lastIndexOf('"', at - 1)));
        expect(found).toBeLessThanOrEqual(text.length);
      }),
    );
    expect(findJsonBreak('{"a": 1,\n "b": Point}')).toBe(15);
    expect(findJsonBreak('[1, 2')).toBe(5);
    expect(findJsonBreak('[1] x')).toBe(4);
  });

  it('nesting without end is told, not followed', () => {
    const deep = '['.repeat(200_000);
    expect(readFiles([textFile('a.geojson', deep)]).ok).toBe(false);
    const text = `{"type":"Feature","properties":{"a":${deep}${']'.repeat(200_000)}},"geometry":{"type":"Point","coordinates":[1,2]}}`;
    expect(typeof readFiles([textFile('a.geojson', text)]).ok).toBe('boolean');
  });
});

describe('writing GeoJSON', () => {
  it('one feature a line, members on top, RFC 7946 winding', () => {
    const clockwise: [number, number][] = [
      [1, 2],
      [1, 4],
      [3, 4],
      [3, 2],
      [1, 2],
    ];
    const text = decodeText(
      writeGeoJson(deepFreeze([{ polygons: [[clockwise]], properties: { rate: 120.5, zone: 'A', note: null } }]), {
        unit: 'lb/ac',
      }),
    );
    expect(text).toBe(
      '{\n"type": "FeatureCollection",\n"unit": "lb/ac",\n"features": [\n' +
        '{"type":"Feature","properties":{"rate":120.5,"zone":"A","note":null},"geometry":{"type":"Polygon","coordinates":[[[1,2],[3,2],[3,4],[1,4],[1,2]]]}}\n]\n}\n',
    );
  });

  it('is read back as it was', () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ polygons: somePolygons, rate: fc.double({ noNaN: true, noDefaultInfinity: true }) }), {
          minLength: 1,
          maxLength: 4,
        }),
        (features) => {
          const bytes = writeGeoJson(
            features.map(({ polygons, rate }) => ({ polygons, properties: { rate } })),
            {},
          );
          const read = readOne([{ name: 'a.geojson', bytes }]);
          expect(read.problems).toEqual([]);
          expect(read.records.map((record) => record.geometry)).toEqual(
            features.map(({ polygons }) => ({ type: 'MultiPolygon', polygons })),
          );
          expect(column(read, 'rate')).toEqual(features.map(({ rate }) => (Object.is(rate, -0) ? 0 : rate)));
        },
      ),
      { numRuns: 50 },
    );
  });

  it('throws on what JSON cannot hold and on members of the format itself', () => {
    expect(() => writeGeoJson([{ polygons: [], properties: { rate: Number.NaN } }], {})).toThrow('rate is NaN');
    expect(() => writeGeoJson([], { features: 1 })).toThrow('no foreign member');
  });
});

it('keeps a bow-tie of signed area 0, which cleaning then tells of with its place', () => {
  const bow = [
    [
      [-93, 42],
      [-92, 43],
      [-92, 42],
      [-93, 43],
      [-93, 42],
    ],
  ];
  const read = geometry({ type: 'Polygon', coordinates: bow });
  const polygons = read?.type === 'MultiPolygon' ? read.polygons : [];
  expect(polygons).toHaveLength(1);
  expect(cleanPolygons(polygons, {}).problems).toMatchObject([
    { code: 'geo-self-crossing', at: { lngLat: [-92.5, 42.5] } },
  ]);
  const line = [[...(bow[0] ?? []).slice(0, 2), [-91, 44], [-93, 42]]];
  expect(codes(readFiles(file(feature({ type: 'Polygon', coordinates: line }))))).toContain('caution geometry-flat');
});
