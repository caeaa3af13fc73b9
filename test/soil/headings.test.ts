import { describe, expect, test } from 'vitest';
import { encodeUtf8 } from '../../core/base/text.ts';
import { startPlan } from '../../core/plan/start.ts';
import { guessColumns } from '../../core/soil/guess.ts';
import { readHeader } from '../../core/soil/headers.ts';
import { extractantTold, lowerHeader } from '../../core/soil/lower-header.ts';
import { table } from './tables.ts';

/** Guess of a heading in a lab table with its usual company. */
function inTable(heading: string, k = '182', more: readonly [string, string] = ['OM', '3.1']) {
  const guesses = guessColumns(
    table('lab', [`Sample ID;${heading};Ca ppm;Mg ppm;pH;CEC;${more[0]}`, `a;${k};3600;630;6.9;23.8;${more[1]}`]),
  );
  const guess = guesses[1];
  if (!guess) throw new Error('no guess');
  return guess;
}

describe('headings of laboratory reports', () => {
  test.each([
    ['K lb/ac (8 in.)', 'k', 'lb/ac', 8],
    ['K lb/acre 0-8"', 'k', 'lb/ac', 8],
    ['K lb/ac@8', 'k', 'lb/ac', 8],
    ['K lbs/A 2 ft', 'k', 'lb/ac', 24],
    ['K (lbs/acre, 6-2/3 in)', 'k', 'lb/ac', 6.67],
    ['K lb/a-6in', 'k', 'lb/ac', 6],
    ['lb K/ac 0-7 in', 'k', 'lb/ac', 7],
    ['K kg/ha (0-20 cm)', 'k', 'kg/ha', 7.874],
    ['Ca kg/ha 0-15 cm', 'ca', 'kg/ha', 5.9055],
    ['Potassium (ppm K)', 'k', 'ppm', undefined],
    ['Soil Test K (0-12 in) ppm', 'k', 'ppm', undefined],
    ['K ppm 2018', 'k', 'ppm', undefined],
    ['Fall 2018 K ppm', 'k', 'ppm', undefined],
    ['K, ppm (Olsen)', 'k', 'ppm', undefined],
    ['Potassium - Bray P1 (ppm)', 'k', 'ppm', undefined],
    ['K Mehlich 1 lb/ac', 'k', 'lb/ac', undefined],
    ['K AA ppm', 'k', 'ppm', undefined],
    ['K ICP ppm', 'k', 'ppm', undefined],
    ['STK ppm', 'k', 'ppm', undefined],
    ['Ex-K cmolc kg-1', 'k', 'cmol/kg', undefined],
    ['K g/kg', 'k', 'g/kg', undefined],
    ['Ca (g/kg)', 'ca', 'g/kg', undefined],
    ['K [mg/100g]', 'k', 'mg/100 g', undefined],
    ['Mg CaCl2 mg/100 g', 'mg', 'mg/100 g', undefined],
    ['Kalium (CAL) mg/1000g', 'k', 'ppm', undefined],
    ['K mmol/kg', 'k', 'mmol/kg', undefined],
    ['K (mmol(+)/kg)', 'k', 'mmolc/kg', undefined],
    ['K meq/kg', 'k', 'mmolc/kg', undefined],
    ['K mval/100g', 'k', 'meq/100 g', undefined],
    ['K (mg K kg\u207b\u00b9)', 'k', 'mg/kg', undefined],
    ['K mg\u00b7kg\u207b\u00b9', 'k', 'mg/kg', undefined],
    ['K \u00b5g/g', 'k', 'ppm', undefined],
    ['K mg/L', 'k', 'mg/L', undefined],
    ['K (% of CEC)', 'kSat', '%', undefined],
    ['%K of CEC', 'kSat', '%', undefined],
    ['Base Sat. K %', 'kSat', '%', undefined],
    ['pH 1:1 water', 'ph', 'none', undefined],
    ['pH (H2O) 2018', 'ph', 'none', undefined],
    ['Exch. Acidity (cmol/kg)', 'h', 'cmol/kg', undefined],
    ['CEC (cmol+/kg)', 'cec', 'cmol/kg', undefined],
    ['Natrium mg/100g', 'na', 'mg/100 g', undefined],
    ['Ex.K (me%)', 'k', 'meq/100 g', undefined],
    ['K mg%', 'k', 'mg/100 g', undefined],
    ['K pct CEC', 'kSat', '%', undefined],
    ['Cations K meq/100g', 'k', 'meq/100 g', undefined],
    ['K kg ha-1 0-20cm', 'k', 'kg/ha', 7.874],
  ])('%s is read', (heading, is, unit, of_in) => {
    const guesses = guessColumns(table('lab', [`Sample ID;${heading}`, 'a;2']));
    expect(guesses[1]).toMatchObject({ is, unit });
    expect(guesses[1]?.of_in).toBe(of_in);
  });

  test.each([
    ['K as K2O ppm', 'ppm'],
    ['K (mg/kg) as K2O', 'mg/kg'],
    ['K2O (mg/100g)', 'mg/100 g'],
    ['K2O-CAL (mg/100 g)', 'mg/100 g'],
    ['Available K2O kg/ha 0-15 cm', 'kg/ha'],
    ['Available K2O lb/ac (6 in.)', 'lb/ac'],
  ])('%s is read as the oxide, in doubt', (heading, unit) => {
    expect(inTable(heading)).toMatchObject({
      is: 'k',
      unit,
      oxide: true,
      doubt: expect.stringContaining('K2O is read'),
    });
  });

  test.each([
    ['K kg/ha', 'nothing tells which'],
    ['Available K2O kg/ha', 'nothing tells which'],
    ['STK', 'nothing tells its unit'],
    ['K lb/1000 sq ft', '"lb/1000 sq ft" is not understood'],
    ['K t/ha', '"t/ha" is not understood'],
    ['K meq/L', '"meq/l" is not understood'],
    ['Potassium (Colwell) mg/kg', 'is not understood'],
    ['K lbs', '"lbs" is not understood'],
  ])('%s is held back, with what must be told', (heading, doubt) => {
    expect(inTable(heading)).toMatchObject({ is: 'unused', held: 'k', doubt: expect.stringContaining(doubt) });
  });

  test.each([
    ['Plant K ppm', 'in the plant'],
    ['Manure K ppm', 'in the manure'],
    ['K H2O ppm', 'water alone dissolves'],
    ['Water-soluble K ppm', 'water alone dissolves'],
    ['Total K ppm', 'more than a soil test extracts'],
    ['Non-exchangeable K mg/kg', 'more than a soil test extracts'],
    ['K2O kg/ha', 'reads like advice'],
    ['Potash (K) ppm', 'potash is K2O'],
    ['K removal lb/ac', 'advice or a rating'],
    ['K:Mg', 'ratio'],
    ['Magnesium (ppm K)', 'nothing that is needed'],
  ])('%s is refused', (heading, why) => {
    const read = readHeader(heading);
    expect(read.role).toBe('unused');
    expect(read.why).toContain(why);
  });

  test('what a heading leaves open is told by another column or by the cells', () => {
    expect(inTable('K kg/ha', '300', ['Depth in', '6'])).toMatchObject({ is: 'k', unit: 'kg/ha' });
    expect(inTable('STK', '182 ppm')).toMatchObject({ is: 'k', unit: 'ppm' });
  });

  test('a unit that the quantity is not read in is never assumed to be another', () => {
    const guesses = guessColumns(table('lab', ['ID;K ppm;CEC mg/kg;OM ppm', 'a;182;238;31']));
    expect(guesses.slice(2).map(({ is, held }) => [is, held])).toEqual([
      ['unused', 'cec'],
      ['unused', 'organicMatter'],
    ]);
    const read = guessColumns(table('lab', ['ID;K ppm;CEC mmolc/kg;OM g/kg', 'a;182;238;31']));
    expect(read.slice(2).map(({ is, unit }) => [is, unit])).toEqual([
      ['cec', 'mmolc/kg'],
      ['organicMatter', 'g/kg'],
    ]);
  });

  test('of two years the later is read, and of two depths the shallower', () => {
    const years = guessColumns(table('lab', ['ID;K ppm 2018;K ppm 2022;Ca ppm 2018', 'a;90;182;3600']));
    expect(years.map(({ is }) => is)).toEqual(['sampleId', 'unused', 'k', 'ca']);
    expect(years[3]?.doubt).toContain('names 2018, that of K 2022');
    const depths = guessColumns(table('lab', ['ID;K ppm 6-12 in;K ppm 0-6 in', 'a;90;182']));
    expect(depths.map(({ is }) => is)).toEqual(['sampleId', 'unused', 'k']);
    expect(guessColumns(table('lab', ['ID;K ppm 6-12 in', 'a;90']))[1]?.doubt).toContain('below the surface');
    expect(readHeader('K6-12')).toMatchObject({ role: 'k', depth: { told: '6-12 in' } });
    expect(guessColumns(table('lab', ['ID;K_0_20 ppm', 'a;90']))[1]?.doubt).toContain('taken as 0-20 cm');
  });

  test('coordinates may be called by their form or their half of the globe', () => {
    expect([readHeader('Lat DMS').role, readHeader('Latitude (N)').role]).toEqual(['lat', 'lat']);
    expect(readHeader('Longitude (W)')).toMatchObject({ role: 'lng', doubt: expect.stringContaining('below 0') });
  });

  test('a depth of a depth column, a ratio and a dilution are no depth of the quantity', () => {
    expect(readHeader('Sample Depth (0-6 in)')).toMatchObject({ role: 'depth' });
    expect(readHeader('pH 1:2 in water').depth).toBeUndefined();
    expect(readHeader('Year 2018').role).not.toBe('k');
  });

  test.each([
    ['K, ppm (Olsen)', 'other'],
    ['K AA ppm', 'ammonium acetate'],
    ['M3-K mg/kg', 'Mehlich-3'],
    ['Kalium (CAL) mg/100g', 'other'],
    ['K ppm', undefined],
  ])('the extraction of %s', (heading, extractant) => {
    const dataset = table('lab', [`ID;${heading}`, 'a;90']);
    expect(extractantTold(dataset, guessColumns(dataset))?.extractant).toBe(extractant);
  });
});

