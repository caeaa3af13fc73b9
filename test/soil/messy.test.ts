import { describe, expect, test } from 'vitest';
import type { Problem, Result } from '../../core/base/problem.ts';
import { readFiles } from '../../core/formats/read.ts';
import type { Dataset } from '../../core/formats/types.ts';
import { pairsOf } from '../../core/soil/near-misses.ts';
import { readSoil } from '../../core/soil/read.ts';
import { soilSettingsSchema } from '../../core/soil/settings.ts';
import type { SoilOut } from '../../core/soil/types.ts';
import { fixture } from '../fixtures/fixtures.ts';
import { deepFreeze } from '../freeze.ts';
import { box } from './tables.ts';

const FIELD = deepFreeze(box(-94.24, 42.7, -94.23, 42.708));
function table(name: string): Dataset {
  const read = readFiles(fixture(`soil/${name}.csv`), {});
  const dataset = read.ok ? read.value[0] : undefined;
  if (!dataset) throw new Error(read.problems.map((one) => one.message).join('\n'));
  return deepFreeze(dataset);
}
const read = (name: string, told: object = {}, points: string | null = null): Result<SoilOut> =>
  readSoil({
    points: points === null ? null : table(points),
    samples: table(name),
    boundary: FIELD,
    settings: deepFreeze(soilSettingsSchema.parse(told)),
  });
const good = (result: Result<SoilOut>): SoilOut & { problems: readonly Problem[] } => {
  if (!result.ok) throw new Error(result.problems.map((one) => `${one.code}: ${one.message}`).join('\n'));
  return { ...result.value, problems: result.problems };
};
const codes = (problems: readonly Problem[]) => problems.map((one) => one.code);
const messy = (told: object = {}) => good(read('messy-lab', told, 'messy-points'));

