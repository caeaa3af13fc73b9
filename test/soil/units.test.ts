import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseValue, unitOfWords } from '../../core/base/parse-value.ts';
import { isMangled, readDepth, sliceOf } from '../../core/soil/depth.ts';
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

  test('g/kg, mg/100 g and mmolc/kg by their definition; mmol/kg by atomic weight (IUPAC 2021: K 39.0983, Ca 40.078, Mg 24.305)', () => {
    const ppm = (value: number, cation: 'k' | 'ca' | 'mg' | 'na', told: Partial<Amount>) =>
      cationPpm(value, cation, amount(told), SETTINGS);
    expect(ppm(3.6, 'ca', { unit: 'g/kg' })).toBe(3600);
    expect(ppm(18.2, 'k', { unit: 'mg/100 g' })).toBeCloseTo(182, 12);
    expect(ppm(21.9, 'k', { unit: 'mg/100 g', oxide: true })).toBeCloseTo(219 / 1.2046, 1);
    expect(ppm(4.65, 'k', { unit: 'mmolc/kg' })).toBeCloseTo(ppm(0.465, 'k', { unit: 'meq/100 g' }), 12);
    expect(ppm(4.65, 'k', { unit: 'mmol/kg' })).toBeCloseTo(181.807, 3);
    expect(ppm(10, 'ca', { unit: 'mmol/kg' })).toBeCloseTo(400.78, 10);
    // Two charges an atom: the same figure as charge is half the mass.
    expect(ppm(10, 'mg', { unit: 'mmol/kg' }) / ppm(10, 'mg', { unit: 'mmolc/kg' })).toBeCloseTo(2, 3);
    // One mole of K2O is 94.196 g and holds 78.197 g of K.
    expect(ppm(1, 'k', { unit: 'mmol/kg', oxide: true })).toBeCloseTo(78.1966, 4);
    expect(ppm(1, 'mg', { unit: 'mmol/kg', oxide: true })).toBeCloseTo(24.305, 10);
  });

  test('kg/ha over a depth: 1.12085 of them are one lb/ac, 269 kg/ha of 6 in. being 120 ppm by "x2 per 6 in."', () => {
    expect(cationPpm(240 * 1.120851, 'k', amount({ unit: 'kg/ha' }), SETTINGS)).toBeCloseTo(120, 4);
    expect(cationPpm(320 * 1.120851, 'k', amount({ unit: 'kg/ha', depth_in: 8 }), SETTINGS)).toBeCloseTo(120, 4);
    // 1 ha x 15.24 cm at 1.3 g/cm3 weighs 1,981,200 kg.
    const byDensity = soilSettingsSchema.parse({ convention: 'bulk density', bulkDensity_gPerCm3: 1.3 });
    expect(cationPpm(198.12, 'k', amount({ unit: 'kg/ha' }), byDensity)).toBeCloseTo(100, 6);
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

describe('degrees, minutes and seconds', () => {
  // 41 + 15/60 + 30/3600.
  test.each([
    ['41\u00b015\'30"N', 41.2583333],
    ['94\u00b013\'33.485"W', -94.2259681],
    ["N41\u00b015.5'", 41.2583333],
    ['41 15 30 N', 41.2583333],
    ['42\u00b042\u203211.0\u2033 N', 42.7030556],
    ['-94\u00b013\'33"', -94.2258333],
    ['41.25833 S', -41.25833],
  ])('%s', (text, degrees) => {
    const read = parseValue(text, '.');
    expect(read).toMatchObject({ kind: 'number', unit: 'deg' });
    expect(read.kind === 'number' ? read.value : Number.NaN).toBeCloseTo(degrees, 6);
  });
  test.each(['94\u00b061\'0"W', '12 N', '182 W', "41.5\u00b015'N", "-41\u00b015'S", 'N', 'E 41 15 30 W', '41 15 30'])(
    '%s is no place',
    (text) => expect(parseValue(text, '.').kind).toBe('text'),
  );
});

describe('depth', () => {
  test.each([
    ['6-Dec', '6-12 in'],
    ['12-Jun', '6-12 in'],
    ['Jun-12', '6-12 in'],
    ['24-Dec', '12-24 in'],
    ['2025-06-12', '6-12 in'],
    ['6/12/2025', '6-12 in'],
  ])('%s, which a spreadsheet made of a range, is that range', (cell, told) => {
    expect(isMangled(cell)).toBe(true);
    expect(readDepth(cell, '.', 'in')?.told).toBe(told);
  });
  test('a range, a word and a day of the same number are no such date', () => {
    expect([isMangled('6-12'), isMangled('0-6 in'), isMangled('deep'), isMangled('6-Jun'), isMangled(6)]).toEqual(
      Array(5).fill(false),
    );
  });

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