const BOUNDARY = encodeUtf8(
  JSON.stringify({
    type: 'Polygon',
    coordinates: [
      [
        [-94.24, 42.7],
        [-94.23, 42.7],
        [-94.23, 42.708],
        [-94.24, 42.708],
        [-94.24, 42.7],
      ],
    ],
  }),
);
function start(csv: string, more: Partial<Parameters<typeof startPlan>[0]> = {}) {
  return startPlan({
    name: 'Field',
    boundary: [{ name: 'boundary.geojson', bytes: BOUNDARY }],
    samples: [{ name: 'lab.csv', bytes: encodeUtf8(csv) }],
    ...more,
  });
}

describe('a plan from such headings', () => {
  const csvOf = (heading: string): string =>
    `ID,${heading},Ca ppm,Mg ppm,pH,CEC\na,182,3600,630,6.9,23.8\nb,190,3500,620,6.8,23\n`;

  test.each([
    ['K kg/ha', '--column "K kg/ha=k:kg/ha@8"'],
    ['Available K2O kg/ha', '--column "Available K2O kg/ha=k2o:kg/ha@8"'],
    ['STK', '--column "STK=k:ppm"'],
    ['K2O lb/ac', '--column "K2O lb/ac=k2o:lb/ac@8"'],
    ['Zn', '--column "NAME=k:ppm"'],
  ])('without a K column the stop for %s names what tells it', (heading, option) => {
    const started = start(csvOf(heading));
    const stop = started.problems.find(({ code }) => code === 'start-columns');
    expect(started.ok).toBe(false);
    expect(stop?.remedy).toContain(option);
    expect(stop?.remedy).toContain('heading of the column in the table');
  });

  test('a window starts the plan all the same, and the caution says what is missing', () => {
    const started = start(csvOf('STK'), { askLater: true });
    expect(started.ok && started.value.plan.soil.sampleColumns[1]?.is).toBe('unused');
    expect(started.problems.find(({ code }) => code === 'start-columns')).toMatchObject({ severity: 'caution' });
  });

  test('told without a unit, the column has its heading’s, never ppm', () => {
    const started = start(csvOf('K kg/ha'), { columns: [{ column: 'K kg/ha', is: 'k' }] });
    expect(started.ok && started.value.plan.soil.sampleColumns[1]).toEqual({
      column: 'K kg/ha',
      is: 'k',
      unit: 'kg/ha',
      confirmed: true,
    });
  });

  test('told without a unit, a heading of a unit that K is not read in stops, and with one it goes on', () => {
    const refused = start(csvOf('K (mmolc/dm3)'), { columns: [{ column: 'K (mmolc/dm3)', is: 'k' }] });
    expect(refused.ok).toBe(false);
    expect(refused.problems.find(({ code }) => code === 'start-column')?.message).toContain('"mmolc/dm3"');
    expect(start(csvOf('K (pp2m)'), { columns: [{ column: 'K (pp2m)', is: 'k', unit: 'lb/ac' }] }).ok).toBe(true);
  });

  test('the depth of the K heading is the depth sampled where no column tells it', () => {
    const started = start(csvOf('K lb/ac (8 in.)'));
    if (!started.ok) throw new Error('no plan');
    expect(started.value.plan.soil).toMatchObject({
      depth_in: 8,
      sampleColumns: [{}, { unit: 'lb/ac', of_in: 8 }, {}, {}, {}, {}],
    });
    expect(started.value.guesses.join('\n')).toContain('8 in. as the header "K lb/ac (8 in.)" says');
  });
});