describe('a messy laboratory report', () => {
  test('title lines, a line of methods and units, decimal commas and mixed units are understood', () => {
    const out = messy();
    expect(out.columns.slice(3, 7)).toEqual(['K (M3 ppm)', 'Ca (M3 meq/100 g)', 'Mg (M3 lb/ac)', 'Na (M3 ppm)']);
    expect(out.reading.join('\n')).toContain('row 5 holds units');
    const first = out.samples.find((sample) => sample.id === 'R-01');
    const cells = out.rows.find((row) => row.row === first?.row)?.cells ?? [];
    expect(cells[4]).toMatch(/^\d+,\d\d$/);
    expect(first?.ca_ppm).toBeCloseTo(Number(cells[4]?.replace(',', '.')) * 200.39, 6);
    expect(first?.mg_ppm).toBeCloseTo(Number(cells[5]) / 2, 9);
    expect(first).toMatchObject({ k_ppm: Number(cells[3]), year: 2025, depth_in: 6 });
  });

  test('years and depths are told apart: the latest and shallowest are used, the others set aside and counted', () => {
    const out = messy();
    expect(out.series).toEqual([
      { year: 2025, depthTold: '0-6 in', depth_in: 6, rows: 13, used: true },
      { year: 2025, depthTold: '6-24 in', depth_in: 18, rows: 12, used: false },
      { year: 2022, depthTold: '0-6 in', depth_in: 6, rows: 12, used: false },
    ]);
    expect([out.read, out.kept, out.setAside]).toEqual([37, 9, 28]);
    const others = out.rows.filter((row) => codes(row.reasons).includes('soil-other-series'));
    expect(others).toHaveLength(24);
    expect(others.every((row) => !row.kept && row.reasons.length === 1 && row.reasons[0]?.severity === 'note')).toBe(
      true,
    );
    // One for the other depth, one for the other year.
    expect(out.problems.filter((one) => one.code === 'soil-other-series').map((one) => one.at?.row)).toHaveLength(2);
    expect(out.reading).toContain(
      'Tests in use: 2025, 0-6 in, 13 rows (the latest year and the shallowest depth). Set aside: 2025, 6-24 in, 12 rows; 2022, 0-6 in, 12 rows.',
    );
  });

  test('another year or depth is used when told; one that the file does not hold stops', () => {
    const before = messy({ year: 2022 });
    expect([before.kept, before.samples[0]?.year]).toEqual([12, 2022]);
    const deep = messy({ depthTold: '6-24' });
    expect([deep.kept, deep.samples[0]?.depth_in]).toEqual([12, 18]);
    expect(codes(deep.rows.find((row) => row.kept)?.reasons ?? [])).toContain('soil-subsoil');
    const none = read('messy-lab', { year: 2019 }, 'messy-points');
    expect(none.problems.at(-1)).toMatchObject({ code: 'soil-no-series', severity: 'stop' });
    expect(none.problems.at(-1)?.message).toContain('2025, 0-6 in, 13 rows');
  });

  test('each odd value is told with its rule', () => {
    const out = messy();
    const of = (id: string, n = 0) =>
      out.rows.filter((row) => row.id === id && !codes(row.reasons).includes('soil-other-series'))[n];
    expect([of('R-03')?.kept, of('R-03', 1)?.kept]).toEqual([false, false]);
    expect(codes(of('R-03')?.reasons ?? [])).toEqual(['soil-duplicate']);
    expect(out.samples.find((sample) => sample.id === 'R-04')?.k_ppm).toBe(10);
    expect(codes(of('R-05')?.reasons ?? [])).toEqual(['soil-not-detected']);
    expect(codes(of('R-06')?.reasons ?? [])).toEqual(['soil-not-detected']);
    expect(codes(of('r 7')?.reasons ?? [])).toEqual(['soil-id-loosely']);
    expect(out.samples.find((sample) => sample.id === 'R-11')?.k_ppm).toBe(900);
    const ruled = messy({ belowLimit: 'set aside', aboveLimit: 'set aside', notDetected: 'zero' });
    const kept = (id: string) => ruled.samples.find((sample) => sample.id === id);
    expect([kept('R-04'), kept('R-11')]).toEqual([undefined, undefined]);
    expect([kept('R-05')?.k_ppm, kept('R-06')?.na_ppm]).toEqual([0, 0]);
    expect(codes(messy({ notDetected: 'set aside' }).rows.find((row) => row.row === 23)?.reasons ?? [])).toEqual([
      'soil-not-detected',
    ]);
  });

  test('the one share that does not fit is listed with its cause, and rows told by a rule are not called wrong', () => {
    const out = messy();
    expect(out.differences.filter((one) => one.id === 'R-08')).toMatchObject([
      { what: 'K saturation', cause: 'the other shares fit, so one of the two figures is a slip' },
      { what: 'sum of saturations', cause: 'the share of K does not fit its own value' },
    ]);
    const others = out.differences.filter((one) => one.id !== 'R-08');
    expect(new Set(others.map((one) => one.cause))).toEqual(
      new Set(['a value of the row is told only as a limit, or as not detected']),
    );
    expect(out.problems.filter((one) => one.code === 'soil-saturation-differs')).toHaveLength(1);
  });

  test('an id with two digits exchanged is offered, not joined, and joined when a person says so', () => {
    const out = messy();
    expect(out.nearMisses).toEqual([
      { id: 'R-21', row: 30, from: 'lab', alike: ['R-12'] },
      { id: 'R-12', row: 13, from: 'points', alike: ['R-21'] },
    ]);
    expect(out.pointRows.map((row) => row.id)).toEqual(['R-12']);
    const pairs = pairsOf(out.nearMisses);
    expect(pairs).toEqual([{ lab: 'R-21', point: 'R-12' }]);
    const told = messy({ sameIds: pairs });
    expect([told.kept, told.nearMisses, told.pointRows]).toEqual([10, [], []]);
    expect(codes(told.rows.find((row) => row.id === 'R-21')?.reasons ?? [])).toEqual(['soil-id-told']);
    expect(codes(messy({ sameIds: [{ lab: 'R-99', point: 'R-12' }] }).problems)).toContain('soil-same-id-unused');
  });

  test('a good row is set aside by hand and one of another year kept, each with who, when and why', () => {
    const word = (row: number, keep: boolean) => ({
      file: 'messy-lab.csv',
      row,
      keep,
      why: 'retested',
      who: 'A. Tester',
      when: '2025-04-01',
    });
    const out = messy({ decisions: [word(18, false), word(8, true)] });
    const reasons = (row: number) => out.rows.find((one) => one.row === row)?.reasons.at(-1)?.message;
    expect(reasons(18)).toBe('Set aside by hand (A. Tester, 2025-04-01): retested.');
    expect(reasons(8)).toBe('Kept by hand (A. Tester, 2025-04-01): retested.');
    expect(out.samples.map((sample) => sample.row)).toContain(8);
    expect(out.kept).toBe(9);
  });
});

