import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseValue, unitOfWords } from '../../core/base/parse-value.ts';
import { readDepth, sliceOf } from '../../core/soil/depth.ts';
import { soilSettingsSchema } from '../../core/soil/settings.ts';
import { type Amount, cationPpm, OXIDE_PER_ELEMENT } from '../../core/soil/units.ts';
import { readYear } from '../../core/soil/year.ts';

const SETTINGS = soilSettingsSchema.parse({});
const amount = (told: Partial<Amount>): Amount => ({
  unit: 'ppm',
  oxide: false,
  depth_in: 6,
  density_gPerCm3: Number.NaN,
  ...told,
});

describe('ppm of an element', () => {
  test('oxides by atomic weights (IUPAC 2021): K2O 94.196 / 78.197, CaO 56.077 / 40.078, MgO 40.304 / 24.305', () => {
    expect(OXIDE_PER_ELEMENT.k).toBeCloseTo(1.2046, 4);
    expect(OXIDE_PER_ELEMENT.ca).toBeCloseTo(1.3992, 4);
    expect(OXIDE_PER_ELEMENT.mg).toBeCloseTo(1.6583, 4);
    expect(OXIDE_PER_ELEMENT.na).toBeCloseTo(1.348, 3);
    expect(cationPpm(120.46, 'k', amount({ oxide: true }), SETTINGS)).toBeCloseTo(100, 2);
  });

  test('mg/kg is ppm; mg/L is divided by the density; % of soil is 10,000 ppm', () => {
    expect(cationPpm(140, 'k', amount({ unit: 'mg/kg' }), SETTINGS)).toBe(140);
    expect(cationPpm(140, 'k', amount({ unit: 'mg/L', density_gPerCm3: 1.12 }), SETTINGS)).toBeCloseTo(125, 12);
    expect(cationPpm(140, 'k', amount({ unit: 'mg/L' }), SETTINGS)).toBeNaN();
    expect(cationPpm(0.014, 'k', amount({ unit: '%' }), SETTINGS)).toBeCloseTo(140, 10);
  });

  test('lb/ac counts the depth it says: 240 lb/ac of 6 in. and 320 of 8 in. are 120 ppm by "x2 per 6 in."', () => {
    expect(cationPpm(240, 'k', amount({ unit: 'lb/ac' }), SETTINGS)).toBe(120);
    expect(cationPpm(320, 'k', amount({ unit: 'lb/ac', depth_in: 8 }), SETTINGS)).toBeCloseTo(120, 12);
  });

  test('law: an equivalent of an oxide is one of its element, and cmol/kg is meq/100 g', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 50, noNaN: true }),
        fc.constantFrom('k' as const, 'ca' as const, 'mg' as const, 'na' as const),
        (value, cation) => {
          const meq = cationPpm(value, cation, amount({ unit: 'meq/100 g' }), SETTINGS);
          expect(cationPpm(value, cation, amount({ unit: 'cmol/kg', oxide: true }), SETTINGS)).toBe(meq);
        },
      ),
    );
  });

  test('cells may carry mg/L', () => {
    expect(parseValue('140 mg/L', '.')).toEqual({ kind: 'number', value: 140, unit: 'mg/L' });
    expect([unitOfWords('mg/dm3'), unitOfWords('g/cc'), unitOfWords('mg/ml')]).toEqual(['mg/L', 'g/cm3', null]);
  });
});

describe('depth', () => {
  test.each([
    ['6', 0, 6, '0-6 in'],
    ['0-6', 0, 6, '0-6 in'],
    ['6-24 in', 6, 24, '6-24 in'],
    ['6 in - 24 in', 6, 24, '6-24 in'],
    ['0 to 12"', 0, 12, '0-12 in'],
    ['0\u201330.48 cm', 0, 12, '0-30.5 cm'],
    ['0 bis 15.24 cm', 0, 6, '0-15.2 cm'],
  ])('%s', (cell, top_in, bottom_in, told) => {
    const slice = readDepth(cell, '.', 'in');
    expect(slice?.top_in).toBeCloseTo(top_in, 9);
    expect(slice?.bottom_in).toBeCloseTo(bottom_in, 9);
    expect(slice?.told).toBe(told);
  });

  test('top and bottom from two cells; a blank top is the surface; the other way round is none', () => {
    expect(sliceOf('15', '60', '.', 'cm')?.told).toBe('15-60 cm');
    expect(sliceOf(null, '8', '.', 'in')).toEqual({ top_in: 0, bottom_in: 8, told: '0-8 in' });
    expect(sliceOf('24', '6', '.', 'in')).toBeNull();
  });
});

test.each([
  ['2024', 2024],
  [2024, 2024],
  ['2024.0', 2024],
  ['2024-03-01', 2024],
  ['3/1/2024', 2024],
  ['01.03.24', 2024],
  ['12 Mar 24', 2024],
  ['20240301', 2024],
  // Day 45,352 of a spreadsheet whose day 1 is 1900-01-01 is 2024-03-01.
  [45352, 2024],
  ['spring', null],
  ['1200', null],
  [null, null],
])('year of %j is %j', (cell, year) => {
  expect(readYear(cell)).toBe(year);
});
