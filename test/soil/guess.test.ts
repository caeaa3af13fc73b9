import { describe, expect, test } from 'vitest';
import { guessColumns } from '../../core/soil/guess.ts';
import { readHeader } from '../../core/soil/headers.ts';
import { whyNoK } from '../../core/soil/held.ts';
import { point, shapes, table } from './tables.ts';

describe('readHeader', () => {
  test.each([
    ['K', 'k', null],
    ['K_ppm', 'k', 'ppm'],
    ['K ppm (ppm)', 'k', 'ppm'],
    ['Ca mg/kg (ppm)', 'ca', 'ppm'],
    ['CEC meq/100g (meq/100g)', 'cec', 'meq/100 g'],
    ['Länge', 'lng', null],
    ['Breite', 'lat', null],
    ['pH-Wert', 'ph', null],
    ['Puffer-pH', 'bufferPh', null],
    ['KAK', 'cec', null],
    ['Kalium (mg/kg)', 'k', 'ppm'],
    ['Magnesium', 'mg', null],
    ['Natrium ppm', 'na', 'ppm'],
    ['K (ppm)', 'k', 'ppm'],
    ['Potassium', 'k', null],
    ['K lb/ac', 'k', 'lb/ac'],
    ['K_lb_ac', 'k', 'lb/ac'],
    ['K lbs/acre', 'k', 'lb/ac'],
    ['POT', 'k', null],
    ['POT1', 'k', null],
    ['PPM K', 'k', 'ppm'],
    ['Kppm', 'k', 'ppm'],
    ['K mg/kg', 'k', 'ppm'],
    ['K_mgkg', 'k', 'ppm'],
    ['Mehlich-3 K (ppm)', 'k', 'ppm'],
    ['M3_K_ppm', 'k', 'ppm'],
    ['K ppm M3', 'k', 'ppm'],
    ['Exch. K', 'k', null],
    ['K meq/100g', 'k', 'meq/100 g'],
    ['K cmol/kg', 'k', 'meq/100 g'],
    ['Exchangeable Potassium (cmol(+)/kg)', 'k', 'meq/100 g'],
    ['Potassium (K) ppm', 'k', 'ppm'],
    ['MG PPM', 'mg', 'ppm'],
    ['Mg mg/kg', 'mg', 'ppm'],
    ['mg/kg Mg', 'mg', 'ppm'],
    ['MG1', 'mg', null],
    ['Ca_', 'ca', null],
    ['Calcium, ppm', 'ca', 'ppm'],
    ['Na', 'na', null],
    ['H', 'h', null],
    ['H meq', 'h', 'meq/100 g'],
    ['Acidity', 'h', null],
    ['CEC', 'cec', null],
    ['CEC meq/100g', 'cec', 'meq/100 g'],
    ['CEC1', 'cec', null],
    ['%K', 'kSat', '%'],
    ['K %', 'kSat', '%'],
    ['K Sat', 'kSat', '%'],
    ['K_SAT', 'kSat', '%'],
    ['Base Sat K (%)', 'kSat', '%'],
    ['BS_K', 'kSat', '%'],
    ['Pct_K', 'kSat', '%'],
    ['Ca Sat %', 'caSat', '%'],
    ['% H', 'hSat', '%'],
    ['pH', 'ph', null],
    ['Water pH', 'ph', null],
    ['Soil pH', 'ph', null],
    ['pH 1:1', 'ph', null],
    ['Buffer pH', 'bufferPh', null],
    ['BpH', 'bufferPh', null],
    ['Buffer_pH_SMP', 'bufferPh', null],
    ['Sikora pH', 'bufferPh', null],
    ['SampleID', 'sampleId', null],
    ['Sample ID', 'sampleId', null],
    ['LabNo', 'sampleId', null],
    ['Lab No.', 'sampleId', null],
    ['ID', 'sampleId', null],
    ['Sample #', 'sampleId', null],
    ['Lat', 'lat', null],
    ['Latitude', 'lat', null],
    ['Long', 'lng', null],
    ['X', 'lng', null],
    ['POINT_Y', 'lat', null],
    ['OM', 'organicMatter', null],
    ['Organic Matter (%)', 'organicMatter', '%'],
    ['Depth', 'depth', null],
    ['Depth (in)', 'depth', 'in'],
    ['DEPTHCM', 'depth', 'cm'],
    ['K mg/L', 'k', 'mg/L'],
    ['Mg mg/L', 'mg', 'mg/L'],
    ['K (mg/dm3)', 'k', 'mg/L'],
    ['Sample date', 'date', null],
    ['Year', 'date', null],
    ['Datum', 'date', null],
    ['Fecha de muestreo', 'date', null],
    ['Année', 'date', null],
    ['Depth from (in)', 'depthTop', 'in'],
    ['Top depth', 'depthTop', null],
    ['Depth to (in)', 'depth', 'in'],
    ['Profondeur', 'depth', null],
    ['Profundidad (cm)', 'depth', 'cm'],
    ['W/V', 'density', null],
    ['Density g/cm3', 'density', 'g/cm3'],
    ['Potasio', 'k', null],
    ['Échantillon', 'sampleId', null],
    ['CIC', 'cec', null],
  ])('%s', (header, role, unit) => {
    expect(readHeader(header)).toMatchObject({ role, unit });
  });

  test.each([
    'K2O lb/ac',
    'K2O rec',
    'P2O5 ppm',
    'Potash',
    'Lime index',
    'Buffer Index',
    'K Rec',
    'K rating',
    'K:Mg',
    'Ca/Mg',
    'Base Saturation',
    'PHOS1',
    'P',
    'Zn ppm',
    'NO3-N',
    'Mn',
    'Field',
    'Lab',
    'ENR',
    'Soluble Salts',
    'K Index',
    'Target pH',
    'Mg_kg',
  ])('%s is not used', (header) => {
    expect(readHeader(header).role).toBe('unused');
  });
});

