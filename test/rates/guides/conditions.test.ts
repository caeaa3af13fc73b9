import { describe, expect, it } from 'vitest';
import { GUIDES } from '../../../core/rates/guides/list.ts';
import { answerOf, ask, refusalOf } from './ask.ts';

describe('a condition that the ground does not meet is named', () => {
  it.each([
    ['tri-state-1995', 'Mehlich-3', 'It is made for K by ammonium acetate, and the plan says Mehlich-3.'],
    ['tri-state-2020', 'ammonium acetate', 'It is made for K by Mehlich-3, and the plan says ammonium acetate.'],
    ['iowa-2013', 'Mehlich-3', 'It is made for K on field-moist samples, and the plan says Mehlich-3.'],
    [
      'iowa-2013',
      'not told',
      'It is made for K on field-moist samples, which read lower than dried ones, and nobody told how K was tested.',
    ],
    ['tri-state-2020', 'field-moist', 'It is made for K by Mehlich-3, and the plan says field-moist samples.'],
    ['delaware', 'other', 'It is made for K by Mehlich-3, and the plan says another extractant.'],
  ] as const)('%s with %s', (id, extractant, why) => {
    expect(refusalOf(id, { extractant })).toEqual({ ok: false, why, unmet: ['extractant'] });
  });
  it('says where the expected extractant itself is from memory', () => {
    expect(refusalOf('nebraska', { extractant: 'Mehlich-3' }).why).toContain('(from memory, confirm');
  });
  it.each([
    ['tri-state-1995', 12, 'samples 6 to 8 in. deep'],
    ['iowa-2013', 8, 'samples 6 in. deep, and these are 8 in. deep.'],
    ['kansas', 8, 'samples 6 in. deep (from memory, confirm'],
    ['missouri', 8, 'samples 6 to 7 in. deep, and these are 8 in. deep.'],
    ['new-jersey', Number.NaN, 'and these are of a depth not told.'],
  ])('%s at %s in.', (id, depth_in, why) => {
    const refusal = refusalOf(id, { depth_in });
    expect(refusal.unmet).toEqual(['depth']);
    expect(refusal.why).toContain(why);
  });
  it('takes a depth in whole centimetres for its inches: 15 cm is 6 in.', () => {
    expect(ask('iowa-2013', { depth_in: 15 / 2.54 }).ok).toBe(true);
  });
  it.each([
    ['iowa-2013', 'canola', 'It does not cover canola.'],
    ['north-dakota', 'soybean', 'It does not cover soybean.'],
    ['nebraska', 'no-such', 'It does not cover the crop "no-such".'],
    ['kansas', null, 'No crop is told.'],
  ])('%s under %s', (id, crop, why) => {
    expect(refusalOf(id, { crop })).toEqual({ ok: false, why, unmet: ['crop'] });
  });
  it.each(['tri-state-1995', 'tri-state-2020', 'missouri'])('%s without CEC', (id) => {
    expect(refusalOf(id, { cec_meq: Number.NaN })).toEqual({
      ok: false,
      why: 'It goes by CEC, which is not known here.',
      unmet: ['cec'],
    });
  });
  it.each(['tri-state-1995', 'tri-state-2020', 'south-dakota', 'kansas', 'minnesota-2019'])(
    '%s without a yield goal',
    (id) => {
      expect(refusalOf(id, { yieldGoal: null }).unmet).toEqual(['yieldGoal']);
    },
  );
  it('without K every guide but the one by class says so', () => {
    for (const { id } of GUIDES.filter((guide) => guide.id !== 'south-carolina'))
      expect(refusalOf(id, { k_ppm: Number.NaN }).unmet).toEqual(['k']);
  });
  it('South Carolina without a class', () => {
    expect(refusalOf('south-carolina', { crop: 'oats' }).unmet).toEqual(['class']);
  });
  it.each([
    ['tri-state-1995', 4.9, 'printed for CEC 5 to 30, and CEC is 4.9 here'],
    ['tri-state-1995', 30.1, 'printed for CEC 5 to 30, and CEC is 30.1 here'],
    ['minnesota-2019', 4, 'a CEC of 4.0 is that of sand'],
  ])('%s at CEC %s is beyond its validity', (id, cec_meq, why) => {
    const refusal = refusalOf(id, { cec_meq });
    expect(refusal.unmet).toEqual(['validity']);
    expect(refusal.why).toContain(why);
  });
  it('names all that is not met at once', () => {
    const refusal = refusalOf('tri-state-1995', {
      extractant: 'Mehlich-3',
      depth_in: 12,
      cec_meq: Number.NaN,
      yieldGoal: null,
    });
    expect(refusal.unmet).toEqual(['extractant', 'depth', 'cec', 'yieldGoal']);
    expect(refusal.why.split('. ').length).toBeGreaterThanOrEqual(4);
  });
});

describe('cautions', () => {
  it('an extractant that is not told is answered with a caution, a matching one without', () => {
    expect(answerOf('tri-state-2020').cautions).toEqual([
      'The extractant is not told: this holds where the lab tested K by Mehlich-3.',
    ]);
    expect(answerOf('tri-state-2020', { extractant: 'Mehlich-3' }).cautions).toEqual([]);
  });
  it('CEC that Mehlich-3 overstates is told of where a guide goes by CEC (Kansas AES Research Report 7(8))', () => {
    const limy = { ph: 7.8, extractant: 'Mehlich-3' } as const;
    expect(answerOf('tri-state-2020', limy).cautions.join(' ')).toContain('Soil pH is 7.8');
    expect(answerOf('delaware', limy).cautions).toEqual([]);
    expect(answerOf('tri-state-1995', { ph: 7.8, extractant: 'ammonium acetate' }).cautions).toEqual([]);
  });
  it('residue that leaves is not counted by a guide that counts removal', () => {
    const both = { harvest: 'grain and residue', k_ppm: 140 } as const;
    expect(answerOf('tri-state-2020', both).cautions.join(' ')).toContain('grain alone');
    expect(answerOf('tri-state-2020', { ...both, crop: 'alfalfa', yieldGoal: 5 }).cautions.join(' ')).not.toContain(
      'grain alone',
    );
    expect(answerOf('nebraska', both).cautions.join(' ')).not.toContain('grain alone');
  });
  it('sand would not be seen where CEC is not known (Minnesota)', () => {
    expect(answerOf('minnesota-2019', { cec_meq: Number.NaN }).cautions.join(' ')).toContain('sand would not be seen');
  });
});
