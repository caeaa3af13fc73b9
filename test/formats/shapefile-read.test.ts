import { describe, expect, it } from 'vitest';
import { readFiles } from '../../core/formats/read.ts';
import { writeShapefile } from '../../core/formats/shapefile-write.ts';
import type { DataRecord, Geometry } from '../../core/formats/types.ts';
import { fixture, fixtureNames } from '../fixtures/fixtures.ts';
import { codes, column, readOne, value } from './helpers.ts';
import { rawShp, square } from './raw-shp.ts';

const polygonsOf = (record: DataRecord | undefined) => {
  const geometry: Geometry | null | undefined = record?.geometry;
  if (geometry?.type !== 'MultiPolygon') throw new Error(`no polygons but ${geometry?.type}`);
  return geometry.polygons;
};
const RATES = [0, 10, 20, 30, 40, 50, 60, 70, 80, 90];
/** Written by GDAL for a record without values. */
const STARS = 'note dbf-stars';

describe('a shapefile that is sound', () => {
  const places = [
    [
      [
        [
          [10, 50],
          [10.01, 50],
          [10.01, 50.01],
          [10, 50.01],
          [10, 50],
        ],
        [
          [10.003, 50.003],
          [10.003, 50.006],
          [10.006, 50.006],
          [10.006, 50.003],
          [10.003, 50.003],
        ],
      ],
    ],
    [
      [
        [
          [10.02, 50],
          [10.03, 50],
          [10.03, 50.01],
          [10.02, 50.01],
          [10.02, 50],
        ],
        [
          [10.022, 50.002],
          [10.022, 50.008],
          [10.028, 50.008],
          [10.028, 50.002],
          [10.022, 50.002],
        ],
      ],
      [
        [
          [10.024, 50.004],
          [10.026, 50.004],
          [10.026, 50.006],
          [10.024, 50.006],
          [10.024, 50.004],
        ],
      ],
    ],
  ];

  for (const name of ['poly_utf8', 'poly_cp1252', 'poly_z', 'poly_m']) {
    it(`${name}: holes, an island in a hole, a record without geometry, empty cells`, () => {
      const read = readOne(fixture(`shp/${name}`));
      expect(read.records.slice(0, 2).map(polygonsOf)).toEqual(places);
      expect(read.records[2]?.geometry).toBeNull();
      expect(read.crs).toEqual({ name: 'WGS 84', from: 'prj' });
      expect(column(read, 'rate')).toEqual([120.5, null, 0]);
      expect(column(read, 'day')).toEqual(['2024-03-09', null, '1999-12-31']);
      expect(column(read, 'very_lon_1')).toEqual([2.5, null, 1e15]);
      expect(codes(read)).toEqual([STARS, 'caution geometry-none']);
    });
  }

  it('poly_utm32: the same places out of UTM zone 32N, text by the language byte', () => {
    const read = readOne(fixture('shp/poly_utm32'));
    expect(read.crs).toEqual({ name: 'WGS 84 / UTM zone 32N', from: 'prj' });
    const found = read.records.slice(0, 2).flatMap(polygonsOf).flat(2);
    const wanted = places.flat(3);
    expect(found).toHaveLength(wanted.length);
    for (const [i, [lng, lat]] of found.entries()) {
      expect(lng).toBeCloseTo(wanted[i]?.[0] ?? Number.NaN, 10);
      expect(lat).toBeCloseTo(wanted[i]?.[1] ?? Number.NaN, 10);
    }
    expect(column(read, 'name')[0]).toBe('Nord-Süd Äcker');
  });

  it.each([
    ['poly_utf8', 'name', ['Nord-Süd Äcker', null, 'Żółć ęą']],
    ['poly_cp1252', 'name', ['Nord-Süd Äcker', null, 'ó']],
    ['cp1252nocpg', 'n', ['Süd é']],
    ['cpg_88591', 'n', ['Süd é']],
    ['own_writer', 'name', ['Süd-Äcker Ż', null, 'plain', null]],
  ])('%s: text in its own code page', (name, field, wanted) => {
    expect(column(readOne(fixture(`shp/${name}`)), field)).toEqual(wanted);
  });

  it('own_writer: every kind of number', () => {
    const read = readOne(fixture('shp/own_writer'));
    expect(column(read, 'rate')).toEqual([120.123, null, 0, 5]);
    expect(column(read, 'big')[0]).toBe(123456789012.5);
    expect(column(read, 'tiny')[0]).toBe(1e-9);
    expect(column(read, 'neg')[0]).toBe(-0.001);
    expect(column(read, 'flag')).toEqual([true, null, false, null]);
  });

  it('every fixture is one of the cases here', () => {
    expect(fixtureNames('shp')).toHaveLength(20);
    expect([...fixtureNames('shp')].sort()).toEqual(
      [
        ...['poly_utf8', 'poly_cp1252', 'poly_utm32', 'poly_z', 'poly_m', 'padhdr', 'longhdr', 'deleted'],
        ...['dbf_count_lie', 'dbfodd', 'truncated', 'lostpart', 'reversed', 'holewrong', 'multipatch', 'multipointz1'],
        ...['cp1252nocpg', 'cpg_88591', 'datum_no_towgs84', 'own_writer'],
      ].sort(),
    );
  });
});

