import { describe, expect, it } from 'vitest';
import { UNITS_OF } from '../../core/soil/guess.ts';
import { groundHistorySchema } from '../../core/soil/history.ts';
import type { RememberedMapping } from '../../core/soil/mapping-memory.ts';
import type { ColumnUse } from '../../core/soil/settings.ts';
import { isSameUse } from '../../core/soil/standing-doubts.ts';
import { placeOfSetting } from '../../renderer/commands/places.ts';
import { historyWords, judgeDay } from '../../renderer/panels/GroundFields.tsx';
import { needsMore } from '../../renderer/panels/LabHead.tsx';
import { ROLE_OPTIONS, roleChoice, roleWord, unitWord, withRole } from '../../renderer/panels/soil-columns.ts';
import { howRead } from '../../renderer/store/how-read.ts';
import { wasConfirmed } from '../../renderer/store/mappings.ts';
import { deepFreeze } from '../freeze.ts';

const use = (change: Partial<ColumnUse>): ColumnUse => deepFreeze({ column: 'K', is: 'k', unit: 'ppm', ...change });

describe('what a column can be', () => {
  it('offers the oxide beside each cation, and nowhere else', () => {
    const oxides = ROLE_OPTIONS.filter(({ value }) => value.endsWith(' oxide')).map(({ label }) => label);
    expect(oxides).toEqual(['K as K₂O', 'Ca as CaO', 'Mg as MgO', 'Na as Na₂O']);
  });
  it('goes from element to oxide and back without a trace', () => {
    const oxide = withRole(use({}), 'k oxide');
    expect(oxide).toEqual({ column: 'K', is: 'k', unit: 'ppm', oxide: true });
    expect(roleChoice(oxide)).toBe('k oxide');
    expect(withRole(oxide, 'k')).toEqual(use({}));
    expect(withRole(oxide, 'ph')).toEqual(use({ is: 'ph' }));
  });
  it('is said in words', () => {
    expect([roleWord('k', true), roleWord('sampleId'), roleWord('ph')]).toEqual(['K as K₂O', 'Sample id', 'pH']);
    expect(unitWord(use({ unit: 'lb/ac', of_in: 8 }))).toBe('lb/ac of 8 in');
    expect(unitWord(use({ unit: 'none' }))).toBe('');
  });
  it('needs a depth where its unit counts the ground', () => {
    expect(needsMore(use({ unit: 'kg/ha' }), [])).toBe(true);
    expect(needsMore(use({ unit: 'mg/100 g' }), [])).toBe(false);
    expect(unitWord(use({ unit: 'kg/ha', of_in: 8 }))).toBe('kg/ha of 8 in');
    expect(UNITS_OF.k).toEqual(expect.arrayContaining(['g/kg', 'mg/100 g', 'kg/ha', 'mmolc/kg', 'mmol/kg']));
  });
  it('was confirmed only as it stood then', () => {
    const known: RememberedMapping = deepFreeze({
      key: 'a'.repeat(64),
      on: '2026-03-01',
      role: 'samples',
      columns: [use({}), { column: 'Ca', is: 'ca', unit: 'ppm' }],
      confirmed: ['K'],
    });
    expect(wasConfirmed(known, use({}))).toBe(true);
    expect(wasConfirmed(known, use({ unit: 'lb/ac' }))).toBe(false);
    expect(wasConfirmed(known, { column: 'Ca', is: 'ca', unit: 'ppm' })).toBe(false);
    expect(wasConfirmed(undefined, use({}))).toBe(false);
  });
  it('is the same only with the same oxide and depth', () => {
    expect(isSameUse(use({ oxide: false }), use({}))).toBe(true);
    expect(isSameUse(use({ oxide: true }), use({}))).toBe(false);
    expect(isSameUse(use({ unit: 'lb/ac', of_in: 8 }), use({ unit: 'lb/ac' }))).toBe(false);
  });
});

describe('place of a setting of soil and ground', () => {
  it.each([
    ['soil.pointColumns', 'soil', 'points'],
    ['soil.sampleColumns.K', 'soil', 'table'],
    ['soil.year', 'soil', 'reading'],
    ['soil.sampleTable', 'soil', 'reading'],
    ['soil.sameIds', 'soil', 'reading'],
    ['soil.decisions', 'soil', 'aside'],
    ['soil.scooped_gPerCm3', 'soil', 'about'],
    ['ground.areas', 'field', 'ground'],
    ['field.setbacks.0', 'field', 'setbacks'],
    ['field.crs', 'field', 'area'],
  ])('%s', (setting, panel, tab) => expect(placeOfSetting(setting)).toEqual({ panel, tab }));
});

describe('how a file was read', () => {
  it('is one sentence a file, without what the columns and counts above say', () => {
    const told = [
      'lab.csv: 9 rows read, 8 kept, 1 set aside.',
      'lab.csv: cells apart by comma',
      'lab.csv: decimal point.',
    ];
    expect(howRead(deepFreeze([...told, 'Columns: K from "K".', 'CEC: the lab’s for 8 samples.']))).toEqual([
      'lab.csv: cells apart by comma; decimal point.',
      'CEC: the lab’s for 8 samples.',
    ]);
  });
});

describe('what is told of the ground', () => {
  it('is said in a few words, and what is not told is not said', () => {
    expect(historyWords(groundHistorySchema.parse({}))).toBe('');
    expect(historyWords(groundHistorySchema.parse({ manure: 'most years', water: 'irrigated', slope_pct: 4 }))).toBe(
      'manure most years · irrigated · slope 4.0 %',
    );
  });
  it.each(['2026-02-30', '2026-13-01', '25.11.2026', 'spring'])('%s is no day', (text) =>
    expect(judgeDay(text)).toMatch(/\.$/),
  );
  it.each(['', '2024-02-29', '2026-11-25'])('%j is one, or none', (text) => expect(judgeDay(text)).toBeNull());
});
