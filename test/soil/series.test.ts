import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Problem } from '../../core/base/problem.ts';
import {
  forget,
  headerKey,
  MOST_REMEMBERED,
  type RememberedMapping,
  recall,
  remember,
} from '../../core/soil/mapping-memory.ts';
import { distance } from '../../core/soil/near-misses.ts';
import { readSoil } from '../../core/soil/read.ts';
import { soilSettingsSchema } from '../../core/soil/settings.ts';
import type { SoilOut } from '../../core/soil/types.ts';
import { deepFreeze } from '../freeze.ts';
import { box, point, shapes, table } from './tables.ts';

const FIELD = deepFreeze(box(-94.24, 42.7, -94.23, 42.708));
function read(lines: readonly string[], told: object = {}): SoilOut & { problems: readonly Problem[] } {
  const settings = soilSettingsSchema.parse({ extractant: 'other', ...told });
  const result = readSoil({ points: null, samples: table('lab', lines), boundary: FIELD, settings });
  if (!result.ok) throw new Error(result.problems.map((one) => one.message).join('\n'));
  return { ...result.value, problems: result.problems };
}

describe('years and depths', () => {
  const HEAD = 'ID;Lat;Long;Depth in;Date;K ppm;CEC';

  test('rows of 6 and 8 in. of different samples are one series, each with its own depth', () => {
    const out = read([HEAD, 'a;42.701;-94.235;6;2024;120;10', 'b;42.702;-94.236;8;2024;130;10']);
    expect(out.series).toMatchObject([{ year: 2024, depthTold: '0-6 in, 0-8 in', rows: 2, used: true }]);
    expect(out.samples.map((sample) => sample.depth_in)).toEqual([6, 8]);
  });

  test('0-6 and 0-24 of one sample are two', () => {
    const out = read([
      HEAD,
      'a;42.701;-94.235;6;2024;120;10',
      'a;42.701;-94.235;24;2024;80;10',
      'b;42.702;-94.236;6;2024;130;10',
    ]);
    expect(out.series.map((one) => [one.depthTold, one.rows, one.used])).toEqual([
      ['0-6 in', 2, true],
      ['0-24 in', 1, false],
    ]);
    expect(out.kept).toBe(2);
  });

  test('a row whose date tells no year is a series of its own, and says so', () => {
    const out = read([HEAD, 'a;42.701;-94.235;6;2024;120;10', 'b;42.702;-94.236;6;spring;130;10']);
    expect(out.series.map((one) => [one.year, one.used])).toEqual([
      [2024, true],
      [null, false],
    ]);
    expect(out.rows[1]?.reasons[0]?.message).toBe('The test is of no year told; those in use are of 2024.');
  });

  test('a file without dates and depths is one series of no year', () => {
    const out = read(['ID;Lat;Long;K ppm;CEC', 'a;42.701;-94.235;120;10', 'b;42.702;-94.236;130;10']);
    expect(out.series).toEqual([{ year: null, depthTold: null, depth_in: 6, rows: 2, used: true }]);
  });

  test('law: every row is in one series, exactly one is in use, and its rows alone are judged', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.tuple(
            fc.constantFrom('a', 'b', 'c'),
            fc.constantFrom('6', '0-8', '6-24', ''),
            fc.constantFrom('2022', '2024', ''),
          ),
          { minLength: 1, maxLength: 12 },
        ),
        (rows) => {
          const lines = rows.map(
            ([id, depth, year], n) => `${id}${n % 4};42.70${1 + (n % 5)};-94.235;${depth};${year};${100 + n};10`,
          );
          const columns = ['sampleId none', 'lat deg', 'lng deg', 'depth in', 'date none', 'k ppm', 'cec meq/100 g'];
          const sampleColumns = HEAD.split(';').map((column, n) => {
            const [is, ...unit] = (columns[n] ?? '').split(' ');
            return { column, is, unit: unit.join(' ') };
          });
          const out = read([HEAD, ...lines], { sampleColumns });
          expect(out.series.reduce((sum, one) => sum + one.rows, 0)).toBe(rows.length);
          const used = out.series.filter((one) => one.used);
          expect(used).toHaveLength(1);
          const others = out.rows.filter((row) => row.reasons.some((one) => one.code === 'soil-other-series'));
          expect(out.rows.length - others.length).toBe(used[0]?.rows);
          expect(out.read).toBe(out.kept + out.setAside);
        },
      ),
    );
  });
});