describe('a table that is odd', () => {
  it.each(['padhdr', 'longhdr'])('%s: the header says where the rows begin', (name) => {
    const read = readOne(fixture(`shp/${name}`));
    expect(column(read, 'rate')).toEqual(RATES);
    expect(codes(read)).toEqual([]);
  });

  it('deleted: the row is set aside and named, the others keep their numbers', () => {
    const read = readOne(fixture('shp/deleted'));
    expect(read.records.map((record) => record.row)).toEqual([1, 2, 3, 5, 6, 7, 8, 9, 10]);
    expect(column(read, 'rate')).toEqual(RATES.filter((rate) => rate !== 30));
    expect(codes(read)).toEqual(['caution dbf-deleted']);
    expect(read.problems[0]?.message).toContain('row 4');
  });

  it('dbf_count_lie: one row is read, and the count told', () => {
    const read = readOne(fixture('shp/dbf_count_lie'));
    expect(column(read, 'id')).toEqual([1]);
    expect(codes(read)).toEqual(['caution dbf-count']);
  });

  it('dbfodd: empty, decimal comma, and what is no date', () => {
    const read = readOne(fixture('shp/dbfodd'));
    expect(read.records.map((record) => record.cells)).toEqual([
      [12.5, 1500, '2024-03-09', true, ' lead'],
      [null, null, null, null, null],
      [null, null, null, null, null],
      [1.5, null, '2024-3-9', true, 'x'],
    ]);
    expect(read.reading).toContain('num has decimal commas');
    expect(codes(read)).toEqual([STARS, 'caution dbf-cell']);
    expect(read.problems[1]?.at).toEqual({ file: 'dbfodd.dbf', column: 'dt', row: 4 });
  });

  it('another number of rows than shapes is refused, with the first row that has no partner', () => {
    const five = fixture('shp/padhdr').filter((file) => !file.name.endsWith('.dbf'));
    const other = fixture('shp/dbf_count_lie').filter((file) => file.name.endsWith('.dbf'));
    const result = readFiles([...five, ...other.map((file) => ({ ...file, name: 'padhdr.dbf' }))]);
    expect(codes(result)).toEqual(['stop dbf-row-count']);
    expect(result.problems[0]?.at).toEqual({ file: 'padhdr.dbf', row: 11 });
    expect(result.problems[0]?.remedy).toContain('leave the .dbf away');
  });

  it('a table that is cut off is refused at the row where it ends', () => {
    const files = fixture('shp/padhdr').map((file) =>
      file.name.endsWith('.dbf') ? { ...file, bytes: file.bytes.slice(0, 200) } : file,
    );
    const result = readFiles(files);
    expect(codes(result)).toEqual(['stop dbf-truncated']);
    expect(result.problems[0]?.at?.row).toBe(7);
  });

  it('names that come twice are told apart', () => {
    const made = value(
      writeShapefile(
        'twice',
        [
          { name: 'RATE', kind: 'number', width: 8, decimals: 0 },
          { name: 'RATF', kind: 'number', width: 8, decimals: 0 },
        ],
        [{ polygons: [[square(0, 0, 1).toReversed()]], values: [1, 2] }],
      ),
    );
    for (const file of made) if (file.name === 'twice.dbf') file.bytes[32 + 32 + 3] = 'E'.charCodeAt(0);
    const read = readOne(made);
    expect(read.columns).toEqual(['RATE', 'RATE_2']);
    expect(read.records[0]?.cells).toEqual([1, 2]);
    expect(codes(read)).toEqual(['caution dbf-names']);
  });

  it('a column of a type that is not read is empty, and told', () => {
    const files = fixture('shp/padhdr').map((file) => ({ ...file, bytes: file.bytes.slice() }));
    for (const file of files) if (file.name.endsWith('.dbf')) file.bytes[32 + 32 + 11] = 'M'.charCodeAt(0);
    const read = readOne(files);
    expect(column(read, 'rate')).toEqual(RATES.map(() => null));
    expect(column(read, 'id')).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9]);
    expect(codes(read)).toEqual(['caution dbf-type']);
  });

  it('reads no byte beyond its own, where it is a view of something larger', () => {
    const [file] = fixture('shp/cpg_88591').filter((one) => one.name.endsWith('.dbf'));
    const rest = fixture('shp/cpg_88591').filter((one) => !one.name.endsWith('.dbf'));
    if (!file) throw new Error('no table');
    const room = new Uint8Array(file.bytes.length + 200).fill('X'.charCodeAt(0));
    room.set(file.bytes, 100);
    const view = room.subarray(100, 100 + file.bytes.length);
    expect(column(readOne([{ ...file, bytes: view }, ...rest]), 'n')).toEqual(['Süd é']);
  });
});

