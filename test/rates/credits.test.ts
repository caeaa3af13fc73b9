import { describe, expect, it } from 'vitest';
import { cameAfter, credited, kInWater_lbPerAc } from '../../core/rates/credits.ts';
import type { Credit } from '../../core/rates/settings.ts';
import { codes, corn, lineOf, ofThePlan, ratesOf, soilPlan, told, zoneRate } from './ground.ts';

const GROUND = { k_ppm: 200, cec_meq: 10 }; // not short: 40 lb K2O for 200 bu of corn
const SAMPLED = { ground: told({ sampledOn: '2026-04-10' }) };
const manure = (changes: Partial<Extract<Credit, { kind: 'manure' }>> = {}) => ({
  kind: 'manure' as const,
  name: 'barn manure',
  rate_perAc: 5,
  rateUnit: 'ton' as const,
  k2o_lbPerUnit: 8,
  analysis: 'lab report of May',
  availability_pct: 90,
  method: 'broadcast' as const,
  on: '2026-10-01',
  afterSample: 'by date' as const,
  where: null,
  ...changes,
});
const fertilizer = (k2o_lbPerAc: number, changes: object = {}) => ({
  kind: 'fertilizer' as const,
  name: 'fall spread',
  k2o_lbPerAc,
  on: '2026-10-01',
  afterSample: 'by date' as const,
  where: null,
  ...changes,
});
const withCredits = (...credits: Credit[]) => corn({ credits });

describe('what a credit holds', () => {
  it('an inch of water with 1 mg/L of K is 0.2266 lb K an acre (102,790 L; 453,592 mg)', () => {
    // 43,560 ft2 / 12 x 28.316847 L = 102,790.15 L; / 453,592.37
    expect(kInWater_lbPerAc(1, 1)).toBeCloseTo(0.22661, 5);
    expect(kInWater_lbPerAc(10, 5)).toBeCloseTo(11.33, 2);
  });
  it('manure: 5 ton x 8 lb x 90 % = 36 lb K2O (90 % in the first year: University of Minnesota, second-hand)', () => {
    const zone = zoneRate(GROUND, withCredits(manure()), soilPlan(), SAMPLED);
    expect(lineOf(zone, 'credits')).toMatchObject({ working: 36, carried: -36 });
    expect(lineOf(zone, 'credits').how).toBe(
      'barn manure: 5 x 8 lb K2O per ton (lab report of May) x 90 % available, broadcast = 36.0',
    );
    expect(zone.exact_lbPerAc).toBeCloseTo((40 - 36) / 0.6, 9);
  });
  it('water counts without a day, since it comes with the season', () => {
    const water: Credit = { kind: 'irrigation water', name: 'well', water_in: 10, k_mgPerL: 5, where: null };
    const zone = zoneRate(GROUND, withCredits(water));
    expect(lineOf(zone, 'credits').working).toBeCloseTo(11.33 * 1.2046, 1);
    expect(codes(zone)).not.toContain('rates-credit-undated');
  });
  it('each is listed, and their sum is taken off', () => {
    const zone = zoneRate(GROUND, withCredits(manure(), fertilizer(3)), soilPlan(), SAMPLED);
    expect(lineOf(zone, 'credits').how).toContain('fall spread: 3 lb K2O/ac = 3.0');
    expect(lineOf(zone, 'credits').carried).toBe(-39);
  });
});

