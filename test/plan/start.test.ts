import { describe, expect, it } from 'vitest';
import { encodeUtf8 } from '../../core/base/text.ts';
import { sortFiles } from '../../core/plan/sort.ts';
import { type StartInput, startPlan } from '../../core/plan/start.ts';
import { headerKey } from '../../core/soil/mapping-memory.ts';
import { sampleFile } from '../fields/hollow-quarter.ts';
import { fixture } from '../fixtures/fixtures.ts';

const raw = ['lab-results.csv', 'keep-out.geojson', 'boundary.zip', 'sample-points.zip'].map(sampleFile);

describe('sorting dropped files', () => {
  it('knows boundary, keep-out, points and lab table by what they hold', () => {
    const sorted = sortFiles(raw);
    expect(sorted.ok).toBe(true);
    if (!sorted.ok) return;
    const names = (files: readonly { name: string }[]) => files.map((file) => file.name);
    expect(names(sorted.value.boundary)).toEqual(['boundary.zip']);
    expect(names(sorted.value.keepOut)).toEqual(['keep-out.geojson']);
    expect(names(sorted.value.points)).toEqual(['sample-points.zip']);
    expect(names(sorted.value.samples)).toEqual(['lab-results.csv']);
  });

  it('asks which one when two files hold lab values', () => {
    const lab = sampleFile('lab-results.csv');
    const sorted = sortFiles([...raw, { ...lab, name: 'lab-2024.csv' }]);
    expect(sorted.ok).toBe(false);
    expect(sorted.problems.map((problem) => problem.code)).toContain('sort-several');
  });

  it('takes points and lab values from two sheets of one workbook, and says which sheet is passed over', () => {
    const sorted = sortFiles(fixture('xlsx/lab.xlsx'));
    if (!sorted.ok) throw new Error(sorted.problems[0]?.message);
    expect([sorted.value.points.length, sorted.value.samples.length]).toEqual([1, 1]);
    expect(sorted.problems.find((problem) => problem.code === 'sort-sheets')?.message).toContain('sheet Codes');
    const started = startPlan({
      name: 'x',
      boundary: [sampleFile('boundary.zip')],
      points: sorted.value.points,
      samples: sorted.value.samples,
    });
    if (!started.ok) throw new Error(started.problems.map((one) => one.message).join('\n'));
    const { soil, inputs } = started.value.plan;
    expect(soil.pointColumns.map((use) => use.is)).toEqual(['sampleId', 'lat', 'lng']);
    expect(soil.sampleColumns.slice(0, 4).map((use) => use.is)).toEqual(['sampleId', 'depth', 'date', 'k']);
    expect(inputs.filter((input) => input.name === 'lab.xlsx')).toHaveLength(1);
  });

  it('names a table it has no use for', () => {
    const sorted = sortFiles([...raw, { name: 'prices.csv', bytes: encodeUtf8('item,price\nlime,30\n') }]);
    expect(sorted.problems).toContainEqual(
      expect.objectContaining({ code: 'sort-unused', at: { file: 'prices.csv' } }),
    );
  });
});

describe('starting a plan from raw files', () => {
  const start = (more: { crop?: string; governs?: 'ppm' }) =>
    startPlan({
      name: 'Hollow Quarter',
      boundary: [sampleFile('boundary.zip')],
      points: [sampleFile('sample-points.zip')],
      samples: [sampleFile('lab-results.csv')],
      ...more,
    });

  it('tells every guess: coordinate system, each column, depth, CEC rule and target', () => {
    const started = start({ crop: 'corn' });
    expect(started.ok).toBe(true);
    if (!started.ok) return;
    const told = started.value.guesses.join('\n');
    for (const column of [
      'K ppm',
      'Ca ppm',
      'Mg ppm',
      'Na ppm',
      'pH',
      'Buffer pH',
      'CEC meq/100g',
      'Depth in',
      'SAMPLE_ID',
    ])
      expect(told).toContain(`"${column}"`);
    expect(told).toContain('UTM');
    expect(told).toContain('the larger of ppm and saturation does');
    expect(told).toContain('12 x (7 - buffer pH)');
  });

  it('writes the mapping into the plan, and which target governs only when told', () => {
    const untold = start({ crop: 'corn' });
    const told = start({ crop: 'corn', governs: 'ppm' });
    expect(untold.ok && [untold.value.plan.rates.governs, untold.value.plan.rates.governsTold]).toEqual([
      'larger',
      false,
    ]);
    expect(told.ok && [told.value.plan.rates.governs, told.value.plan.rates.governsTold]).toEqual(['ppm', true]);
    const uses = untold.ok ? untold.value.plan.soil.sampleColumns : [];
    expect(uses.map((use) => `${use.column}|${use.is}|${use.unit}`)).toEqual([
      'Sample ID|sampleId|none',
      'K ppm|k|ppm',
      'Ca ppm|ca|ppm',
      'Mg ppm|mg|ppm',
      'Na ppm|na|ppm',
      'pH|ph|none',
      'Buffer pH|bufferPh|none',
      'CEC meq/100g|cec|meq/100 g',
      'Depth in|depth|in',
    ]);
  });

  it('lists the crops when it does not know the one named', () => {
    const started = start({ crop: 'triffid' });
    expect(started.ok).toBe(false);
    expect(started.problems.at(-1)).toMatchObject({ code: 'start-crop', at: { setting: 'rates.crop' } });
    expect(started.problems.at(-1)?.remedy).toContain('corn');
  });

  it('asks for the K column when none reads as one', () => {
    const started = startPlan({
      name: 'x',
      boundary: [sampleFile('boundary.zip')],
      samples: [{ name: 'lab.csv', bytes: encodeUtf8('id,Zn\n1,2\n') }],
    });
    expect(started.problems.map((problem) => problem.code)).toContain('start-columns');
  });

  it('takes a person’s word for columns, depth and extractant over its guesses', () => {
    const text = 'Probe,Wert 1,KAP\n1,120,12\n2,130,13\n3,140,12\n';
    const started = startPlan({
      name: 'x',
      boundary: [sampleFile('boundary.zip')],
      samples: [{ name: 'lab.csv', bytes: encodeUtf8(text) }],
      columns: [
        { column: 'Wert 1', is: 'k', unit: 'lb/ac' },
        { column: 'KAP', is: 'cec' },
      ],
      depth_in: 8,
      extractant: 'Mehlich-3',
    });
    if (!started.ok) throw new Error(started.problems[0]?.message);
    const { soil } = started.value.plan;
    expect(soil.sampleColumns).toContainEqual({ column: 'Wert 1', is: 'k', unit: 'lb/ac', confirmed: true });
    expect(soil.sampleColumns).toContainEqual({ column: 'KAP', is: 'cec', unit: 'meq/100 g', confirmed: true });
    expect([soil.depth_in, soil.extractant]).toEqual([8, 'Mehlich-3']);
    expect(started.value.guesses.join('\n')).toContain('column "Wert 1" is K in lb/ac (as told)');
  });

  it('names the columns there are when it is told of one that is not', () => {
    const started = startPlan({
      name: 'x',
      boundary: [sampleFile('boundary.zip')],
      samples: [sampleFile('lab-results.csv')],
      columns: [{ column: 'Potash', is: 'k' }],
    });
    expect(started.problems.at(-1)).toMatchObject({ code: 'start-column', at: { column: 'Potash' } });
    expect(started.problems.at(-1)?.remedy).toContain('K ppm');
  });
});

