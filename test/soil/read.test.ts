import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Problem, Result } from '../../core/base/problem.ts';
import type { Dataset } from '../../core/formats/types.ts';
import { readSoil } from '../../core/soil/read.ts';
import { soilSettingsSchema } from '../../core/soil/settings.ts';
import type { SoilOut } from '../../core/soil/types.ts';
import { deepFreeze } from '../freeze.ts';
import { box, point, shapes, table } from './tables.ts';

const FIELD = deepFreeze(box(-94.24, 42.7, -94.23, 42.708));
const settings = (values: object = {}) => deepFreeze(soilSettingsSchema.parse({ extractant: 'other', ...values }));
const read = (samples: Dataset, points: Dataset | null = null, told: object = {}): Result<SoilOut> =>
  readSoil({ points, samples, boundary: FIELD, settings: settings(told) });
const good = (result: Result<SoilOut>): SoilOut & { problems: readonly Problem[] } => {
  if (!result.ok) throw new Error(result.problems.map((one) => `${one.code}: ${one.message}`).join('\n'));
  return { ...result.value, problems: result.problems };
};
const codes = (problems: readonly Problem[]) => problems.map((one) => one.code);
/** Row number, kept or not, and the codes of its reasons. */
const verdicts = (out: SoilOut) => out.rows.map((row) => [row.row, row.kept, codes(row.reasons).join(' ')]);
const at = (n: number) => point(-94.239 + n * 0.001, 42.701 + (n % 3) * 0.002);