describe('ids that look alike', () => {
  test('letters apart: one changed, one more, two exchanged, by hand', () => {
    expect(distance('r12', 'r21')).toBe(1);
    expect(distance('hq7', 'hq17')).toBe(1);
    expect(distance('abc', 'abd')).toBe(1);
    expect(distance('kitten', 'sitting')).toBe(3);
    expect(distance('', 'abc')).toBe(3);
  });

  test('law: as far one way as the other, 0 for the same, at most the longer text', () => {
    const text = fc.string({ maxLength: 8 });
    fc.assert(
      fc.property(text, text, (a, b) => {
        expect(distance(a, b)).toBe(distance(b, a));
        expect(distance(a, a)).toBe(0);
        expect(distance(a, b)).toBeLessThanOrEqual(Math.max(a.length, b.length));
        expect(distance(a, b) === 0).toBe(a === b);
      }),
    );
  });

  test('a prefix that only one file has is offered, with all pairs where nothing joins', () => {
    const points = shapes(
      'grid',
      ['ID'],
      [7, 8].map((n) => [point(-94.239 + n * 0.001, 42.703), `HQ-0${n}`]),
    );
    const result = readSoil({
      points,
      samples: table('lab', ['ID;K ppm;CEC', '7;120;10', '8;130;10']),
      boundary: FIELD,
      settings: soilSettingsSchema.parse({}),
    });
    expect(result.ok).toBe(false);
    const stop = result.problems.find((one) => one.code === 'soil-no-join');
    expect(stop?.remedy).toContain('Say which ids are the same sample');
    expect(stop?.detail).toContain('lab "7" looks like point "HQ-07"');
  });
});

describe('columns as they were set before', () => {
  const mapping = (key: string, on = '2026-03-01'): RememberedMapping => ({
    key,
    on,
    columns: [{ column: 'K', is: 'k', unit: 'lb/ac' }],
  });
  const key = headerKey(['ID', 'K']);

  test('come back for the same headers in the same order, and for no others', () => {
    const memory = [mapping(key)];
    expect(recall(memory, { columns: ['ID', ' K '] })).toBeNull();
    expect(recall(memory, { columns: ['ID', 'K'] })).toEqual(mapping(key));
    expect(recall(memory, { columns: ['K', 'ID'] })).toBeNull();
    expect(recall(memory, { columns: ['ID', 'K', 'Ca'] })).toBeNull();
  });

  test('come back for the use they were set for; those kept without one, for either', () => {
    const memory = [{ ...mapping(key), role: 'points' as const }];
    expect(recall(memory, { columns: ['ID', 'K'] }, 'samples')).toBeNull();
    expect(recall(memory, { columns: ['ID', 'K'] }, 'points')).toEqual(memory[0]);
    expect(recall([mapping(key)], { columns: ['ID', 'K'] }, 'samples')).toEqual(mapping(key));
    const both = remember(memory, { ...mapping(key), role: 'samples' });
    expect(both.map(({ role }) => role)).toEqual(['points', 'samples']);
    expect(forget(both, key, 'points').map(({ role }) => role)).toEqual(['samples']);
    expect(forget(both, key)).toEqual([]);
  });

  test('the latest takes the place of an earlier one, and at most 200 stay', () => {
    let memory: readonly RememberedMapping[] = [];
    for (let n = 0; n < 250; n++) memory = remember(memory, mapping(headerKey([`K${n}`])));
    expect(memory).toHaveLength(MOST_REMEMBERED);
    memory = remember(remember(memory, mapping(key)), mapping(key, '2026-05-01'));
    expect(memory.filter((one) => one.key === key)).toEqual([mapping(key, '2026-05-01')]);
    expect(memory.at(-1)?.key).toBe(key);
    expect(memory).toHaveLength(MOST_REMEMBERED);
  });
});
