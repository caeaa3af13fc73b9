import { describe, expect, test } from 'vitest';
import type { Problem } from '../../core/base/problem.ts';
import { guessColumns } from '../../core/soil/guess.ts';
import { readSoil } from '../../core/soil/read.ts';
import { soilSettingsSchema } from '../../core/soil/settings.ts';
import type { SoilOut } from '../../core/soil/types.ts';
import { deepFreeze } from '../freeze.ts';
import { box, table } from './tables.ts';

const FIELD = deepFreeze(box(-94.24, 42.7, -94.23, 42.708));
function read(lines: readonly string[], told: object = {}): SoilOut & { problems: readonly Problem[] } {
  const settings = soilSettingsSchema.parse({ extractant: 'other', ...told });
  const result = readSoil({ points: null, samples: table('lab', lines), boundary: FIELD, settings });
  if (!result.ok) throw new Error(result.problems.map((one) => one.message).join('\n'));
  return { ...result.value, problems: result.problems };
}
const problem = (out: { problems: readonly Problem[] }, code: string): Problem | undefined =>
  out.problems.find((one) => one.code === code);
/** Rows at places of their own. */
const rows = (count: number, rest: (n: number) => string): readonly string[] =>
  Array.from({ length: count }, (_, n) => `s${n};${42.7005 + n * 0.0003};-94.235;${rest(n)}`);

describe('dates of a series', () => {
  const HEAD = 'ID;Lat;Long;Date;K ppm;CEC';

  test('a mistyped and a blank date are quoted with their rows', () => {
    const dates = (n: number): string => (n === 5 ? '2202-10-29' : n === 7 ? '' : n === 8 ? 'spring' : '10/29/2022');
    const out = read([HEAD, ...rows(20, (n) => `${dates(n)};120;10`)]);
    const missing = problem(out, 'soil-date-missing');
    expect(missing?.message).toContain('row 9, no date');
    expect(missing?.message).toContain('row 10, date "spring"');
    // 2202 is past the years that a test can have, so it tells none.
    expect(out.series.find(({ used }) => used)?.year).toBe(2022);
    expect(problem(out, 'soil-date-missing')?.message).toContain('row 7, date "2202-10-29"');
    expect(problem(out, 'soil-series-without')?.message).toContain('s5 (row 7, date "2202-10-29")');
  });

  test('a latest year of few rows is quoted, with the year that most have', () => {
    const out = read([HEAD, ...rows(20, (n) => `${n === 5 ? '10/29/2032' : '10/29/2022'};120;10`)]);
    expect(problem(out, 'soil-series-few')?.message).toBe(
      'Only 1 of 20 rows is of 2032, the latest year, which is in use: row 7, date "10/29/2032". 19 are of 2022.',
    );
    expect(problem(out, 'soil-series-few')?.remedy).toContain('--year 2022');
    const told = read([HEAD, ...rows(20, (n) => `${n === 5 ? '10/29/2032' : '10/29/2022'};120;10`)], { year: 2022 });
    expect(problem(told, 'soil-series-few')).toBeUndefined();
    expect(problem(told, 'soil-series-without')?.message).toContain('s5 (row 7, date "10/29/2032")');
  });
});

describe('depths that a spreadsheet made dates of', () => {
  test('are taken as depths, in doubt, and quoted', () => {
    const lines = ['ID;Lat;Long;Depth;K ppm;CEC', ...rows(8, (n) => `${n % 2 ? '6-Dec' : '0-6'};120;10`)];
    const guess = guessColumns(table('lab', lines)).find(({ is }) => is === 'depth');
    expect(guess?.doubt).toContain(
      '4 cells are dates such as "6-Dec", as a spreadsheet makes of 6-12 in: taken as depths',
    );
    const out = read(lines);
    expect(out.series.map(({ depthTold, rows: n, used }) => [depthTold, n, used])).toEqual([
      ['0-6 in', 4, true],
      ['6-12 in', 4, false],
    ]);
    expect(problem(out, 'soil-depth-date')?.message).toContain('"6-Dec" is taken as 6-12 in (rows 3, 5, 7, 9).');
  });
});