describe('points and a lab table, joined by id', () => {
  const grid = shapes(
    'grid',
    ['ID'],
    [1, 2, 3, 4, 5, 6].map((n) => [at(n), n]),
  );
  const LAB = 'SampleID;K ppm;Ca ppm;Mg ppm;pH;CEC';

  test('a good table gives a sample a row, with chemistry, and no problem', () => {
    const out = good(
      read(
        table('lab', [
          LAB,
          '1;120;1200;180;6.5;10',
          '2;140;1300;190;6.6;11',
          '3;90;800;120;6.1;8',
          '4;31;900;100;6;8',
          '5;100;900;100;6;8',
          '6;100;900;100;6;8',
        ]),
        grid,
      ),
    );
    expect([out.read, out.kept, out.setAside]).toEqual([6, 6, 0]);
    expect(out.problems).toEqual([]);
    expect(out.kind).toBe('points');
    expect(out.samples[0]).toMatchObject({
      id: '1',
      file: 'lab.csv',
      row: 2,
      at: [-94.238, 42.703],
      k_ppm: 120,
      cec_meq: 10,
      cecFrom: 'lab',
    });
    expect(out.samples[0]?.saturation.k_pct).toBeCloseTo((100 * 120) / 390.98 / 10, 12);
    expect(out.samples[0]?.na_ppm).toBeNaN();
    expect(out.reading).toContain('lab.csv: 6 rows read, 6 kept, 0 set aside.');
  });

  test('every kind of bad row is set aside with its row, column and remedy', () => {
    const out = good(
      read(
        table('lab', [
          LAB,
          '1;120;1200;180;6.5;10',
          '2;;1200;180;6.5;10',
          '3;n.d.;1200;180;6.5;10',
          '4;-5;1200;180;6.5;10',
          '5;100;1200;180;65;10',
          '99;100;1200;180;6.5;10',
          ';100;1200;180;6.5;10',
          '6;0;1200;180;6.5;10',
          '6;120 lb/ac;1200;180;6.5;10',
        ]),
        grid,
      ),
    );
    expect(verdicts(out)).toEqual([
      [2, true, ''],
      [3, false, 'soil-k-missing'],
      [4, false, 'soil-not-detected'],
      [5, false, 'soil-out-of-bounds'],
      [6, false, 'soil-out-of-bounds'],
      [7, false, 'soil-no-point'],
      [8, false, 'soil-no-id'],
      [9, false, 'soil-k-missing'],
      [10, false, 'soil-other-unit'],
    ]);
    for (const row of out.rows.slice(1)) {
      expect(row.reasons[0]?.at).toMatchObject({ file: 'lab.csv', row: row.row });
      expect(row.reasons[0]?.at?.column).toBe(row.badColumns[0]);
      expect(row.reasons[0]?.remedy).not.toBe('');
    }
    expect(out.rows[3]?.at).toEqual(at(4).type === 'Point' ? [-94.235, 42.703] : null);
    expect(out.rows[2]?.cells).toEqual(['3', 'n.d.', '1200', '180', '6.5', '10']);
    expect(codes(out.problems)).toHaveLength(8);
  });

  test('a repeat is set aside once; rows of one id with other values all are, until one is kept by hand', () => {
    const lab = table('lab', [LAB, '1;120;;;;10', '1;120;;;;10', '2;140;;;;11', '2;150;;;;11', '3;90;;;;8']);
    const out = good(read(lab, grid));
    expect(verdicts(out).map(([row, kept]) => [row, kept])).toEqual([
      [2, true],
      [3, false],
      [4, false],
      [5, false],
      [6, true],
    ]);
    expect(codes(out.rows[1]?.reasons ?? [])).toEqual(['soil-repeat']);
    expect(codes(out.rows[2]?.reasons ?? [])).toEqual(['soil-duplicate']);
    const kept = good(read(lab, grid, { decisions: [{ file: 'inputs/lab.csv', row: 5, keep: true, why: 'retest' }] }));
    expect(kept.rows.map((row) => row.kept)).toEqual([true, false, false, true, true]);
    const dropped = good(read(lab, grid, { decisions: [{ file: 'lab.csv', row: 4, keep: false, why: 'mixed up' }] }));
    expect(dropped.rows.map((row) => row.kept)).toEqual([true, false, false, true, true]);
    expect(dropped.rows[2]?.reasons[0]?.message).toContain('mixed up');
  });

  test('ids are matched in full first, then without case, dashes and leading zeros, and that is said', () => {
    const points = shapes(
      'grid',
      ['ID'],
      [
        [at(1), 'HQ-01'],
        [at(2), 'HQ-02'],
        [at(3), 'A1'],
        [at(4), 'A01'],
      ],
    );
    const out = good(
      read(
        table('lab', [LAB, 'hq 1;120;;;;10', ' HQ-02 ;130;;;;10', 'A1;140;;;;10', 'A01;150;;;;10', 'A001;160;;;;10']),
        points,
      ),
    );
    expect(verdicts(out)).toEqual([
      [2, true, 'soil-id-loosely'],
      [3, true, ''],
      [4, true, ''],
      [5, true, ''],
      [6, false, 'soil-no-point'],
    ]);
    expect(out.samples.map((sample) => [sample.k_ppm, sample.at[0].toFixed(3)])).toEqual([
      [120, '-94.238'],
      [130, '-94.237'],
      [140, '-94.236'],
      [150, '-94.235'],
    ]);
  });

  test('points without a lab row, without an id, or with one id at two places are set aside with their own rows', () => {
    const points = shapes(
      'grid',
      ['ID'],
      [
        [at(1), 1],
        [at(2), 2],
        [at(3), null],
        [at(4), 4],
        [at(5), 4],
        [at(1), 1],
        [null, 7],
      ],
    );
    const out = good(read(table('lab', [LAB, '1;120;;;;10', '4;90;;;;10', '7;90;;;;10']), points));
    expect(out.pointRows.map((row) => [row.row, row.reasons[0]?.code])).toEqual([
      [2, 'soil-point-unused'],
      [3, 'soil-point-no-id'],
      [4, 'soil-point-twice'],
      [5, 'soil-point-twice'],
      [6, 'soil-repeat'],
      [7, 'soil-no-place'],
    ]);
    expect(verdicts(out)).toEqual([
      [2, true, ''],
      [3, false, 'soil-no-point'],
      [4, false, 'soil-no-point'],
    ]);
    expect(out.pointRows[0]?.file).toBe('grid.shp');
  });

  test('a point outside is set aside with its distance; a person can keep it', () => {
    const points = shapes(
      'grid',
      ['ID'],
      [
        [at(1), 1],
        [point(-94.2451, 42.704), 2],
      ],
    );
    const lab = table('lab', [LAB, '1;120;;;;10', '2;130;;;;10']);
    const out = good(read(lab, points));
    expect(out.rows[1]).toMatchObject({ kept: false, at: [-94.2451, 42.704] });
    // 0.0051 degree of longitude at 42.704 N on WGS84 is 417.8 m, 1,371 ft, 0.3 miles.
    expect(out.rows[1]?.reasons[0]).toMatchObject({
      code: 'soil-outside',
      message: expect.stringContaining('0.3 miles'),
    });
    const kept = good(read(lab, points, { decisions: [{ file: 'lab.csv', row: 3, keep: true, why: 'same ground' }] }));
    expect(kept.rows[1]?.kept).toBe(true);
    expect(codes(kept.rows[1]?.reasons ?? [])).toEqual(['soil-outside', 'soil-kept-by-hand']);
    expect(kept.rows[1]?.reasons[1]?.message).toBe('Kept by hand: same ground.');
  });

  test('no id in common stops and shows ids of both', () => {
    const out = read(table('lab', [LAB, 'x1;120;;;;10', 'x2;130;;;;10']), grid);
    expect(out.ok).toBe(false);
    expect(out.problems[0]).toMatchObject({ code: 'soil-no-join', severity: 'stop' });
    expect(out.problems[0]?.message).toMatch(/"x1".*"1"/);
  });

  test('samples of another field stop, with the distance and what may be wrong', () => {
    const away = (turn: (lng: number, lat: number) => ReturnType<typeof point>) =>
      read(
        table('lab', [LAB, '1;120;;;;10', '2;130;;;;10']),
        shapes(
          'grid',
          ['ID'],
          [
            [turn(-94.235, 42.704), 1],
            [turn(-94.236, 42.705), 2],
          ],
        ),
      );
    expect(away((x, y) => point(x + 1, y)).problems).toMatchObject([
      { code: 'soil-another-field', message: expect.stringContaining('miles away') },
    ]);
    expect(away((x, y) => point(y, x)).problems[0]?.remedy).toContain('swapped');
    expect(away((x, y) => point(-x, y)).problems[0]?.remedy).toContain('minus');
  });

  test('polygons joined by id are zone composites', () => {
    const zones = shapes(
      'zones',
      ['ID'],
      [
        [{ type: 'MultiPolygon', polygons: box(-94.24, 42.7, -94.235, 42.708) }, 1],
        [{ type: 'MultiPolygon', polygons: box(-94.235, 42.7, -94.23, 42.708) }, 2],
      ],
    );
    const out = good(read(table('lab', [LAB, '1;120;;;;10', '2;130;;;;10']), zones));
    expect(out.kind).toBe('composites');
    expect(out.samples.map((sample) => sample.polygons?.length)).toEqual([1, 1]);
    expect(out.samples[0]?.at[0]).toBeCloseTo(-94.2375, 3);
  });
});

