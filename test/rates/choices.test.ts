import { describe, expect, it } from 'vitest';
import { makeRates } from '../../core/rates/make.ts';
import type { RatesSettings, ZoneChoices } from '../../core/rates/settings.ts';
import type { OwnLayer } from '../../core/surfaces/types.ts';
import { codes, corn, groundOf, lineOf, ofThePlan, ratesOf, soilPlan, zoneRate } from './ground.ts';

const FLAT = { k_ppm: 172, cec_meq: 18 };
const own = (choices: ZoneChoices, changes: Partial<RatesSettings> = {}) =>
  corn({ zones: { '1': choices }, ...changes });

describe('what a zone does otherwise', () => {
  it.each([
    ['what governs', { governs: 'ppm' }],
    // 2 % of CEC 18 is 141 ppm: not short
    ['a floor', { floor_pct: 2 }],
  ] as const)('%s', (_, choices) => {
    expect(zoneRate(FLAT, own(choices)).rate_lbPerAc).toBe(65);
  });
  it('its goal', () => {
    // removal 20; build-up 263.8 / 4 = 65.96; uptake beyond removal 58: 85.96 lb K2O = 143.3 lb
    const zone = zoneRate(FLAT, own({ yieldGoal: 100 }));
    expect(lineOf(zone, 'crop').carried).toBeCloseTo(85.96, 2);
    expect(zone.rate_lbPerAc).toBe(145);
    expect(lineOf(zone, 'crop').how).toContain("the zone's own goal");
  });
  it('years of build-up', () => {
    expect(lineOf(zoneRate(FLAT, own({ buildUp_years: 1 })), 'crop').carried).toBeCloseTo(40 + 263.8, 1);
  });
  it('the top of its range cuts its own ppm target', () => {
    const zone = zoneRate({ k_ppm: 60, cec_meq: 4.5 }, own({ rangeTop_pct: 6 }));
    expect(lineOf(zone, 'targetPpm').label).toBe('Target by ppm, 106');
  });
  it('its reading', () => {
    const cells = [100, 110, 130, 140].map((k_ppm) => ({ k_ppm, cec_meq: 10 }));
    expect(zoneRate({ k_ppm: 0, cells }, own({ reading: '20th percentile' })).reading.k_ppm).toBe(100);
  });
  it('is said in line 4, and other zones go by the plan', () => {
    const [a, b] = ratesOf([FLAT, FLAT], own({ governs: 'ppm', floor_ppm: 130 })).zones;
    if (!a || !b) throw new Error('no zones');
    expect(lineOf(a, 'governs').how).toContain('for this zone alone: ppm governs, floor 130 ppm');
    expect(lineOf(b, 'governs').how).not.toContain('alone');
    expect([a.rate_lbPerAc, b.rate_lbPerAc]).toEqual([65, 260]);
  });
  it('a choice of what governs is a word on it', () => {
    expect(lineOf(zoneRate(FLAT, own({ governs: 'larger' }, { governsTold: false })), 'governs').how).not.toContain(
      'nobody has said',
    );
  });
  it('acres left short go by its own targets', () => {
    const cells = [140, 160].map((k_ppm) => ({ k_ppm, cec_meq: 10 }));
    expect(zoneRate({ k_ppm: 0, cells }, own({ governs: 'ppm' })).short_ac).toBeCloseTo(5, 9);
    expect(zoneRate({ k_ppm: 0, cells }, own({ governs: 'ppm', floor_ppm: 130 })).short_ac).toBe(0);
  });
  it('its own floor above its own range withholds it, with its letter', () => {
    const zone = zoneRate(FLAT, own({ floor_pct: 7, rangeTop_pct: 6 }));
    expect(zone.withheld).toMatchObject({ code: 'rates-range-order', at: { zone: 'A' } });
  });
  it('for a zone that is not there is kept and said', () => {
    const out = ratesOf([FLAT], corn({ zones: { '7': { governs: 'ppm' } } }));
    expect(out.problems.map((one) => one.code)).toEqual(['rates-choice-no-zone', 'rates-corn-over-120']);
  });
});

