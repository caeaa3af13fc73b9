import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  counted,
  figure,
  fileSize,
  MEASURES,
  type MeasureName,
  money,
  number,
  parseTyped,
  planValue,
  quantity,
  readable,
  shortNumber,
  shownValue,
} from '../../renderer/ui/format.ts';

describe('numbers to text', () => {
  it('groups thousands, keeps decimals and uses the real minus', () => {
    expect(number(36973.4)).toBe('36,973');
    expect(number(-12, 1)).toBe('−12.0');
    expect(number(Number.NaN)).toBe('–');
    expect(number(null)).toBe('–');
  });

  it('puts no minus before a zero that came of rounding', () => {
    expect(number(-0.004, 1)).toBe('0.0');
    expect(money(-0.2)).toBe('$0');
  });

  it('says rates, acres and money in both unit systems', () => {
    // 1 lb/ac = 1.12085 kg/ha, 1 ac = 0.40469 ha (international acre, avoirdupois pound).
    expect(quantity(200, 'rate', 'US')).toBe('200 lb/ac');
    expect(quantity(200, 'rate', 'metric')).toBe('224 kg/ha');
    expect(quantity(157.7, 'area', 'metric')).toBe('63.8 ha');
    expect(figure(18.5, 'tons', 'metric')).toBe('16.8');
    expect(quantity(9, 'moneyPerArea', 'metric')).toBe('$22.24/ha');
  });

  it('counts with the right word and never shows 0 KB', () => {
    expect(counted(1, 'zone')).toBe('1 zone');
    expect(counted(1200, 'row')).toBe('1,200 rows');
    expect(fileSize(1001)).toBe('2 KB');
  });

  it('shows core’s ASCII as people read it', () => {
    expect(readable('172 ppm x 2.00 = 345 lb K, -5 K2O')).toBe('172 ppm × 2.00 = 345 lb K, −5 K₂O');
    expect(readable('6.3 meq x 3.91; by the x2 convention')).toBe('6.3 meq × 3.91; by the ×2 convention');
    expect(readable('max 4, box 2')).toBe('max 4, box 2');
  });
});

describe('typed numbers', () => {
  it.each([
    ['1,200', 1200],
    ['1 200.5', 1200.5],
    ['2,5', 2.5],
    ['−3', -3],
    ['0.75', 0.75],
  ])('reads %s', (text, value) => expect(parseTyped(text)).toBe(value));

  it.each(['', 'abc', '1.2.3', '12 lb'])('refuses %j', (text) => expect(parseTyped(text)).toBeNull());

  it('reads back what it wrote', () => {
    fc.assert(
      fc.property(fc.integer({ min: -1e9, max: 1e9 }), fc.integer({ min: 0, max: 3 }), (digits, decimals) => {
        const value = digits / 10 ** decimals;
        expect(parseTyped(shortNumber(value))).toBeCloseTo(value, 9);
      }),
    );
  });

  it('gives the plan its value back through any measure, in both systems', () => {
    const names = Object.keys(MEASURES) as MeasureName[];
    fc.assert(
      fc.property(
        fc.constantFrom(...names),
        fc.constantFrom('US' as const, 'metric' as const),
        fc.double({ min: 0.001, max: 1e5, noNaN: true }),
        (name, units, value) => {
          const back = planValue(shownValue(value, name, units), name, units);
          expect(Math.abs(back - value)).toBeLessThanOrEqual(1e-10 * value);
        },
      ),
    );
  });
});