describe('only what came after the sample counts', () => {
  it.each([
    ['2026-10-01', '2026-04-10', 'yes'],
    ['2026-04-10', '2026-04-10', 'no'], // the same day is in the test or not: not counted
    ['2026-03-01T08:00', '2026-04-10', 'no'],
    ['', '2026-04-10', 'unknown'],
  ] as const)('put on "%s", sampled %s: %s', (on, sampled, expected) => {
    expect(cameAfter(on, { on: sampled, years: null })).toBe(expected);
  });
  it.each([
    ['2026-01-01', 'yes'],
    ['2025-06-01', 'unknown'], // in a year of the tests
    ['2023-06-01', 'no'],
  ] as const)('put on %s with tests of 2024 and 2025: %s', (on, expected) => {
    expect(cameAfter(on, { on: '', years: { first: 2024, last: 2025 } })).toBe(expected);
    expect(cameAfter(on, { on: '', years: null })).toBe('unknown');
  });
  it('goes by the year of the tests where no day of sampling is told', () => {
    const zone = zoneRate(GROUND, withCredits(manure()), soilPlan(), { years: [2025, 2025] });
    expect(lineOf(zone, 'credits').carried).toBe(-36);
    expect(
      lineOf(zoneRate(GROUND, withCredits(manure()), soilPlan(), { years: [2025, null] }), 'credits').carried,
    ).toBe(0);
  });
  it('without days it is not counted, and that is said', () => {
    const zone = zoneRate(GROUND, withCredits(manure({ on: '' })));
    expect(lineOf(zone, 'credits')).toMatchObject({ working: 0, carried: 0 });
    expect(lineOf(zone, 'credits').how).toContain('not counted: nobody told whether it came after the sample');
    const said = zone.problems.find((one) => one.code === 'rates-credit-undated');
    expect(said?.at).toEqual({ setting: 'rates.credits' }); // without a letter, so that it is said once
  });
  it('before the sample it is in the test, and nothing is to be done', () => {
    const zone = zoneRate(GROUND, withCredits(manure({ on: '2026-01-01' })), soilPlan(), SAMPLED);
    expect(lineOf(zone, 'credits').how).toContain('taken to be in the test');
    expect(codes(zone)).not.toContain('rates-credit-undated');
  });
  it('a word goes over the days', () => {
    const zone = zoneRate(GROUND, withCredits(manure({ on: '2026-01-01', afterSample: 'yes' })), soilPlan(), SAMPLED);
    expect(lineOf(zone, 'credits').carried).toBe(-36);
    const no = zoneRate(GROUND, withCredits(manure({ afterSample: 'no' })), soilPlan(), SAMPLED);
    expect(lineOf(no, 'credits').carried).toBe(0);
  });
});

describe('more than the year asks for', () => {
  const zone = zoneRate(GROUND, withCredits(fertilizer(70)), soilPlan(), SAMPLED);
  it('gives nothing, and the rest counts next year', () => {
    expect(lineOf(zone, 'credits')).toMatchObject({ working: 70, carried: -40 });
    expect([zone.rate_lbPerAc, zone.carriedOver_lbK2OPerAc, zone.undone_lbK2OPerAc]).toEqual([0, 30, 0]);
    expect(codes(zone)).toContain('rates-credit-over');
  });
  it('and is used up in the years ahead', () => {
    expect(zone.path.slice(0, 3).map((year) => [year.applied_lbK2OPerAc, year.credited_lbK2OPerAc])).toEqual([
      [0, 40],
      // 10 lb K2O = 16.7 lb of product, under half of the machine's least
      [0, 30],
      [39, 0],
    ]);
  });
  it('never makes K2O this year negative, and what is not known stays so', () => {
    expect(credited([], 40)).toEqual({ all_lbK2OPerAc: 0, used_lbK2OPerAc: 0, carriedOver_lbK2OPerAc: 0 });
    const none = zoneRate(GROUND, corn({ crop: null, credits: [fertilizer(70)] }), soilPlan(), SAMPLED);
    expect(lineOf(none, 'credits').carried).toBeNull();
    expect([none.withheld?.code, none.carriedOver_lbK2OPerAc]).toEqual(['rates-no-crop', 0]);
  });
});

describe('where a credit lies', () => {
  it('in named zones only', () => {
    const on = { zoneKeys: ['2'], areaIds: [] };
    const out = ratesOf([GROUND, GROUND], withCredits(fertilizer(20, { where: on })), soilPlan(), SAMPLED);
    expect(out.zones.map((zone) => lineOf(zone, 'credits').carried)).toEqual([0, -20]);
    expect(lineOf(out.zones[0] ?? zoneRate(GROUND), 'credits').how).toBe('none entered for this zone');
  });
  it('in a zone or area that is not there is said once', () => {
    const on = { zoneKeys: ['9'], areaIds: ['gone'] };
    const out = ratesOf([GROUND, GROUND], withCredits(fertilizer(20, { where: on })), soilPlan(), SAMPLED);
    expect(ofThePlan(out).map((one) => one.code)).toEqual(['rates-credit-nowhere']);
    expect(out.problems[0]?.message).toContain('zone 9, area gone');
    const nowhere = withCredits(fertilizer(20, { where: { zoneKeys: [], areaIds: [] } }));
    expect(ratesOf([GROUND], nowhere).problems[0]?.message).toContain('counts nowhere');
  });
});