describe('a lab file with places of its own', () => {
  const rows = (lines: string[]) => table('lab', ['ID;Lat;Long;K ppm;CEC', ...lines]);

  test('reads columns of degrees; a place that is none is set aside', () => {
    const out = good(
      read(
        rows(['a;42.701;-94.235;120;10', 'b;42.702;-94.236;130;10', 'c;here;-94.236;130;10', 'd;142.7;-94.236;130;10']),
      ),
    );
    expect(out.samples.map((sample) => sample.at)).toEqual([
      [-94.235, 42.701],
      [-94.236, 42.702],
    ]);
    expect(verdicts(out).slice(2)).toEqual([
      [4, false, 'soil-no-place'],
      [5, false, 'soil-no-place'],
    ]);
  });

  test('rows at one place become their mean, and both say so', () => {
    const out = good(read(rows(['a;42.701;-94.235;120;10', 'b;42.701;-94.235;140;12', 'c;42.702;-94.236;130;10'])));
    expect([out.kept, out.samples.length]).toEqual([3, 2]);
    expect(out.samples[0]).toMatchObject({ id: 'a / b', k_ppm: 130, cec_meq: 11 });
    expect(verdicts(out).map(([, , why]) => why)).toEqual(['soil-same-place', 'soil-same-place', '']);
  });

  test('one id at two places keeps both and says so', () => {
    const out = good(read(rows(['a;42.701;-94.235;120;10', 'a;42.702;-94.236;140;12'])));
    expect(verdicts(out)).toEqual([
      [2, true, 'soil-id-twice'],
      [3, true, 'soil-id-twice'],
    ]);
  });

  test('X and Y in metres need a coordinate system, and are read with it', () => {
    // EPSG:32615 of -94.235, 42.704 by GDAL's transformation is about 398,853 E, 4,728,690 N.
    const metres = table('lab', ['ID;X;Y;K ppm;CEC', '1;398853;4728690;120;10', '2;398900;4728690;130;10']);
    expect(read(metres).problems.map((one) => one.code)).toContain('soil-crs-missing');
    const out = good(read(metres, null, { crs: 'EPSG:32615' }));
    expect(out.samples[0]?.at[0]).toBeCloseTo(-94.235, 3);
    expect(out.samples[0]?.at[1]).toBeCloseTo(42.704, 3);
  });

  test('polygons with values are composites; zones that overlap are said', () => {
    const out = good(
      read(
        shapes(
          'zones',
          ['Zone', 'K ppm', 'CEC'],
          [
            [{ type: 'MultiPolygon', polygons: box(-94.24, 42.7, -94.2349, 42.708) }, 'A', 120, 10],
            [{ type: 'MultiPolygon', polygons: box(-94.235, 42.7, -94.23, 42.708) }, 'B', 180, 12],
            [{ type: 'MultiPolygon', polygons: box(-95.235, 42.7, -95.23, 42.708) }, 'C', 180, 12],
          ],
        ),
      ),
    );
    expect(out.kind).toBe('composites');
    expect(out.rows.map((row) => row.kept)).toEqual([true, true, false]);
    expect(codes(out.problems)).toEqual(['soil-outside', 'soil-zones-overlap']);
  });

  test('a point among zones is set aside', () => {
    const out = good(
      read(
        shapes(
          'zones',
          ['Zone', 'K ppm', 'CEC'],
          [
            [{ type: 'MultiPolygon', polygons: box(-94.24, 42.7, -94.235, 42.708) }, 'A', 120, 10],
            [point(-94.232, 42.704), 'B', 180, 12],
          ],
        ),
      ),
    );
    expect(verdicts(out)).toEqual([
      [1, true, ''],
      [2, false, 'soil-point-among-zones'],
    ]);
  });

  test('no shapes and no coordinates stop', () => {
    expect(read(table('lab', ['ID;K ppm', '1;120', '2;130'])).problems).toMatchObject([
      { code: 'soil-no-places', severity: 'stop' },
    ]);
  });
});