describe('a depth in the heading of K', () => {
  const lines = ['ID;Lat;Long;K ppm (0-12 in);CEC', ...rows(3, () => '120;10')];

  test('that the plan does not hold is told, and one that it holds is not', () => {
    expect(problem(read(lines), 'soil-depth-heading')?.message).toBe(
      'The heading "K ppm (0-12 in)" names 0-12 in, and the depth sampled is set to 6 in., by which pounds an acre are counted.',
    );
    expect(problem(read(lines, { depth_in: 12 }), 'soil-depth-heading')).toBeUndefined();
  });
});

describe('values told as limits and as not detected', () => {
  const HEAD = 'ID;Lat;Long;K ppm;Na ppm;pH;Buffer pH;CEC';
  const four = (cells: string): readonly string[] => [HEAD, ...rows(2, (n) => (n === 0 ? cells : '120;10;6.5;6.8;10'))];

  test.each([
    [
      'n.d.;10;6.5;6.8;10',
      {},
      'K is "n.d."; by the rule for values not detected it is taken as not measured, and a row without K is set aside.',
    ],
    ['120;trace;6.5;6.8;10', {}, 'Na is "trace"; by the rule for values not detected it is taken as not measured.'],
    ['trace;10;6.5;6.8;10', { notDetected: 'zero' }, 'K is "trace"; 0 is used, by the rule for values not detected.'],
    [
      'n.d.;10;6.5;6.8;10',
      { notDetected: 'set aside' },
      'K is "n.d."; by the rule for values not detected the row is set aside.',
    ],
    [
      '<5;10;6.5;6.8;10',
      {},
      'K is told only as below 5; 2.5 is used, half the limit, by the rule for values below it.',
    ],
    ['>999;10;6.5;6.8;10', {}, 'K is told only as above 999; 999 is used, the limit, by the rule for values above it.'],
    [
      '120;10;6.5;<6;10',
      {},
      'buffer pH is told only as below 6; 6 is used, the limit: half of it has no meaning for buffer pH.',
    ],
  ])('%s with %j', (cells, told, message) => {
    const out = read(four(cells), told);
    expect(out.rows.flatMap(({ reasons }) => reasons.map((one) => one.message))).toContain(message);
  });

  test.each([
    ['pH', '120;10;n.d.;6.8;10', 'ph'],
    ['buffer pH', '120;10;6.5;n.d.;10', 'bufferPh'],
    ['CEC', '120;10;6.5;6.8;n.d.', 'cec_meq'],
  ] as const)('%s is never 0 by the rule: it is missing, with a Problem', (name, cells, key) => {
    const out = read(four(cells), { notDetected: 'zero', acidity: { form: 'no acidity' } });
    const { samples, rows: read0 } = out;
    expect(samples[0]?.[key]).not.toBe(0);
    expect(read0[0]?.reasons.map((one) => one.message).join()).toContain(
      `${name} is "n.d."; 0 has no meaning for ${name}`,
    );
  });
});

describe('places in degrees, minutes and seconds', () => {
  test('are read like decimal degrees', () => {
    const out = read([
      'ID;Lat;Long;K ppm;CEC',
      'a;42\u00b042\'10.8"N;94\u00b014\'6"W;120;10',
      'b;42 42 14.4 N;94 14 9.6 W;130;11',
    ]);
    // 42 + 42/60 + 10.8/3600 and 94 + 14/60 + 6/3600.
    expect(out.samples[0]?.at[1]).toBeCloseTo(42.703, 9);
    expect(out.samples[0]?.at[0]).toBeCloseTo(-94.235, 9);
    expect(out.samples[1]?.at[0]).toBeCloseTo(-94.236, 9);
    const guesses = guessColumns(table('lab', ['ID;Lat;Long;K ppm', 'a;42\u00b042\'10.8"N;94\u00b014\'6"W;120']));
    expect(guesses[1]).toMatchObject({
      is: 'lat',
      unit: 'deg',
      because: expect.stringContaining('degrees and minutes in 1 cell'),
    });
  });
});
