import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { putFixed } from '../../core/formats/fixed.kernel.ts';

/** What the function is to write: the language's own `toFixed`, without the sign of a zero. */
const wanted = (value: number, decimals: number): string => value.toFixed(decimals).replace(/^-(?=[0.]+$)/, '');

function written(value: number, width: number, decimals: number): string | null {
  const bytes = new Uint8Array(width + 2).fill(0x20);
  const fits = putFixed(bytes, 1, width, decimals, value);
  const text = String.fromCharCode(...bytes);
  if (!fits) expect(text.trim()).toBe('');
  expect([text[0], text.at(-1)]).toEqual([' ', ' ']);
  return fits ? text.trim() : null;
}

const decimals = fc.integer({ min: 0, max: 15 });

describe('putFixed', () => {
  it('writes what toFixed writes, for any number', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, min: -1e20, max: 1e20 }), decimals, (value, places) => {
        expect(written(value, 60, places)).toBe(wanted(value, places));
      }),
      { numRuns: 2000 },
    );
  });

  it('and for numbers at and about a half of the last place, where rounding is in doubt', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -2_000_000, max: 2_000_000 }),
        fc.integer({ min: 0, max: 6 }),
        fc.integer({ min: -2, max: 2 }),
        (units, places, ulps) => {
          const half = (units + 0.5) / 10 ** places;
          const value = half + ulps * Math.abs(half) * 2 ** -52;
          expect(written(value, 30, places)).toBe(wanted(value, places));
        },
      ),
      { numRuns: 2000 },
    );
  });

  it.each([
    [1.005, 2, '1.00'],
    [2.5, 0, '3'],
    [-0.001, 2, '0.00'],
    [0, 0, '0'],
    [0.07, 2, '0.07'],
    [1e15, 2, '1000000000000000.00'],
  ])('writes %d with %d decimals as %s', (value, places, text) => {
    expect(written(value, 20, places)).toBe(text);
  });

  it.each([1e21, Number.NaN, Number.POSITIVE_INFINITY, 12345.67])('says that %d does not fit', (value) => {
    expect(written(value, 7, 2)).toBeNull();
  });
});