describe('values', () => {
  const one = (header: string, cells: string, told: object = {}) =>
    good(
      read(
        table('lab', [`ID;Lat;Long;${header}`, `1;42.701;-94.235;${cells}`, `2;42.702;-94.236;${cells}`]),
        null,
        told,
      ),
    );

  test('below the limit: half, the limit, or set aside, as told', () => {
    expect(one('K ppm;CEC', '<20;10').samples[0]?.k_ppm).toBe(10);
    expect(one('K ppm;CEC', '<20;10').rows[0]).toMatchObject({
      kept: true,
      reasons: [{ code: 'soil-below-limit' }],
      badColumns: ['K ppm'],
    });
    expect(one('K ppm;CEC', '<20;10', { belowLimit: 'the limit' }).samples[0]?.k_ppm).toBe(20);
    const lab = table('lab', ['ID;Lat;Long;K ppm;CEC', '1;42.701;-94.235;<20;10', '2;42.702;-94.236;120;10']);
    expect(verdicts(good(read(lab, null, { belowLimit: 'set aside' })))[0]).toEqual([2, false, 'soil-below-limit']);
    const kept = { belowLimit: 'set aside', decisions: [{ file: 'lab.csv', row: 2, keep: true, why: 'sand' }] };
    expect(good(read(lab, null, kept)).samples[0]?.k_ppm).toBe(10);
  });

  test('above the limit the limit is used, with a caution', () => {
    expect(one('K ppm;CEC', '>999;30').samples[0]?.k_ppm).toBe(999);
    expect(codes(one('K ppm;CEC', '>999;30').rows[0]?.reasons ?? [])).toEqual(['soil-above-limit']);
  });

  test('lb/ac by the convention and the depth of the row', () => {
    // 12 in. by "x2 per 6 in." is a factor of 4; 480 lb/ac are 120 ppm.
    expect(one('K lb/ac;CEC;Depth in', '480;10;12').samples[0]).toMatchObject({ k_ppm: 120, depth_in: 12 });
    expect(one('K lb/ac;CEC;Depth cm', '480;10;0-30.48').samples[0]?.k_ppm).toBeCloseTo(120, 9);
    expect(one('K lb/ac;CEC', '240;10', { convention: 'furrow slice', depth_in: 8 }).samples[0]?.k_ppm).toBeCloseTo(
      100,
      9,
    );
  });

  test('meq/100 g by the factor set of the plan', () => {
    expect(one('K meq/100g;CEC', '0.4;10').samples[0]?.k_ppm).toBeCloseTo(0.4 * 390.98, 9);
    expect(one('K meq/100g;CEC', '0.4;10', { factors: 'rounded' }).samples[0]?.k_ppm).toBeCloseTo(156, 9);
  });

  test('text in another column leaves the row, and the value is not measured', () => {
    const lab = table('lab', [
      'ID;Lat;Long;K ppm;Ca ppm;CEC',
      '1;42.701;-94.235;120;n.d.;10',
      '2;42.702;-94.235;120;900;10',
    ]);
    const out = good(read(lab));
    expect(out.samples[0]?.ca_ppm).toBeNaN();
    expect(out.rows[0]).toMatchObject({ kept: true, badColumns: ['Ca ppm'], reasons: [{ code: 'soil-not-detected' }] });
  });

  test('a decimal comma is read where the table has them', () => {
    const lab = table(
      'lab',
      ['ID;Lat;Long;K ppm;pH;CEC', '1;42,701;-94,235;1.120,5;6,5;10,25', '2;42,702;-94,235;120;6,5;10'],
      { decimal: ',' },
    );
    expect(good(read(lab)).samples[0]).toMatchObject({ k_ppm: 1120.5, ph: 6.5, cec_meq: 10.25 });
  });

  test('a value too high is kept by hand; one below 0 never is', () => {
    const lab = table('lab', [
      'ID;Lat;Long;K ppm;CEC',
      '1;42.701;-94.235;6000;90',
      '2;42.702;-94.235;-6;10',
      '3;42.703;-94.235;100;10',
    ]);
    const decisions = [2, 3].map((row) => ({ file: 'lab.csv', row, keep: true, why: 'seen' }));
    expect(verdicts(good(read(lab, null, { decisions })))).toEqual([
      [2, true, 'soil-out-of-bounds soil-unusual soil-kept-by-hand'],
      [3, false, 'soil-out-of-bounds'],
      [4, true, ''],
    ]);
  });

  test('many cautions of one kind become one, with the rows in its detail', () => {
    const lines = Array.from({ length: 8 }, (_none, n) => `${n};42.701;${-94.239 + n * 0.001};120;900;120;7.6;10`);
    const out = good(
      read(table('lab', ['ID;Lat;Long;K ppm;Ca ppm;Mg ppm;pH;CEC', ...lines]), null, { extractant: 'Mehlich-3' }),
    );
    expect(codes(out.problems)).toEqual(['soil-calcareous']);
    expect(out.problems[0]?.detail?.split('\n')).toHaveLength(8);
    expect(out.rows.every((row) => row.reasons.length === 1)).toBe(true);
  });
});

