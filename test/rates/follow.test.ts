import { describe, expect, it } from 'vitest';
import type { RatesSettings } from '../../core/rates/settings.ts';
import { corn, lineOf, ratesOf, soilPlan, zoneRate } from './ground.ts';

const MEHLICH = soilPlan({ extractant: 'Mehlich-3' });
const ACETATE = soilPlan({ extractant: 'ammonium acetate' });
const follow = (follows: string, changes: Partial<RatesSettings> = {}) => corn({ follows, yieldGoal: 180, ...changes });

describe('a plan that follows a published guide', () => {
  // Tri-State 1995 (Bulletin E-2567) at CEC 10, 75 ppm, 180 bu: (100 - 75) x 1.5 + 180 x 0.27 + 20 = 106.1 lb K2O
  const zone = zoneRate({ k_ppm: 75, cec_meq: 10 }, follow('tri-state-1995'), ACETATE);
  it('takes the guide’s K2O in place of lines 1 to 7, and says so in line 6', () => {
    const line = lineOf(zone, 'crop');
    expect(line.label).toBe('Follows Tri-State 1995');
    expect(line.carried).toBeCloseTo(106.1, 9);
    expect(line.source).toContain('E-2567');
    expect(zone.exact_lbPerAc).toBeCloseTo(106.1 / 0.6, 9);
    expect(zone.rate_lbPerAc).toBe(175); // 176.8
  });
  it('keeps the plan’s own lines as working figures', () => {
    const own = zoneRate({ k_ppm: 75, cec_meq: 10 }, corn({ yieldGoal: 180 }), ACETATE);
    for (const key of ['supply', 'targetPpm', 'targetSaturation', 'governs', 'buildUp'] as const)
      expect(lineOf(zone, key)).toEqual(lineOf(own, key));
    expect(lineOf(zone, 'crop').working).toBeCloseTo(lineOf(own, 'crop').carried ?? Number.NaN, 9);
    expect(lineOf(zone, 'aboveRange').carried).toBe(0);
    expect(zone.answers).toMatchObject({
      ppmAlone: own.answers.ppmAlone,
      saturationAlone: own.answers.saturationAlone,
    });
  });
  it('goes on through credits, caps, passes, product and machine as any plan', () => {
    const credits = [
      { kind: 'fertilizer', name: 'fall', k2o_lbPerAc: 40, on: '', afterSample: 'yes', where: null },
    ] as const;
    const lower = zoneRate({ k_ppm: 75, cec_meq: 10 }, follow('tri-state-1995', { credits: [...credits] }), ACETATE);
    expect(lower.exact_lbPerAc).toBeCloseTo(66.1 / 0.6, 9);
    const light = zoneRate({ k_ppm: 25, cec_meq: 5 }, follow('tri-state-1995', { yieldGoal: 180 }), ACETATE);
    expect(lineOf(light, 'crop').carried).toBeCloseTo(146.7, 1); // printed table, CEC 5, 25 ppm
    expect(light.k2o_lbPerAc).toBeLessThanOrEqual(120);
  });
  it('gives maintenance by Tri-State 2020 and nothing above its limit', () => {
    // 180 bu x 0.20 = 36 lb K2O = 60 lb of product; 171 ppm at CEC 6 -> 0
    expect(zoneRate({ k_ppm: 150, cec_meq: 10 }, follow('tri-state-2020'), MEHLICH).rate_lbPerAc).toBe(60);
    expect(zoneRate({ k_ppm: 171, cec_meq: 6 }, follow('tri-state-2020'), MEHLICH).rate_lbPerAc).toBe(0);
  });
  it.each([
    ['no such guide', 'no-such', MEHLICH, 'rates-guide-unknown'],
    ['another extractant', 'tri-state-2020', ACETATE, 'rates-guide-refuses'],
    ['no whole rate below the critical level', 'tri-state-2020', MEHLICH, 'rates-guide-no-rate'],
    ['a formula from memory', 'nebraska', ACETATE, 'rates-guide-not-set'],
  ])('%s: no rate, and why', (_, guide, soil, code) => {
    const withheld = zoneRate({ k_ppm: 75, cec_meq: 10 }, follow(guide), soil);
    expect(withheld.withheld?.code).toBe(code);
    expect(withheld.withheld?.at?.setting).toBe('rates.follows');
    expect(withheld.rate_lbPerAc).toBeNull();
    expect(lineOf(withheld, 'crop').carried).toBeNull();
    expect(withheld.withheld?.message.length).toBeGreaterThan(20);
  });
  it('a typed rate stands where the guide gives none', () => {
    const overrides = [{ zoneKey: '1', rate_lbPerAc: 150, who: 'Ann', when: '', why: 'own trials' }];
    const zoneByHand = zoneRate({ k_ppm: 75, cec_meq: 10 }, follow('tri-state-2020', { overrides }), MEHLICH);
    expect(zoneByHand.rate_lbPerAc).toBe(150);
    expect(zoneByHand.problems.map((one) => one.code)).toContain('rates-by-hand');
  });
  it('asks for no CEC that the guide does not ask for', () => {
    const soil = soilPlan({ extractant: 'field-moist' });
    const iowa = zoneRate({ k_ppm: 70 }, follow('iowa-2013'), soil);
    expect(iowa.withheld).toBeNull();
    expect(lineOf(iowa, 'crop').carried).toBe(90);
  });
  it('sets no rate by a guide for field-moist K where nobody told that K was tested so', () => {
    for (const extractant of ['not told', 'ammonium acetate'] as const) {
      const zone = zoneRate({ k_ppm: 70 }, follow('iowa-2013'), soilPlan({ extractant }));
      expect(zone.withheld?.code).toBe('rates-guide-refuses');
      expect(zone.withheld?.message).toContain('field-moist samples');
    }
  });
  it('gives the guide’s own cautions with its rate', () => {
    const untold = zoneRate({ k_ppm: 150, cec_meq: 10 }, follow('tri-state-2020'), soilPlan());
    const said = untold.problems.filter((one) => one.code === 'rates-guide-caution');
    expect(said.map((one) => one.message)).toEqual([expect.stringContaining('The extractant is not told')]);
  });
  it('is not asked which target governs, nor told that the readings are apart', () => {
    const out = ratesOf([{ k_ppm: 172, cec_meq: 18 }], follow('tri-state-2020', { governsTold: false }), MEHLICH);
    expect(out.problems.map((one) => one.code)).not.toContain('rates-governs-not-told');
    expect(out.zones[0]?.problems.map((one) => one.code)).not.toContain('rates-readings-apart');
  });
  it('never asks for more where K is higher', () => {
    const rates = [20, 60, 100, 110, 130, 140, 160].map(
      (k_ppm) => zoneRate({ k_ppm, cec_meq: 14 }, follow('tri-state-1995'), ACETATE).exact_lbPerAc ?? Number.NaN,
    );
    const known = rates.filter((rate) => !Number.isNaN(rate));
    expect(known.length).toBeGreaterThan(3);
    expect([...known].sort((a, b) => b - a)).toEqual(known);
  });
  it('shares a budget by what the guide asks for', () => {
    const budget = { by: 'tons', amount: 0.5, rule: 'all alike' } as const;
    const out = ratesOf([{ k_ppm: 75, cec_meq: 10 }], follow('tri-state-1995', { budget }), ACETATE);
    expect(out.totals.product_tons).toBeLessThanOrEqual(0.5);
    expect(out.zones[0]?.rate_lbPerAc).toBe(100);
  });
});

it('above the range the remedies do not gainsay the guide that sets the rate', () => {
  const spec = { k_ppm: 150, cec_meq: 2.4 }; // 16 %
  const of = (changes: Partial<RatesSettings>) =>
    zoneRate(spec, corn({ crop: 'corn', yieldGoal: 180, ...changes }), MEHLICH).problems.find(
      (one) => one.code === 'rates-saturation-strong',
    )?.remedy;
  expect(of({})).toContain('Put on no K');
  expect(of({ follows: 'tri-state-2020' })).not.toContain('Put on no K');
  expect(of({ follows: 'tri-state-2020' })).toContain('turn this zone off');
});
