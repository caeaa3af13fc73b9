import { describe, expect, test } from 'vitest';
import { encodeUtf8 } from '../../core/base/text.ts';
import { readFiles } from '../../core/formats/read.ts';
import { guessColumns } from '../../core/soil/guess.ts';
import { table } from './tables.ts';

/** Guesses of a file of text whose second line holds the units. */
function guessesOf(lines: readonly string[]) {
  const read = readFiles([{ name: 'lab.csv', bytes: encodeUtf8(lines.join('\n')) }], {});
  const dataset = read.ok ? read.value[0] : undefined;
  if (!dataset) throw new Error('not read');
  return guessColumns(dataset);
}

const ROWS = ['a;21.9;6.9;23.8', 'b;18.4;7.1;23.1', 'c;20.1;6.8;22.0'];
/** Unit words under K, and what becomes of the column. */
const CASES = [
  ['mg K2O/100 g', { is: 'k', unit: 'mg/100 g', oxide: true }],
  ['mg K/100 g', { is: 'k', unit: 'mg/100 g' }],
  ['mg/100 g Boden', { is: 'k', unit: 'mg/100 g' }],
  ['mg K2O/kg', { is: 'k', unit: 'mg/kg', oxide: true }],
  ['as K2O, ppm', { is: 'k', unit: 'ppm', oxide: true }],
  ['kg K/ha', { is: 'unused', held: 'k' }],
  ['mmolc/dm3', { is: 'unused', held: 'k' }],
  ['pp2m', { is: 'unused', held: 'k' }],
  ['g/100g', { is: 'unused', held: 'k' }],
  ['oz/1000 sq ft', { is: 'unused', held: 'k' }],
  ['lbs K2O/A', { is: 'unused' }],
] as const;

describe('units under the header are never thrown away', () => {
  test.each(CASES)('%s under K, beside another unit', (unit, is) => {
    const k = guessesOf(['Sample;K;pH;CEC', `;${unit};;meq/100g`, ...ROWS])[1];
    expect(k).toMatchObject(is);
  });

  test.each(CASES)('%s under K, alone', (unit, is) => {
    expect(guessesOf(['Sample;K;pH;CEC', `;${unit};;`, ...ROWS])[1]).toMatchObject(is);
  });

  test.each(CASES)('%s under K in a table whose reader knows no units', (unit, is) => {
    const [header = '', ...rows] = ['Sample;K;pH;CEC', `;${unit};1:1;meq/100g`, ...ROWS];
    const k = guessColumns(table('lab', [header, ...rows]))[1];
    expect(k).toMatchObject(is);
  });

  test('a second line of names does not hide the units under it', () => {
    const lines = [
      'SAMPLE;POTASSIUM;pH;CATION EXCHANGE',
      'NUMBER;K;SOIL;CAPACITY',
      ';lb/ac;1:1;meq/100g',
      'a;364;6.9;23.8',
      'b;334;7.1;23.1',
    ];
    expect(guessesOf(lines)[1]).toMatchObject({ is: 'k', unit: 'lb/ac' });
  });

  test('words that are no unit do not take a date, a place or an id out of use', () => {
    const guesses = guessesOf([
      'Sample;Date;Latitude;Longitude;K;pH',
      'no.;mm/dd/yyyy;WGS84;WGS84;ppm;s.u.',
      'a;03/14/2024;42.70;-94.23;182;6.9',
      'b;03/14/2024;42.71;-94.23;167;6.8',
    ]);
    expect(guesses.map((one) => one.is)).toEqual(['sampleId', 'date', 'lat', 'lng', 'k', 'ph']);
    expect(guesses[4]).toMatchObject({ unit: 'ppm' });
  });
});