describe('what is told', () => {
  const lab = table('lab', ['ID;Lat;Long;Kx;CEC', '1;42.701;-94.235;120;10', '2;42.702;-94.235;130;10']);

  test('no K column stops and names the columns', () => {
    expect(read(lab).problems).toMatchObject([
      { code: 'soil-no-k-column', remedy: expect.stringContaining('ID, Lat, Long, Kx, CEC') },
    ]);
  });

  test('columns told are used; one that is not there, or twice, or in a wrong unit, stops', () => {
    const use = (column: string, is: string, unit = 'none') => ({ column, is, unit });
    const base = [use('Lat', 'lat', 'deg'), use('Long', 'lng', 'deg')];
    expect(good(read(lab, null, { sampleColumns: [...base, use('Kx', 'k', 'ppm')] })).samples[0]?.k_ppm).toBe(120);
    const stops = (columns: object[]) => codes(read(lab, null, { sampleColumns: [...base, ...columns] }).problems);
    expect(stops([use('Ky', 'k', 'ppm')])).toEqual(['soil-column-missing']);
    expect(stops([use('Kx', 'k', 'ppm'), use('CEC', 'k', 'ppm')])).toEqual(['soil-two-columns']);
    expect(stops([use('Kx', 'k', 'deg')])).toEqual(['soil-unit-unfit']);
  });

  test('an empty table and one without a usable row stop', () => {
    expect(codes(read(table('lab', ['ID;K ppm'])).problems)).toEqual(['soil-empty']);
    const out = read(table('lab', ['ID;Lat;Long;K ppm', '1;42.701;-94.235;', '2;42.702;-94.235;']));
    expect(out.problems[0]).toMatchObject({ code: 'soil-none-kept', message: expect.stringContaining('K is missing') });
  });

  test('a decision on no row is said', () => {
    const told = { sampleColumns: [], decisions: [{ file: 'lab.csv', row: 77, keep: false, why: '' }] };
    const named = table('lab', ['ID;Lat;Long;K ppm;CEC', '1;42.701;-94.235;120;10']);
    expect(codes(good(read(named, null, told)).problems)).toEqual(['soil-decision-unused']);
  });
});