describe('what a lab table says of itself', () => {
  const startOf = (text: string, more: Partial<StartInput> = {}) => {
    const started = startPlan({
      name: 'x',
      boundary: [sampleFile('boundary.zip')],
      samples: [{ name: 'lab.csv', bytes: encodeUtf8(text) }],
      ...more,
    });
    if (!started.ok) throw new Error(started.problems.map((one) => one.message).join('\n'));
    return { plan: started.value.plan, told: started.value.guesses.join('\n') };
  };

  it('a row without a place is a composite of the field, and its zone', () => {
    const { plan, told } = startOf('K ppm,CEC\n140,12\n');
    expect(plan.zones.method).toBe('composites');
    expect(told).toContain('it stands for the whole field as one zone');
    expect(startOf('ID,K ppm,CEC\n1,140,12\n2,150,12\n').plan.zones.method).not.toBe('composites');
  });

  it('lines of methods and of units under the header are no samples, and are read', () => {
    const { plan, told } = startOf('ID,K,Ca,CEC,pH\n,M3,M3,calc,1:1\n,ppm,ppm,meq/100 g,\n7,140,1200,12,6.5\n');
    expect(plan.soil.extractant).toBe('Mehlich-3');
    expect(plan.soil.sampleColumns.slice(1, 3)).toEqual([
      { column: 'K', is: 'k', unit: 'ppm' },
      { column: 'Ca', is: 'ca', unit: 'ppm' },
    ]);
    expect(told).toContain('column "K" is K in ppm (header "K" with "ppm" under it)');
    expect(told).toContain('extractant of K: Mehlich-3 ("M3" under "K")');
    expect(plan.zones.method).toBe('composites');
  });

  it('takes a word on the extraction over the header, and choices of reading', () => {
    const { plan } = startOf('ID,M3-K ppm,CEC\n1,140,12\n2,150,12\n', {
      extractant: 'ammonium acetate',
      soil: { year: 2024, notDetected: 'zero' },
    });
    expect([plan.soil.extractant, plan.soil.year, plan.soil.notDetected]).toEqual(['ammonium acetate', 2024, 'zero']);
  });

  it('reads columns as they were set for a file with the same headers, unless told otherwise', () => {
    const text = 'Probe,Wert 1,KAP\n1,120,12\n2,130,13\n';
    const remembered = [
      {
        key: headerKey(['Probe', 'Wert 1', 'KAP']),
        on: '2026-03-01',
        columns: [
          { column: 'Probe', is: 'sampleId' as const, unit: 'none' as const },
          { column: 'Wert 1', is: 'k' as const, unit: 'lb/ac' as const, oxide: true, of_in: 8 },
        ],
      },
    ];
    const { plan, told } = startOf(text, { remembered });
    expect(told).toContain('samples: columns as you set them for a file with the same headers on 2026-03-01');
    expect(plan.soil.sampleColumns).toEqual([
      { column: 'Probe', is: 'sampleId', unit: 'none' },
      { column: 'Wert 1', is: 'k', unit: 'lb/ac', oxide: true, of_in: 8 },
      { column: 'KAP', is: 'unused', unit: 'none' },
    ]);
    expect(told).toContain('column "Wert 1" is K as K2O in lb/ac of 8 in. (as you set it on 2026-03-01)');
    const corrected = startOf(text, { remembered, columns: [{ column: 'Wert 1', is: 'k', unit: 'ppm' }] });
    expect(corrected.plan.soil.sampleColumns[1]).toEqual({ column: 'Wert 1', is: 'k', unit: 'ppm', confirmed: true });
    expect(startOf('ID,K ppm\n1,120\n2,130\n', { remembered }).told).not.toContain('as you set');
  });
});