describe('a zone turned off', () => {
  it('gets nothing, by choice, and says what stays undone', () => {
    const zone = zoneRate(FLAT, own({ off: true }));
    expect([zone.rate_lbPerAc, zone.exact_lbPerAc, zone.k2o_lbPerAc, zone.cost_perAc, zone.withheld]).toEqual([
      0,
      0,
      0,
      0,
      null,
    ]);
    expect(zone.undone_lbK2OPerAc).toBeCloseTo(156, 9);
    expect(zone.leftBy).toMatchObject({ caps_lbK2OPerAc: 0, choice_lbK2OPerAc: zone.undone_lbK2OPerAc });
    expect(lineOf(zone, 'passes').how).toContain('nothing is spread in this zone, by choice: 156.0 lb K2O left undone');
    expect(codes(zone)).toContain('rates-zone-off');
    expect(codes(zone)).not.toContain('rates-undone');
    expect(zone.path[0]?.applied_lbK2OPerAc).toBe(0);
  });
  it.each(['hold back', 'keep out'] as const)('by its role, %s', (role) => {
    const zone = zoneRate({ ...FLAT, role });
    expect([zone.rate_lbPerAc, zone.withheld]).toEqual([0, null]);
    expect(zone.problems.find((one) => one.code === 'rates-zone-off')?.at).toEqual({
      zone: 'A',
      setting: 'zones.roles',
    });
  });
  it('needs no reading to be left alone', () => {
    const zone = zoneRate({ k_ppm: Number.NaN, cec_meq: 18 }, own({ off: true }));
    expect([zone.rate_lbPerAc, zone.withheld]).toEqual([0, null]);
    expect(zone.problems.find((one) => one.code === 'rates-zone-off')?.message).toContain('is not known');
  });
  it('stands behind a rate typed by hand, and both are told', () => {
    const typed = { zoneKey: '1', rate_lbPerAc: 100, who: '', when: '', why: 'a strip' };
    const zone = zoneRate(FLAT, own({ off: true }, { overrides: [typed] }));
    expect(zone.rate_lbPerAc).toBe(100);
    expect(codes(zone)).toContain('rates-off-by-hand');
  });
});

describe('a yield goal from a layer', () => {
  const layerOf = (values: readonly number[], unit: string): OwnLayer => ({
    id: 'own.yield-25',
    name: 'Yield 2025',
    unit,
    decimals: 0,
    values: Float64Array.from(values),
    known_ac: 20,
    reading: [],
  });
  const cells = [200, 200].map((k_ppm) => ({ k_ppm, cec_meq: 10 }));
  const ratesBy = (values: readonly number[], changes: Partial<RatesSettings> = {}, unit = 'bu/ac') => {
    const rates = corn({ yieldLayer: { layer: 'own.yield-25', factor: 1.1 }, ...changes });
    const specs = [
      { k_ppm: 200, cells },
      { k_ppm: 200, cells },
    ];
    return makeRates(groundOf(specs, soilPlan(), rates, [], { own: [layerOf(values, unit)] }));
  };
  const goals = (out: ReturnType<typeof ratesBy>) =>
    out.zones.map((zone) => Number(((lineOf(zone, 'crop').working ?? Number.NaN) / 0.2).toFixed(6)));

  it('is the mean over the zone x the factor', () => {
    const out = ratesBy([180, 200, 100, Number.NaN]);
    expect(goals(out)).toEqual([209, 110]);
    expect(lineOf(out.zones[0] ?? zoneRate(FLAT), 'crop').how).toContain('the goal is the mean of own.yield-25 x 1.1');
    expect(ofThePlan(out)).toEqual([]);
  });
  it('less than half covered, or without yield, goes by the plan, and that is said', () => {
    const out = ratesBy([Number.NaN, Number.NaN, 0, 0]);
    expect(goals(out)).toEqual([200, 200]);
    expect(ofThePlan(out).map((one) => [one.code, one.at?.zone])).toEqual([
      ['rates-yield-layer-thin', 'A'],
      ['rates-yield-layer-thin', 'B'],
    ]);
  });
  it.each([
    ['bu/ac', []],
    ['Bushels per acre', []],
    ['', []],
    ['t/ha', ['rates-yield-layer-unit']],
  ])('in %s without a factor says %j', (unit, expected) => {
    const out = ratesBy([180, 200, 100, 100], { yieldLayer: { layer: 'own.yield-25', factor: 1 } }, unit);
    expect(ofThePlan(out).map((one) => one.code)).toEqual(expected);
    expect(ofThePlan(ratesBy([180, 200, 100, 100], {}, unit))).toEqual([]);
  });
  it('a zone’s own goal goes over it', () => {
    expect(goals(ratesBy([180, 200, 100, 100], { zones: { '1': { yieldGoal: 150 } } }))).toEqual([150, 110]);
  });
  it('from a layer that is not there is said once, and the plan’s goal stands', () => {
    const out = ratesOf([FLAT, FLAT], corn({ yieldLayer: { layer: 'own.gone', factor: 1 } }));
    expect(out.problems.map((one) => one.code)).toEqual(['rates-yield-layer-missing', 'rates-corn-over-120']);
    expect(goals(out)).toEqual([200, 200]);
    const none = ratesOf([FLAT], corn({ yieldGoal: null, yieldLayer: { layer: 'own.gone', factor: 1 } }));
    expect(none.zones[0]?.withheld).toMatchObject({ code: 'rates-no-yield-goal', at: { zone: 'A' } });
  });
});