const cell = fc.oneof(
  fc.integer({ min: -10, max: 6000 }).map(String),
  fc.constantFrom('', 'n.d.', '<20', '>900', '-', '0', '7,5', '12 ppm'),
);
const id = fc.oneof(fc.integer({ min: 0, max: 12 }).map(String), fc.constantFrom('', '01', '1.0', 'x'));
const line = fc.tuple(id, cell, cell, cell, fc.constantFrom('6.5', '65', '', '7.9'));

test('law: every row is kept or set aside with a reason, every point is used or set aside, and nothing else comes in', () => {
  fc.assert(
    fc.property(
      fc.array(line, { minLength: 1, maxLength: 15 }),
      fc.array(fc.tuple(id, fc.integer({ min: -3, max: 12 })), { minLength: 1, maxLength: 15 }),
      fc.array(fc.record({ row: fc.integer({ min: 1, max: 16 }), keep: fc.boolean() }), { maxLength: 4 }),
      fc.constantFrom('half the limit', 'the limit', 'set aside'),
      (lines, places, words, belowLimit) => {
        const lab = table('lab', ['SampleID;K ppm;Ca ppm;Mg ppm;pH', ...lines.map((one) => one.join(';'))]);
        const points = shapes(
          'grid',
          ['ID'],
          places.map(([name, n]) => [at(n), name]),
        );
        const decisions = words.map((word) => ({ file: 'lab.csv', why: 'so', ...word }));
        const sampleColumns = [
          { column: 'SampleID', is: 'sampleId', unit: 'none' },
          { column: 'K ppm', is: 'k', unit: 'ppm' },
          { column: 'Ca ppm', is: 'ca', unit: 'ppm' },
          { column: 'Mg ppm', is: 'mg', unit: 'ppm' },
          { column: 'pH', is: 'ph', unit: 'none' },
        ];
        const pointColumns = [{ column: 'ID', is: 'sampleId', unit: 'none' }];
        const result = read(lab, points, { decisions, belowLimit, sampleColumns, pointColumns });
        if (!result.ok) {
          expect(result.problems.some((one) => one.severity === 'stop')).toBe(true);
          return;
        }
        const out = result.value;
        expect(out.read).toBe(lines.length);
        expect(out.read).toBe(out.kept + out.setAside);
        expect(out.rows.map((row) => row.row)).toEqual(lab.records.map((record) => record.row));
        expect(out.rows.filter((row) => row.kept)).toHaveLength(out.kept);
        for (const row of [...out.rows, ...out.pointRows]) if (!row.kept) expect(row.reasons.length).toBeGreaterThan(0);
        expect(out.samples.length).toBeLessThanOrEqual(out.kept);
        for (const sample of out.samples) {
          expect(sample.k_ppm).toBeGreaterThanOrEqual(0);
          expect(out.rows.find((row) => row.row === sample.row)?.kept).toBe(true);
        }
        const unused = new Set(out.pointRows.map((row) => row.row));
        for (const record of points.records) {
          const place = record.geometry?.type === 'Point' ? record.geometry.at.join() : '';
          const used = out.rows.some((row) => row.at?.join() === place);
          expect(used || unused.has(record.row)).toBe(true);
        }
      },
    ),
  );
});

