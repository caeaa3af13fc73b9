import { describe, expect, it } from 'vitest';
import { corn, ratesOf, soilPlan, told } from './ground.ts';

const codesOf = (out: ReturnType<typeof ratesOf>): readonly string[] => [
  ...out.problems.map(({ code }) => code),
  ...out.zones.flatMap(({ problems }) => problems.map(({ code }) => code)),
];

describe('what is said beside a rate', () => {
  it('compares by the extraction that a followed guide goes by', () => {
    const zones = [
      { k_ppm: 150, cec_meq: 12, acres: 20, key: '1' },
      { k_ppm: 260, cec_meq: 12, acres: 20, key: '2' },
    ];
    const converted = ratesOf(
      zones,
      corn({ follows: 'tri-state-2020' }),
      soilPlan({ extractant: 'ammonium acetate' }),
      {
        kExtractant: 'Mehlich-3',
      },
    );
    const direct = ratesOf(zones, corn({ follows: 'tri-state-2020' }), soilPlan({ extractant: 'Mehlich-3' }), {
      kExtractant: 'Mehlich-3',
    });
    const flat = (out: typeof converted) => out.alternatives.find(({ key }) => key === 'flat, same tons');
    expect(flat(converted)?.over_ac).toBeCloseTo(20, 6);
    expect(flat(converted)).toEqual(flat(direct));
  });

  it('leaves ground that is turned off out of every way that is compared', () => {
    const zones = [
      { k_ppm: 80, cec_meq: 12, acres: 20, key: '1' },
      { k_ppm: 80, cec_meq: 12, acres: 20, key: '2' },
    ];
    const half = ratesOf(zones, corn({ zones: { '2': { off: true } } })).alternatives;
    const alone = ratesOf([zones[0] ?? { k_ppm: 80 }], corn()).alternatives;
    expect(half.map(({ key, tons, under_ac }) => [key, tons, under_ac])).toEqual(
      alone.map(({ key, tons, under_ac }) => [key, tons, under_ac]),
    );
  });

  it('names a second product that brings P onto frozen ground', () => {
    const map = { ...corn().product, name: '11-52-2', p2o5_pct: 52, n_pct: 11, k2o_pct: 2 };
    const out = ratesOf(
      [{ k_ppm: 80, cec_meq: 12 }],
      corn({ second: { product: map, gives: { by: 'share of K2O', share_pct: 5 }, where: null } }),
      soilPlan(),
      { ground: told({ spreading: 'winter, frozen or snow-covered' }) },
    );
    const said = [...out.problems, ...out.zones.flatMap(({ problems }) => problems)].find(
      ({ code }) => code === 'rates-frozen',
    );
    expect(said?.message).toContain('11-52-2 holds P');
  });

  it('says that lime could not be looked for where saturation governs by Mehlich-3 without a pH', () => {
    const ask = (ph: number, extractant: 'Mehlich-3' | 'ammonium acetate' | 'not told') =>
      ratesOf([{ k_ppm: 150, cec_meq: 25, ph }], corn({ governs: 'saturation' }), soilPlan({ extractant }));
    expect(codesOf(ask(Number.NaN, 'Mehlich-3'))).toContain('rates-lime-not-known');
    expect(codesOf(ask(6.5, 'Mehlich-3'))).not.toContain('rates-lime-not-known');
    expect(codesOf(ask(Number.NaN, 'ammonium acetate'))).not.toContain('rates-lime-not-known');
    const notTold = ask(7.8, 'not told').zones[0]?.problems.find(({ code }) => code === 'rates-extractant-not-told');
    expect(notTold?.severity).toBe('caution');
  });

  it('says when a budget buys nothing anywhere by its rule', () => {
    const budget = { by: 'tons', amount: 0.5, rule: 'all alike' } as const;
    const zones = [
      { k_ppm: 80, cec_meq: 12, acres: 40, key: '1' },
      { k_ppm: 90, cec_meq: 12, acres: 40, key: '2' },
    ];
    const alike = ratesOf(zones, corn({ budget }));
    expect(alike.totals.product_lb).toBe(0);
    expect(codesOf(alike)).toContain('rates-budget-nothing');
    expect(codesOf(ratesOf(zones, corn({ budget: { ...budget, amount: 8 } })))).not.toContain('rates-budget-nothing');
  });

  it('does not ask to raise the limit that guards the seed', () => {
    const passes = corn().passes.map((pass, i) => (i === 0 ? { ...pass, placement: 'in furrow' as const } : pass));
    const out = ratesOf([{ k_ppm: 80, cec_meq: 12 }], corn({ passes }));
    const said = out.zones[0]?.problems.find(({ code }) => code === 'rates-cap-under-least');
    expect(said?.remedy).toContain('guards the seed');
  });
});