describe('lines of methods and units under the names', () => {
  const rowsOf = (...lines: readonly string[]): readonly number[] => [
    ...(lowerHeader(table('lab', ['Sample ID;K;Ca;pH;OM', ...lines, 'a;182;3600;6.9;3.1']))?.records ?? []),
  ];

  test.each([
    [[';Mehlich 3;Mehlich 3;1:1 water;LOI']],
    [[';ppm;ppm;;%', ';M3 ICP;M3 ICP;electrode;loss on ignition']],
    [['Method;Olsen;Bray P1;CaCl2;Walkley-Black']],
    [['Units;mg/100 g;g/kg;;%']],
    [[';NH4OAc pH 7;NH4OAc pH 7;glass electrode;dry combustion at lab']],
    [[';austauschbar;austauschbar;in Wasser;Humusgehalt']],
  ])('%j are no samples', (lines) => expect(rowsOf(...lines)).toEqual(lines.map((_, n) => n)));

  test.each([
    ['S1;n.d.;n.d.;trace;n.d.'],
    [';n.d.;trace;n.d.;n.d.'],
    ['S1;lost;lost;lost;lost'],
    [';182;3600;6.9;3.1'],
  ])('%s is a sample’s row', (line) => expect(rowsOf(line)).toEqual([]));
});