describe('tables that are not what they seem', () => {
  test('latitude and longitude exchanged are told once', () => {
    const rows = [1, 2, 3].map((n) => `${n};${42.701 + n * 0.001};${-94.239 + n * 0.001};12${n}`);
    const out = read(table('lab', ['ID;Longitude;Latitude;K ppm', ...rows]));
    expect(out.problems).toMatchObject([{ code: 'soil-swapped', severity: 'stop' }]);
    expect(out.problems[0]?.message).toBe('3 of 3 samples of lab.csv seem to have latitude and longitude exchanged.');
  });

  test('more rows than a soil test has are a stop, and as many as it may have are read', () => {
    const rows = (count: number) =>
      Array.from(
        { length: count },
        (_, n) => `${n};${-94.2399 + (n % 200) * 4e-5};${42.7001 + n * 3e-7};${100 + (n % 50)}`,
      );
    const lab = (count: number) => read(table('lab', ['ID;Longitude;Latitude;K ppm', ...rows(count)]));
    expect(lab(20_001).problems).toMatchObject([{ code: 'soil-too-many', severity: 'stop' }]);
    expect(good(lab(20_000)).kept).toBe(20_000);
  }, 20_000);

  test('thousands of rows at one place are told in short sentences', () => {
    const rows = Array.from({ length: 3000 }, (_, n) => `${n};-94.235;42.704;${100 + (n % 50)}`);
    const out = good(read(table('lab', ['ID;Longitude;Latitude;K ppm', ...rows])));
    expect(out.samples).toHaveLength(1);
    expect(out.rows[0]?.reasons[0]?.message).toMatch(/ and 2979 more has the same place/);
  });
});

test('reads CEC and acidity in mmolc/kg and organic matter in g/kg: a tenth of meq/100 g and of a percent', () => {
  const values = (names: string, figures: string) => {
    const out = good(read(table('lab', [`ID;Lat;Long;K ppm;${names}`, `a;42.701;-94.235;182;${figures}`])));
    const [sample] = out.samples;
    return { cec: sample?.cec_meq, organicMatter: sample?.organicMatter_pct };
  };
  expect(values('CEC mmolc/kg;OM g/kg', '238;31')).toEqual({ cec: 23.8, organicMatter: 3.1 });
  expect(values('CEC;OM %', '23.8;3.1')).toEqual({ cec: 23.8, organicMatter: 3.1 });
});
