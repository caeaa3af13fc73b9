import { describe, expect, test } from 'vitest';
import { guessColumns } from '../../core/soil/guess.ts';
import { howToTellK } from '../../core/soil/how-to-tell.ts';
import { mapColumns } from '../../core/soil/mapping.ts';
import { table } from './tables.ts';

const remedy = (headings: string, cells = '182;23.8') => {
  const lab = table('lab', [`ID;${headings}`, `a;${cells}`, `b;${cells}`]);
  return howToTellK(lab, guessColumns(lab));
};

test('a column set to K in a unit that its heading does not name is a caution until a person confirms it', () => {
  const lab = table('lab', ['ID;K (pp2m);pH', 'a;364;6.9']);
  const codes = (confirmed: boolean) => {
    const use = { column: 'K (pp2m)', is: 'k', unit: 'ppm', ...(confirmed ? { confirmed } : {}) } as const;
    return mapColumns(lab, [use], null, 'soil.sampleColumns').problems.map(({ code }) => code);
  };
  expect(codes(false)).toContain('soil-heading-unit');
  expect(codes(true)).not.toContain('soil-heading-unit');
});

describe('how to tell which column is K', () => {
  test.each([
    ['K (mmolc/dm3)', 'needs the bulk density: convert the figures to ppm in the file'],
    ['K mmol/L', 'needs the bulk density: convert'],
    ['K (pp2m)', '--column "K (pp2m)=k:lb/ac@6.67"'],
    ['K (\u00b5g/kg)', '1000 of it are 1 ppm: convert'],
    ['K (g/100g)', '--column "K (g/100g)=k:%"'],
    ['K oz/1000 sq ft', '--column "K oz/1000 sq ft=k:UNIT", where UNIT is one of ppm, mg/kg'],
    ['K (x10 ppm)', 'or convert the figures to ppm in the file'],
    ['K deg', '--column "K deg=k:UNIT"'],
    ['K2O', '--column "K2O=k2o:UNIT"'],
  ])('%s is never offered as it stands in ppm', (heading, words) => {
    const told = remedy(`${heading};pH`, '182;6.9');
    expect(told).toContain(words);
    expect(told).not.toMatch(/=k2?o?:ppm/);
    expect(told).toContain('at the heading of the column in the table');
  });

  test('where the values fit another unit, the units are listed', () => {
    expect(remedy('K;Ca;Mg;CEC', '364;7228;1270;23.8')).toContain('--column "K=k:UNIT"');
  });

  test('topsoil goes before subsoil, and that is said', () => {
    const told = remedy('K subsoil weird;K topsoil weird;CEC', '90;182;23.8');
    expect(told).toContain('--column "K topsoil weird=k:UNIT"');
    expect(told).toContain('"K subsoil weird" names ground below the surface and is passed over');
  });

  test('of two alike both are named', () => {
    const lab = table('lab', ['ID;K1;K2;CEC', 'a;90;182;23.8', 'b;84;167;23.1']);
    const guesses = guessColumns(lab);
    expect(guesses.find((one) => one.held === 'k')?.doubt).toContain('"K1" and "K2"');
    expect(howToTellK(lab, guesses)).toContain('--column "K1=k:ppm"');
  });
});