describe('rings', () => {
  it('lostpart: both parts stay, though one winds the wrong way', () => {
    const read = readOne(fixture('shp/lostpart'));
    expect(polygonsOf(read.records[0])).toEqual([
      [
        [
          [0, 0],
          [10, 0],
          [10, 10],
          [0, 10],
          [0, 0],
        ],
      ],
      [
        [
          [20, 0],
          [30, 0],
          [30, 10],
          [20, 10],
          [20, 0],
        ],
      ],
    ]);
    expect(codes(read)).toEqual(['caution shp-winding']);
    expect(read.problems[0]?.at).toEqual({ file: 'lostpart.shp', feature: 1 });
  });

  it('reversed: all rings wound the other way are as good, without a word', () => {
    const read = readOne(fixture('shp/reversed'));
    expect(polygonsOf(read.records[1])).toEqual([
      [
        [
          [5, 0],
          [15, 0],
          [15, 10],
          [5, 10],
          [5, 0],
        ],
        [
          [7, 2],
          [7, 4],
          [9, 4],
          [9, 2],
          [7, 2],
        ],
      ],
    ]);
    expect(codes(read)).toEqual([]);
  });

  it('holewrong: the hole goes to the part round it, not to the one whose box holds it', () => {
    const parts = polygonsOf(readOne(fixture('shp/holewrong')).records[0]);
    expect(parts.map((part) => part.length)).toEqual([1, 2]);
    expect(parts[1]?.[1]?.[0]).toEqual([5, 7]);
  });

  it('a hole that winds like its outer ring is a hole', () => {
    const shp = rawShp(5, [{ parts: [square(0, 0, 10), square(2, 2, 3)] }]);
    const read = readOne([{ name: 'a.shp', bytes: shp }]);
    expect(polygonsOf(read.records[0]).map((part) => part.length)).toEqual([2]);
    expect(codes(read)).toContain('caution shp-winding');
  });

  it('a ring without area is left out and told', () => {
    const line: [number, number][] = [
      [20, 0],
      [21, 1],
      [20, 0],
    ];
    const read = readOne([{ name: 'a.shp', bytes: rawShp(5, [{ parts: [square(0, 0, 10), line] }]) }]);
    expect(polygonsOf(read.records[0])).toHaveLength(1);
    expect(codes(read)).toContain('caution geometry-flat');
  });

  it('a ring that is not closed is closed', () => {
    const open = square(0, 0, 10).slice(0, 4);
    const [ring] = polygonsOf(readOne([{ name: 'a.shp', bytes: rawShp(5, [{ parts: [open] }]) }]).records[0])[0] ?? [];
    expect(ring).toHaveLength(5);
    expect(ring?.at(-1)).toEqual(ring?.[0]);
  });
});

