import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type ParsedValue, parseValue, unitOfWords } from '../../core/base/parse-value.ts';

const number = (value: number, unit?: string): unknown => ({ kind: 'number', value, ...(unit ? { unit } : {}) });

describe('parseValue', () => {
  test.each<[string | number | boolean | null, '.' | ',', unknown]>([
    ['120', '.', number(120)],
    [' 120 ', '.', number(120)],
    ['1,139', '.', number(1139)],
    ['1,139,000.5', '.', number(1139000.5)],
    ['1 139', '.', number(1139)],
    ['1\u202f139', ',', number(1139)],
    ["1'139", '.', number(1139)],
    ['1.139,5', ',', number(1139.5)],
    ['6,5', ',', number(6.5)],
    ['.5', '.', number(0.5)],
    ['-94.25', '.', number(-94.25)],
    ['\u22124', '.', number(-4)],
    ['1.2e3', '.', number(1200)],
    ['120 ppm', '.', number(120, 'ppm')],
    ['120ppm', '.', number(120, 'ppm')],
    ['0.31 meq/100g', '.', number(0.31, 'meq/100 g')],
    ['3,4 %', ',', number(3.4, '%')],
    ['6"', '.', number(6, 'in')],
    [7, '.', number(7)],
  ])('reads %j as a number', (cell, decimal, want) => {
    expect(parseValue(cell, decimal)).toEqual(want);
  });

  test.each<[string, ParsedValue]>([
    ['<20', { kind: 'below', limit: 20 }],
    ['< 20', { kind: 'below', limit: 20 }],
    ['\u226420.5', { kind: 'below', limit: 20.5 }],
    ['<= 20 ppm', { kind: 'below', limit: 20, unit: 'ppm' }],
    ['>999', { kind: 'above', limit: 999 }],
    ['> 1,000', { kind: 'above', limit: 1000 }],
  ])('reads %j as a limit', (cell, want) => {
    expect(parseValue(cell, '.')).toEqual(want);
  });

  test.each([null, '', '  ', '-', '\u2014', 'N/A', 'null', '#N/A', Number.NaN])('reads %j as blank', (cell) => {
    expect(parseValue(cell, '.')).toEqual({ kind: 'blank' });
  });

  test.each([
    'n.d.',
    'ND',
    'trace',
    '12 HQ',
    '6-8',
    '2024-05-01',
    '1,5',
    '0,123',
    '1,13',
    '12,34,567',
    '1 2',
    '1.2.3',
    '<',
    '1e999',
    '..5',
  ])('takes no figure from %j', (cell) => {
    expect(parseValue(cell, '.')).toEqual({ kind: 'text', text: cell });
  });

  test('a decimal point in a table with decimal commas is text unless it sets thousands apart', () => {
    expect(parseValue('6.5', ',')).toEqual({ kind: 'text', text: '6.5' });
    expect(parseValue('1.500', ',')).toEqual({ kind: 'number', value: 1500 });
  });

  test('law: a number written with either mark, grouped or not, is read back', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -99_999_999, max: 99_999_999 }),
        fc.integer({ min: 0, max: 999 }),
        (whole, thousandths) => {
          const decimals = String(thousandths).padStart(3, '0');
          const sign = whole < 0 ? '-' : '';
          const digits = String(Math.abs(whole));
          const grouped = digits.replace(/\B(?=(\d{3})+$)/g, ',');
          const want = Number(`${sign}${digits}.${decimals}`);
          expect(parseValue(`${sign}${digits}.${decimals}`, '.')).toEqual({ kind: 'number', value: want });
          expect(parseValue(`${sign}${grouped}.${decimals}`, '.')).toEqual({ kind: 'number', value: want });
          expect(parseValue(`${sign}${digits},${decimals}`, ',')).toEqual({ kind: 'number', value: want });
          expect(parseValue(`${sign}${grouped.replaceAll(',', '.')},${decimals}`, ',')).toEqual({
            kind: 'number',
            value: want,
          });
        },
      ),
    );
  });

  test('law: never throws and never gives a number that is not finite', () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.string(), fc.double(), fc.boolean()),
        fc.constantFrom<'.' | ','>('.', ','),
        (cell, decimal) => {
          const read = parseValue(cell, decimal);
          if (read.kind === 'number') expect(Number.isFinite(read.value)).toBe(true);
        },
      ),
    );
  });
});

describe('unitOfWords', () => {
  test.each([
    ['mg/kg', 'ppm'],
    ['mg kg-1', 'ppm'],
    ['PPM', 'ppm'],
    ['lbs/acre', 'lb/ac'],
    ['lb per ac', 'lb/ac'],
    ['#/A', 'lb/ac'],
    ['meq/100g', 'meq/100 g'],
    ['me/100 g', 'meq/100 g'],
    ['cmolc/kg', 'meq/100 g'],
    ['cmol(+)/kg', 'meq/100 g'],
    ['meq', 'meq/100 g'],
    ['%', '%'],
    ['inches', 'in'],
    ['cm', 'cm'],
    ['degrees', 'deg'],
    ['H', null],
    ['kg/ha', 'kg/ha'],
    ['bu/ac', null],
    ['', null],
  ])('%s', (words, unit) => {
    expect(unitOfWords(words)).toBe(unit);
  });
});
