import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { awayFrom, BASES, type Basis, basisOf, basisText, readBasis, takeBasis } from '../../core/rates/basis.ts';
import { guideOf } from '../../core/rates/guides/list.ts';
import { ratesSettingsSchema } from '../../core/rates/settings.ts';
import { corn, deepFreeze, lineOf, soilPlan, zoneRate } from './ground.ts';

const named = (name: string): Basis => {
  const found = BASES.find((one) => one.name === name);
  if (!found) throw new Error(`no basis ${name}`);
  return deepFreeze(found);
};
const field = deepFreeze(
  corn({
    yieldGoal: 180,
    zones: { 1: { off: true } },
    overrides: [{ zoneKey: '2', rate_lbPerAc: 100, who: '', when: '', why: 'x' }],
    budget: { by: 'tons', amount: 9, rule: 'worst first' },
    removal_lbK2OPerUnit: 0.27,
    charge_perAcPerPass: 7,
  }),
);
const values = (text: string): Basis => {
  const read = readBasis(text);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.value;
};
const codes = (text: string): readonly string[] => readBasis(text, 'mine.json').problems.map((one) => one.code);

describe('a basis', () => {
  it('keeps a person’s way of working and nothing of the field', () => {
    const mine = basisOf(field, 'Mine');
    expect(mine.choices).toMatchObject({ charge_perAcPerPass: 7, governs: 'larger', floor_ppm: 150 });
    for (const key of [
      'crop',
      'yieldGoal',
      'thenCrops',
      'zones',
      'overrides',
      'credits',
      'budget',
      'yieldLayer',
      'removal_lbK2OPerUnit',
      'basis',
    ])
      expect(mine.choices).not.toHaveProperty(key);
  });
  it('taken by another plan changes those choices alone, and its name is told', () => {
    const mine = basisOf(
      corn({ floor_ppm: 140, machine: { least_lbPerAc: 30, most_lbPerAc: 400, step_lbPerAc: 10, distinctRates: 6 } }),
      'Mine',
    );
    const taken = takeBasis(field, deepFreeze(mine));
    expect(taken).toMatchObject({
      basis: 'Mine',
      floor_ppm: 140,
      machine: { step_lbPerAc: 10 },
      charge_perAcPerPass: 9,
    });
    for (const key of ['crop', 'yieldGoal', 'zones', 'overrides', 'budget', 'removal_lbK2OPerUnit'] as const)
      expect(taken[key]).toEqual(field[key]);
    expect(ratesSettingsSchema.parse(taken)).toEqual(taken);
  });
  it('taken from a plan and given back changes nothing but its name', () => {
    expect(takeBasis(field, basisOf(field, 'Mine'))).toEqual({ ...field, basis: 'Mine' });
  });
  it('goes through its file unchanged, the same bytes each time', () => {
    for (const one of [...BASES, basisOf(field, 'Mine', 'for light ground')]) {
      expect(values(basisText(one))).toEqual(one);
      expect(basisText(values(basisText(one)))).toBe(basisText(one));
    }
  });
  it('says nothing of what it leaves out: the plan keeps its own', () => {
    const part = values('{"format":"pearlash-basis","version":1,"name":"Short","choices":{"floor_pct":3}}');
    expect(part.choices).toEqual({ floor_pct: 3 });
    expect(takeBasis(field, part)).toEqual({ ...field, floor_pct: 3, basis: 'Short' });
  });
  it('tells in which choices a plan went its own way since', () => {
    const taken = takeBasis(field, named('Both targets'));
    expect(awayFrom(taken, named('Both targets'))).toEqual([]);
    expect(awayFrom({ ...taken, floor_ppm: 130, buildUp_years: 2, yieldGoal: 90 }, named('Both targets'))).toEqual([
      'floor_ppm',
      'buildUp_years',
    ]);
  });
  it('brings a second product for the whole field: where it lies is the field’s own', () => {
    const second = {
      product: corn().product,
      gives: { by: 'share of K2O', share_pct: 20 },
      where: { zoneKeys: ['1'], areaIds: [] },
    } as const;
    const mine = basisOf(corn({ second: { ...second, where: { zoneKeys: ['1'], areaIds: [] } } }), 'Mine');
    expect(mine.choices.second?.where).toBeNull();
    expect(takeBasis(field, mine).second?.gives).toEqual(second.gives);
  });
});

describe('a file that is no basis', () => {
  it.each([
    ['broken', '{"format":', ['basis-json']],
    ['a plan', '{"format":"pearlash-plan","version":1}', ['basis-other']],
    ['a list', '[1,2]', ['basis-other']],
    ['of a later version', '{"format":"pearlash-basis","version":9,"name":"x","choices":{}}', ['basis-newer']],
    ['without a name', '{"format":"pearlash-basis","version":1,"choices":{}}', ['basis-invalid']],
    [
      'with wrong choices',
      '{"format":"pearlash-basis","version":1,"name":"x","choices":{"floor_ppm":-1,"reading":"mode"}}',
      ['basis-invalid', 'basis-invalid'],
    ],
  ])('%s is refused with its reason', (_, text, expected) => {
    expect(readBasis(text).ok).toBe(false);
    expect(codes(text)).toEqual(expected);
  });
  it('with the field’s crop in it is read without it, and says so', () => {
    const text =
      '{"format":"pearlash-basis","version":1,"name":"x","choices":{"crop":"corn","florr":1,"governs":"ppm"}}';
    expect(values(text).choices).toEqual({ governs: 'ppm' });
    expect(codes(text)).toEqual(['basis-unknown-choice', 'basis-unknown-choice']);
  });
  it('never breaks the reader', () => {
    fc.assert(
      fc.property(fc.json(), (text) => {
        const read = readBasis(text);
        expect(read.ok || read.problems.length > 0).toBe(true);
      }),
    );
  });
});

describe('the bases that come with the app', () => {
  it('are three, each with its words', () => {
    expect(BASES.map((one) => one.name)).toEqual([
      'Both targets',
      'By a published guide, saturation shown',
      'Hold and maintain',
    ]);
    for (const one of BASES) expect(one.about.length).toBeGreaterThan(80);
  });
  it('both targets: the larger, as a plan begins', () => {
    const begins = corn({ governsTold: false });
    expect({ ...takeBasis(begins, named('Both targets')), basis: '', governsTold: false }).toEqual(begins);
  });
  it('by a published guide: one that may set a rate, with saturation worked out beside', () => {
    const taken = takeBasis(corn({ yieldGoal: 180 }), named('By a published guide, saturation shown'));
    expect(guideOf(taken.follows ?? '')?.maySetRate).toBe(true);
    const zone = zoneRate({ k_ppm: 150, cec_meq: 12 }, taken, soilPlan({ extractant: 'Mehlich-3' }));
    expect(zone.rate_lbPerAc).toBe(60); // 180 x 0.20 / 0.6
    expect(lineOf(zone, 'targetSaturation').working).toBeGreaterThan(0);
    expect(zone.answers.saturationAlone).toBeGreaterThan(60);
  });
  it('hold and maintain: removal from 120 ppm up, a slow build-up below, saturation governs nothing', () => {
    const taken = takeBasis(corn(), named('Hold and maintain'));
    expect(zoneRate({ k_ppm: 130, cec_meq: 25 }, taken).k2o_lbPerAc).toBeCloseTo(39, 9); // 40 lb K2O as 65 lb
    const low = zoneRate({ k_ppm: 90, cec_meq: 12 }, taken);
    expect(lineOf(low, 'buildUp').working).toBeCloseTo((30 * 2.4092) / 8, 2);
  });
});
