import { describe, expect, test } from 'vitest';
import { caution, type Problem } from '../../core/base/problem.ts';
import type { Dataset } from '../../core/formats/types.ts';
import { kindOf, listProblems } from '../../core/soil/listing.ts';
import { readSoil } from '../../core/soil/read.ts';
import { soilSettingsSchema } from '../../core/soil/settings.ts';
import type { SoilOut, SoilRow } from '../../core/soil/types.ts';
import { deepFreeze } from '../freeze.ts';
import { box, point, shapes, table } from './tables.ts';

const FIELD = deepFreeze(box(-94.24, 42.7, -94.23, 42.708));
const row = (number: number, kept: boolean, ...reasons: readonly Problem[]): SoilRow => ({
  file: 'lab.csv',
  row: number,
  id: `S${number}`,
  cells: [],
  at: null,
  kept,
  reasons,
  badColumns: [],
});
const odd = (number: number, column: string, text: string): Problem =>
  caution('soil-not-a-number', `${column} is "${text}", not a number.`, 'Type it in.', {
    file: 'lab.csv',
    row: number,
    column,
  });
const points = shapes(
  'points',
  ['ID'],
  ['S1', 'S2', 'S3', 'S13'].map((id, n) => [point(-94.238 + n * 0.002, 42.704), id] as const),
);
const read = (samples: Dataset, places: Dataset = points): SoilOut & { problems: readonly Problem[] } => {
  const out = readSoil({ points: places, samples, boundary: FIELD, settings: soilSettingsSchema.parse({}) });
  if (!out.ok) throw new Error(out.problems.map((one) => one.message).join('\n'));
  return { ...out.value, problems: out.problems };
};

describe('rows that are alike', () => {
  test('another column, or another cause, never stands behind a count', () => {
    const rows = Array.from({ length: 60 }, (_none, n) => row(n + 2, true, odd(n + 2, n % 2 ? 'Na' : 'Mg', `x${n}`)));
    const listed = listProblems(deepFreeze(rows));
    expect(listed.map((one) => one.message)).toEqual([
      'Mg is "x0", not a number. 29 more rows are alike.',
      'Na is "x1", not a number. 29 more rows are alike.',
    ]);
    const differs = (number: number, cause: string): Problem =>
      caution('soil-saturation-differs', `K is ${number} % apart. Likely: ${cause}.`, 'Ask.', { row: number });
    const two = Array.from({ length: 20 }, (_none, n) => row(n, true, differs(n, n < 10 ? 'a slip' : 'Na left out')));
    expect(listProblems(deepFreeze(two))).toHaveLength(2);
  });

  test('every row is in the list or in its counts, past the first fifty too', () => {
    for (const kept of [true, false]) {
      const rows = Array.from({ length: 73 }, (_none, n) => row(n + 2, kept, odd(n + 2, 'K', `x${n}`)));
      const listed = listProblems(deepFreeze(rows));
      const told = listed.flatMap(({ at, detail }) => [
        ...(kept || at?.row === undefined ? [] : [at.row]),
        ...(detail ?? '').split('\n').flatMap((line) => {
          const many = /^rows ([\d, ]+)$/.exec(line)?.[1]?.split(', ').map(Number);
          return many ?? Number(/\brow (\d+)/.exec(line)?.[1] ?? Number.NaN) ?? [];
        }),
      ]);
      expect(new Set(told.filter((one) => !Number.isNaN(one))).size).toBe(73);
      expect(listed.map((one) => one.message).join('\n')).not.toContain('soil-');
    }
  });

  test('one row more is said in the singular', () => {
    const rows = Array.from({ length: 51 }, (_none, n) => row(n + 2, false, odd(n + 2, 'K', `x${n}`)));
    expect(listProblems(rows).at(-1)?.message).toMatch(/^1 more row is set aside/);
  });

  test('figures and quoted texts make no kind of their own', () => {
    expect(kindOf(odd(2, 'K', 'a'))).toBe(kindOf(odd(900, 'K', 'bb')));
    expect(kindOf(odd(2, 'K', 'a'))).not.toBe(kindOf(odd(2, 'Ca', 'a')));
  });
});

describe('ids that are one but for the way they are typed', () => {
  test('a second row of an id in other letters is that sample once more, and no misspelt other one', () => {
    const out = read(table('lab', ['Sample ID;K ppm', 'S1;100', 'S2;110', 'S13;130', 's13;140']));
    // The point S3 lies one letter off `s13`.
    expect(out.nearMisses).toEqual([]);
    const odd = out.rows.find((one) => one.id === 's13');
    expect(odd?.kept).toBe(false);
    expect(odd?.reasons.map((one) => one.message)).toEqual([
      'Sample id "s13" is "S13" of row 4 but for letter case, spaces or zeros, and the one point of that id goes to that row.',
    ]);
  });

  test('two points for one lab row are offered both, and said to be two', () => {
    const twins = shapes(
      'points',
      ['ID'],
      ['1', '01', '2', '3'].map((id, n) => [point(-94.238 + n * 0.002, 42.704), id] as const),
    );
    const out = read(table('lab', ['Sample ID;K ppm', '001;100', '2;110', '3;120']), twins);
    expect(out.nearMisses.find((one) => one.from === 'lab')).toMatchObject({ id: '001', alike: ['01', '1'] });
    const unused = out.pointRows.flatMap((one) => one.reasons.map((reason) => reason.remedy));
    expect(unused).toEqual(Array(2).fill('Say which of the points it is: one lab row cannot be two samples.'));
    expect(out.rows[0]?.reasons[0]?.message).toContain('"01", "1" may all be it');
  });

  test('rows that contradict each other say in what', () => {
    const out = read(table('lab', ['Sample ID;K ppm;pH', 'S1;100;6.5', 'S1;180;6.5', 'S2;110;6', 'S3;120;6']));
    expect(out.rows[0]?.reasons[0]).toMatchObject({
      code: 'soil-duplicate',
      message: 'Sample id "S1" stands in row 3 too, with another K.',
    });
    expect(out.setAside).toBe(2);
  });
});