const guess = (lines: readonly string[]) => guessColumns(table('lab', lines));

describe('guessColumns', () => {
  test('a lab table with every unit told has no doubt', () => {
    const got = guess([
      'Sample ID;K ppm;Ca ppm;Mg ppm;Na ppm;pH;Buffer pH;CEC;Depth in',
      'A1;120;1200;180;12;6.1;6.6;12.4;6',
      'A2;140;1300;190;11;6.3;6.7;12.9;6',
    ]);
    expect(got.map((one) => [one.is, one.unit])).toEqual([
      ['sampleId', 'none'],
      ['k', 'ppm'],
      ['ca', 'ppm'],
      ['mg', 'ppm'],
      ['na', 'ppm'],
      ['ph', 'none'],
      ['bufferPh', 'none'],
      ['cec', 'meq/100 g'],
      ['depth', 'in'],
    ]);
    expect(got.filter((one) => one.doubt !== undefined)).toEqual([]);
    expect(got[1]?.because).toBe('header "K ppm"');
  });

  test('oxides are read as such, in doubt; pounds of one read like advice', () => {
    const got = guess(['ID;K\u2082O (ppm);CaO ppm;MgO mg/kg;Na2O;P2O5 ppm', '1;144;2100;300;20;60']);
    expect(got.map((one) => [one.is, one.unit, one.oxide])).toEqual([
      ['sampleId', 'none', undefined],
      ['k', 'ppm', true],
      ['ca', 'ppm', true],
      ['mg', 'mg/kg', true],
      ['unused', 'none', undefined],
      ['unused', 'none', undefined],
    ]);
    expect(got[1]?.doubt).toContain('K2O is read, and turned to the element');
    expect(got[4]).toMatchObject({ held: 'na', doubt: expect.stringContaining('nothing tells its unit') });
    expect(guess(['ID;K2O lb/ac', '1;144'])[1]).toMatchObject({
      is: 'unused',
      doubt: expect.stringContaining('K2O is not K'),
    });
    expect(guess(['ID;K2O ppm;K ppm', '1;144;120']).map((one) => one.is)).toEqual(['sampleId', 'unused', 'k']);
  });

  test('a unit that is not told is assumed to be ppm, in doubt', () => {
    expect(guess(['ID;K', '1;120', '2;130'])[1]).toMatchObject({
      is: 'k',
      unit: 'ppm',
      doubt: 'the unit is not told: ppm is assumed',
    });
  });

  test('low values with no unit read like meq/100 g', () => {
    expect(
      guess(['ID;K;Ca;Mg;Na', '1;0.31;6.1;1.5;0.05', '2;0.4;7;1.7;0.1'])
        .slice(1)
        .map((one) => one.unit),
    ).toEqual(Array(4).fill('meq/100 g'));
  });

  test('the lab’s own saturation tells ppm from lb/ac', () => {
    // 120 ppm / 390 / CEC 10 = 3.08 %.
    const ppm = guess(['ID;K;CEC;%K', '1;120;10;3.1', '2;150;10;3.8']);
    expect(ppm[1]).toMatchObject({ unit: 'ppm' });
    expect(ppm[1]?.doubt).toBeUndefined();
    const pounds = guess(['ID;K;CEC;%K', '1;240;10;3.1', '2;300;10;3.8']);
    expect(pounds[1]).toMatchObject({ unit: 'lb/ac', doubt: expect.stringContaining('lb/ac') });
    const told = guess(['ID;K ppm;CEC;%K', '1;240;10;3.1', '2;300;10;3.8']);
    expect(told[1]).toMatchObject({ unit: 'ppm', doubt: expect.stringContaining('lb/ac') });
  });

  test('bases far above the CEC read like lb/ac at half the level', () => {
    const got = guess(['ID;K ppm;Ca ppm;MG PPM;CEC', '1;240;2400;360;10', '2;260;2500;350;10.5']);
    expect(got[3]).toMatchObject({ is: 'mg', unit: 'ppm', doubt: expect.stringContaining('half the level') });
  });

  test('of two columns for K the plainer one is taken, and both say so', () => {
    const got = guess(['ID;K lb/ac;K ppm', '1;240;120', '2;260;130']);
    expect(got[1]).toMatchObject({ is: 'unused', doubt: expect.stringContaining('"K ppm" was taken') });
    expect(got[2]).toMatchObject({ is: 'k', unit: 'ppm', doubt: expect.stringContaining('"K lb/ac"') });
  });

  test('the sample id is taken before the lab’s number, unless the other file has the lab’s numbers', () => {
    const lab = table('lab', ['LabNo;SampleID;K ppm', '901;1;120', '902;2;130']);
    expect(guessColumns(lab).map((one) => one.is)).toEqual(['unused', 'sampleId', 'k']);
    const points = shapes(
      'points',
      ['NR'],
      [
        [point(-94, 42), 901],
        [point(-94, 42.1), 902],
      ],
    );
    expect(guessColumns(lab, points).map((one) => one.is)).toEqual(['sampleId', 'unused', 'k']);
  });

  test('a K column of words is not K', () => {
    expect(guess(['ID;K', '1;low', '2;high'])[1]?.is).toBe('unused');
  });

  test('X and Y beyond degrees ask for the coordinate system; a shapefile needs none of them', () => {
    expect(guess(['ID;X;Y;K ppm', '1;412000;4651000;120'])[1]).toMatchObject({
      is: 'lng',
      unit: 'none',
      doubt: expect.stringContaining('coordinate system'),
    });
    expect(guess(['ID;X;Y;K ppm', '1;-94.1;42.2;120'])[1]).toMatchObject({ is: 'lng', unit: 'deg' });
    expect(
      guessColumns(shapes('p', ['ID', 'X', 'Y'], [[point(-94, 42), 1, 412000, 4651000]])).map((one) => one.is),
    ).toEqual(['sampleId', 'unused', 'unused']);
  });

  test('a lime test index under a buffer pH header, and the depth of the soil, are doubted', () => {
    const got = guess(['ID;K ppm;Buffer pH;Depth cm', '1;120;66;91', '2;130;68;46']);
    expect(got[2]?.doubt).toContain('lime test index');
    expect(got[3]).toMatchObject({ is: 'unused', doubt: expect.stringContaining('depth of the soil') });
  });

  test('several slices of one profile are depths of the sample, in the unit that reads them all', () => {
    const rows = (cells: readonly string[]) => ['ID;K ppm;Depth', ...cells.map((cell, n) => `${n};12${n};${cell}`)];
    const depth = (...cells: readonly string[]) => guess(rows(cells))[2];
    expect(depth('6', '24', '6', '24')).toMatchObject({ is: 'depth', unit: 'in' });
    expect(depth('15', '60', '15', '60')).toMatchObject({ is: 'depth', unit: 'cm' });
    expect(depth('0-10', '10-30', '30-60', '60-90')).toMatchObject({ is: 'depth', unit: 'cm' });
    const told = depth('0-6 in', '6-24 in');
    expect([told?.unit, told?.doubt]).toEqual(['in', undefined]);
    expect(depth('91', '20', '25', '61', '30', '91', '46', '91', '61')).toMatchObject({ is: 'unused' });
  });

  test('K above Ca reads like swapped columns', () => {
    const got = guess(['ID;K ppm;Ca ppm', '1;1200;120', '2;1300;140']);
    expect(got[1]?.doubt).toContain('swapped');
    expect(got[2]?.doubt).toContain('swapped');
  });
});

test('a unit told twice is no doubt, and two different ones are', () => {
  expect(readHeader('K ppm (ppm)').doubt).toBeUndefined();
  expect(readHeader('K ppm (lb/ac)').doubt).toContain('two units');
});

test('a table without K says what stands in its stead', () => {
  const why = (header: string): string => {
    const dataset = table('lab', [header, '1;120', '2;130']);
    return whyNoK(dataset, guessColumns(dataset));
  };
  expect(why('ID;K2O lb/ac')).toContain('K2O is not K: 1 ppm K = 1.2046 ppm K2O');
  expect(why('ID;K Sat %')).toContain('K in ppm is needed');
  expect(why('ID;Zn')).toBe('No column of the soil test reads as K.');
});
