import { describe, expect, test } from 'vitest';
import { parseValue } from '../../core/base/parse-value.ts';
import { guessColumns } from '../../core/soil/guess.ts';
import { table } from './tables.ts';

describe('ratings and marks behind a number', () => {
  test.each([
    '182 M',
    '182*',
    '182 **',
    '182 (opt)',
    '182 H',
    '182 VL',
    '182 VH*',
    '182 Very High',
    '182 medium',
    '182\u2020',
    '182M',
    '182 [L]',
  ])('%s is 182', (cell) => {
    const read = parseValue(cell, '.');
    expect(read).toMatchObject({ kind: 'number', value: 182 });
    expect('mark' in read && read.mark).toBeTruthy();
  });

  test('a unit stands before it, a limit may carry it, and other words are no mark', () => {
    expect(parseValue('182 ppm M', '.')).toEqual({ kind: 'number', value: 182, unit: 'ppm', mark: 'M' });
    expect(parseValue('3,4 VH', ',')).toEqual({ kind: 'number', value: 3.4, mark: 'VH' });
    expect(parseValue('<20 L', '.')).toEqual({ kind: 'below', limit: 20, mark: 'L' });
    expect(parseValue('182 ppm', '.')).toEqual({ kind: 'number', value: 182, unit: 'ppm' });
    for (const text of ['182 lost', '182 (364)', '182?', '182 HQ', 'M', '*', '182 L/ha', '182-190'])
      expect(parseValue(text, '.').kind).toBe('text');
  });

  test('are told once of the column, which is read', () => {
    const [, k, ca] = guessColumns(table('lab', ['ID;K ppm;Ca ppm', 'a;182 M;3600', 'b;190;3500', 'c;210 H;3400']));
    expect(k).toMatchObject({
      is: 'k',
      unit: 'ppm',
      doubt:
        '2 cells carry a rating or a mark behind the number, such as "182 M": the number is read, the mark passed over',
    });
    expect(ca?.doubt).toBeUndefined();
  });
});