describe('points and lines', () => {
  it('multipointz1: the point, from where it stands', () => {
    const read = readOne(fixture('shp/multipointz1'));
    expect(read.records[0]?.geometry).toEqual({ type: 'Point', at: [1, 2] });
    expect(codes(read)).toEqual([]);
  });

  it('several points of one record become records of the same row, and told', () => {
    const read = readOne([
      {
        name: 'a.shp',
        bytes: rawShp(8, [
          {
            parts: [
              [
                [1, 2],
                [3, 4],
              ],
            ],
          },
          { parts: [[[5, 6]]] },
        ]),
      },
    ]);
    expect(read.records.map((record) => [record.row, record.geometry])).toEqual([
      [1, { type: 'Point', at: [1, 2] }],
      [1, { type: 'Point', at: [3, 4] }],
      [2, { type: 'Point', at: [5, 6] }],
    ]);
    expect(codes(read)).toContain('caution geometry-several-points');
  });

  it('lines keep their parts', () => {
    const read = readOne([
      {
        name: 'a.shp',
        bytes: rawShp(3, [
          {
            parts: [
              [
                [1, 2],
                [3, 4],
              ],
              [
                [5, 6],
                [7, 8],
              ],
            ],
          },
        ]),
      },
    ]);
    expect(read.geometry).toBe('line');
    expect(read.records[0]?.geometry).toEqual({
      type: 'Lines',
      lines: [
        [
          [1, 2],
          [3, 4],
        ],
        [
          [5, 6],
          [7, 8],
        ],
      ],
    });
  });
});