describe('other tables that ask for care', () => {
  test('longitude and latitude under each other’s header stop', () => {
    expect(codes(read('swapped').problems)).toEqual(['soil-swapped']);
  });

  test('mg/L by the density of each row; a row without one is set aside unless the plan has one', () => {
    const out = good(read('litres'));
    expect(out.samples[2]?.k_ppm).toBeCloseTo(92 / 1.02, 9);
    expect(out.rows.filter((row) => !row.kept).map((row) => [row.id, codes(row.reasons)[0]])).toEqual([
      ['R-06', 'soil-density'],
    ]);
    const told = good(read('litres', { scooped_gPerCm3: 1.1 }));
    expect(told.samples[5]?.k_ppm).toBeCloseTo(95 / 1.1, 9);
    expect(told.reading).toContain('ppm = mg/L / density of the scooped soil, from "W/V", else 1.1 g/cm3.');
  });

  test('mg/L with no density at all stops and asks for it', () => {
    const columns = [
      { column: 'Longitude', is: 'lng', unit: 'deg' },
      { column: 'Latitude', is: 'lat', unit: 'deg' },
      { column: 'K mg/L', is: 'k', unit: 'mg/L' },
    ];
    const asked = read('litres', { sampleColumns: columns });
    expect(asked.problems).toMatchObject([
      { code: 'soil-density', severity: 'stop', at: { column: 'K mg/L', setting: 'soil.scooped_gPerCm3' } },
    ]);
    const out = good(read('litres', { sampleColumns: columns, scooped_gPerCm3: 1.25 }));
    expect(out.samples[0]?.k_ppm).toBeCloseTo(72, 9);
  });

  test('oxides under Spanish headers become elements', () => {
    const out = good(read('oxides'));
    expect(out.samples[0]?.k_ppm).toBeCloseTo(120 / 1.2046, 2);
    expect(out.samples[0]?.ca_ppm).toBeCloseTo(2100 / 1.3992, 1);
    expect(out.samples[0]?.mg_ppm).toBeCloseTo(300 / 1.6583, 1);
    expect(out.reading.join('\n')).toContain('K as K2O from "K2O (ppm)" in ppm');
  });

  test('pounds of the slice between two columns, and of a depth told apart', () => {
    const top = good(read('pounds'));
    expect([top.kept, top.samples[0]?.k_ppm, top.samples[0]?.year]).toEqual([12, 120, 2024]);
    const deep = good(read('pounds', { depthTold: '6-24 in' }));
    // 480 lb/ac in 18 in. by "x2 per 6 in." is a factor of 6.
    expect(deep.samples[0]?.k_ppm).toBeCloseTo(80, 9);
    const columns = [
      { column: 'X', is: 'lng', unit: 'deg' },
      { column: 'Y', is: 'lat', unit: 'deg' },
      { column: 'From in', is: 'depthTop', unit: 'in' },
      { column: 'To in', is: 'depth', unit: 'in' },
      { column: 'K lb/ac', is: 'k', unit: 'lb/ac', of_in: 8 },
    ];
    expect(good(read('pounds', { sampleColumns: columns })).samples[0]?.k_ppm).toBeCloseTo(90, 9);
  });

  test('one row without a place stands for the whole field', () => {
    const out = good(read('one-composite'));
    expect([out.kind, out.samples.length]).toEqual(['composites', 1]);
    expect(out.samples[0]?.polygons).toEqual(FIELD);
    expect(out.reading).toContain('one-composite.csv has one test and no place, so it stands for the whole field.');
  });

  test('K is converted between extractions by choice, and the lab is held against its own K', () => {
    const conversion = { to: 'ammonium acetate', factor: 0.5, region: 'a trial' };
    const plain = good(read('messy-lab', { extractant: 'Mehlich-3' }, 'messy-points'));
    const out = good(read('messy-lab', { extractant: 'Mehlich-3', conversion }, 'messy-points'));
    expect(out.extractant).toBe('ammonium acetate');
    expect(out.samples[0]?.k_ppm).toBe((plain.samples[0]?.k_ppm ?? 0) / 2);
    expect(out.differences).toEqual(plain.differences);
    expect(out.reading.join('\n')).toContain('as found in a trial');
  });
});