describe('a .shp that is broken', () => {
  const whole = rawShp(5, [{ parts: [square(0, 0, 1)] }, { parts: [square(2, 0, 1)] }]);
  const changed = (change: (view: DataView<ArrayBuffer>) => void): Uint8Array => {
    const copy = whole.slice();
    change(new DataView(copy.buffer));
    return copy;
  };
  const read = (bytes: Uint8Array) => readFiles([{ name: 'a.shp', bytes }]);

  it('truncated: refused, with the feature where it ends', () => {
    const result = readFiles(fixture('shp/truncated'));
    expect(codes(result)).toEqual(['stop shp-truncated']);
    expect(result.problems[0]?.at).toEqual({ file: 'truncated.shp', feature: 5 });
  });

  it('multipatch: refused', () => {
    expect(codes(readFiles(fixture('shp/multipatch')))).toEqual(['stop shp-multipatch']);
  });

  it.each([
    ['another file', changed((view) => view.setInt32(0, 9995)), 'shp-not-a-shp'],
    ['a few bytes', whole.slice(0, 40), 'shp-truncated'],
    ['a type that is none', changed((view) => view.setInt32(32, 7, true)), 'shp-type'],
    ['a record of another type', changed((view) => view.setInt32(108, 3, true)), 'shp-damaged'],
    ['more points than fit', changed((view) => view.setInt32(148, 1_000_000, true)), 'shp-damaged'],
    ['a negative count', changed((view) => view.setInt32(144, -1, true)), 'shp-damaged'],
    ['a part that begins past its points', changed((view) => view.setInt32(152, 77, true)), 'shp-damaged'],
    ['a record without length', changed((view) => view.setInt32(104, 0)), 'shp-damaged'],
    ['a record that runs past the end', changed((view) => view.setInt32(104, 1_000_000)), 'shp-truncated'],
    [
      'a coordinate that is no number',
      changed((view) => view.setFloat64(156, Number.NaN, true)),
      'geometry-not-a-number',
    ],
    ['no record at all', rawShp(5, []), 'shp-empty'],
  ])('%s', (_, bytes, code) => {
    const result = read(bytes);
    expect(result.ok).toBe(false);
    expect(result.problems.at(-1)?.code).toBe(code);
    expect(result.problems.at(-1)?.at?.file).toBe('a.shp');
  });

  it('bytes after the last feature are told', () => {
    const longer = new Uint8Array(whole.length + 5);
    longer.set(whole);
    const result = read(longer);
    expect(value(result)[0]?.records).toHaveLength(2);
    expect(codes(result)).toContain('caution shp-tail');
  });
});

describe('parts that are missing or do not fit', () => {
  const parts = fixture('shp/padhdr');
  const without = (ending: string) => parts.filter((file) => !file.name.endsWith(ending));

  it('without .dbf the shapes are read, and it is told', () => {
    const read = readOne(without('.dbf'));
    expect(read.records).toHaveLength(10);
    expect(read.columns).toEqual([]);
    expect(codes(read)).toEqual(['caution shp-no-dbf']);
  });

  it('without .shx all is read, with a note', () => {
    const read = readOne(without('.shx'));
    expect(column(read, 'rate')).toEqual(RATES);
    expect(codes(read)).toEqual(['note shp-no-shx']);
  });

  it('without .prj values within degrees are taken for WGS 84, with a note', () => {
    const read = readOne(without('.prj'));
    expect(read.crs).toEqual({ name: 'WGS 84', from: 'assumed' });
    expect(codes(read)).toEqual(['note crs-assumed']);
  });

  it('a .shx that lists fewer shapes, in another order, is followed, and told', () => {
    const shx = parts.find((file) => file.name.endsWith('.shx'))?.bytes ?? new Uint8Array();
    const listed = new Uint8Array(100 + 2 * 8);
    listed.set(shx.subarray(0, 100));
    listed.set(shx.subarray(108, 116), 100);
    listed.set(shx.subarray(100, 108), 108);
    new DataView(listed.buffer).setInt32(24, listed.length / 2);
    const read = readOne([
      ...without('.shx').filter((file) => !file.name.endsWith('.dbf')),
      { name: 'padhdr.shx', bytes: listed },
    ]);
    expect(read.records.map((record) => polygonsOf(record)[0]?.[0]?.[0])).toEqual([
      [1, 0],
      [0, 0],
    ]);
    expect(codes(read)).toContain('caution shp-index');
  });

  it('a .shx that is cut off is not believed', () => {
    const read = readOne(
      parts.map((file) => (file.name.endsWith('.shx') ? { ...file, bytes: file.bytes.slice(0, 116) } : file)),
    );
    expect(column(read, 'rate')).toEqual(RATES);
    expect(codes(read)).toEqual(['caution shp-index']);
  });

  it('datum_no_towgs84: read, with the size of the error', () => {
    const read = readOne(fixture('shp/datum_no_towgs84'));
    expect(codes(read)).toEqual(['caution crs-datum']);
    expect(read.problems[0]?.message).toContain('150 m');
  });
});
