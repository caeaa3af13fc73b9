import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { K2O_PER_K } from '../../core/base/units.ts';
import { movesOf, planInYear, testAfter } from '../../core/rates/path.ts';
import type { FollowingCrop } from '../../core/rates/settings.ts';
import { codes, corn, ratesOf, soilPlan, zoneRate } from './ground.ts';

const following = (crop: string, yieldGoal: number, changes: Partial<FollowingCrop> = {}): FollowingCrop => ({
  crop,
  yieldGoal,
  harvest: 'grain',
  residueShare_pct: 100,
  removal_lbK2OPerUnit: null,
  uptake_lbK2OPerUnit: null,
  ...changes,
});

describe('lb K2O that move the test by a ppm', () => {
  it.each([
    // 2 lb K a ppm x 1.2046; 4 x (1 + 0.05 CEC): Ohio State University on Tri-State Bulletin E-2567
    [10, 2.41, 6],
    [20, 2.41, 8],
    [30, 2.41, 10],
    [5, 2.41, 6], // beyond what is printed the nearer end
    [45, 2.41, 10],
  ])('at CEC %s: %s by stoichiometry, %s in print', (cec_meq, least, most) => {
    const moves = movesOf(2, cec_meq);
    expect(moves.lbK2OPerPpm).toBeCloseTo(2.409, 3);
    expect(moves.least_lbK2OPerPpm).toBeCloseTo(least, 2);
    expect(moves.most_lbK2OPerPpm).toBeCloseTo(most, 9);
  });
  it('both ends where CEC is not known', () => {
    expect(movesOf(2, Number.NaN)).toMatchObject({ most_lbK2OPerPpm: 10, least_lbK2OPerPpm: 2 * K2O_PER_K });
  });
  it('a test never falls below 0', () => {
    expect(testAfter(5, -100, 2.41)).toBe(0);
  });
});

describe('the years ahead of the heavy flat: 172 ppm at CEC 18', () => {
  // takes 263.8 lb K2O; years 1 and 2 give 156 (260 lb), of which 40 leave each year
  const zone = zoneRate({ k_ppm: 172, cec_meq: 18 });
  const ppm = 2 * K2O_PER_K;

  it('worked by hand: the uptake goes on while it is short, then removal', () => {
    const [one, two, three, four] = zone.path;
    expect(one?.k_ppm).toBeCloseTo(172 + 116 / ppm, 6); // 220.1
    expect(two?.k_ppm).toBeCloseTo(172 + 232 / ppm, 6); // 268.3, and the target is 281.5
    expect(three?.applied_lbK2OPerAc).toBe(156);
    // 316.4 ppm is above the target: removal, 65 lb of 0-0-60 = 39 lb K2O
    expect(four?.applied_lbK2OPerAc).toBe(39);
    expect(four?.k_ppm).toBeCloseTo(172 + (3 * 116 - 1) / ppm, 6);
    expect(zone.path).toHaveLength(4);
  });
  it('saturation follows, and the band runs to the field factor of 7.6 lb a ppm', () => {
    const [one] = zone.path;
    expect(one?.kSat_pct).toBeCloseTo((100 * (one?.k_ppm ?? 0)) / 390.98 / 18, 9);
    expect(one?.kLow_ppm).toBeCloseTo(172 + 116 / 7.6, 6);
    expect(one?.kHigh_ppm).toBe(one?.k_ppm);
    expect(one?.kSatLow_pct).toBeCloseTo((100 * (172 + 116 / 7.6)) / 390.98 / 18, 6);
  });
  it('this year’s end is what `next` says, and without any K the removal draws it down', () => {
    expect(zone.next?.plan.k_ppm).toBeCloseTo(zone.path[0]?.k_ppm ?? Number.NaN, 9);
    expect(zone.next?.none.k_ppm).toBeCloseTo(172 - 40 / ppm, 6);
    expect(zone.next?.none.removalYears).toBe(0);
  });
});

describe('banked years next year', () => {
  it('200 ppm at CEC 10: one year of removal less without K, the same with removal put on', () => {
    // 156.4 ppm is the target: (200 - 156.4) x 2.409 / 40 = 2.63
    const { next, removalYearsAboveFloor } = zoneRate({ k_ppm: 200, cec_meq: 10 });
    expect(next?.none.removalYears).toBeCloseTo((removalYearsAboveFloor ?? 0) - 1, 9);
    expect(next?.plan.removalYears).toBeCloseTo((removalYearsAboveFloor ?? 0) - 1 / 40, 9); // 39 of 40 lb
  });
  it('light ground has no bank, before or after', () => {
    const { next } = zoneRate({ k_ppm: 400, cec_meq: 4.5 });
    expect([next?.none.removalYears, next?.plan.removalYears]).toEqual([0, 0]);
  });
});

describe('rotation', () => {
  const rates = corn({ thenCrops: [following('soybean', 60), following('winter-wheat', 80)], land_years: 5 });
  it('starts over after its last crop', () => {
    const { path } = zoneRate({ k_ppm: 220, cec_meq: 10 }, rates);
    expect(path.map((year) => year.crop)).toEqual(['Corn', 'Soybean', 'Winter wheat', 'Corn', 'Soybean']);
    // 200 x 0.20, 60 x 1.20 (IPNI 2014), 80 x 0.25 (Tri-State 2020)
    expect(path.map((year) => Math.round(year.removed_lbK2OPerAc))).toEqual([40, 72, 20, 40, 72]);
  });
  it('changes nothing of this year', () => {
    const ground = { k_ppm: 120, cec_meq: 18 };
    expect(zoneRate(ground, rates).rate_lbPerAc).toBe(zoneRate(ground).rate_lbPerAc);
  });
  it('spreads what is left of the build-up over the years left of it', () => {
    expect([1, 2, 4, 9].map((year) => planInYear(corn(), year).buildUp_years)).toEqual([4, 3, 1, 1]);
    expect(planInYear(rates, 3)).toMatchObject({ crop: 'winter-wheat', yieldGoal: 80 });
  });
  it('covers build-up, land and rotation, whichever is longest', () => {
    expect(zoneRate({ k_ppm: 120, cec_meq: 18 }, corn({ buildUp_years: 7 })).path).toHaveLength(7);
    const long = corn({ thenCrops: [following('soybean', 60)], land_years: 1, buildUp_years: 1 });
    expect(zoneRate({ k_ppm: 120, cec_meq: 18 }, long).path).toHaveLength(2);
  });
  it('with a crop that cannot be worked shows no years ahead, and says why', () => {
    const odd = corn({ thenCrops: [following('moss', 3), following('canola', 50, { harvest: 'grain and residue' })] });
    const out = ratesOf([{ k_ppm: 120, cec_meq: 18 }], odd);
    expect(out.zones[0]?.path).toEqual([]);
    expect(out.zones[0]?.rate_lbPerAc).toBe(260);
    expect(out.problems.map((one) => one.code)).toEqual(['rates-then-crop', 'rates-then-crop', 'rates-corn-over-120']);
  });
});

describe('a build-up by typed targets reaches them', () => {
  it('in the years it was given, where neither cap nor uptake stands in the way', () => {
    // silage: the whole plant leaves; heavy ground has no cap a year
    const rates = corn({ crop: 'corn-silage', yieldGoal: 5, buildUp_years: 3, land_years: 3 });
    const { path } = zoneRate({ k_ppm: 200, cec_meq: 20 }, rates);
    expect(path[2]?.k_ppm).toBeGreaterThan(0.04 * 20 * 390.98 - 3);
    expect(path[2]?.k_ppm).toBeLessThan(0.04 * 20 * 390.98 + 3);
  });
  it('K put on, credited and removed makes the change of the test, in every path (law)', () => {
    const any = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        any(60, 500),
        any(3, 35),
        any(60, 250),
        fc.integer({ min: 1, max: 6 }),
        (k, cec, yieldGoal, years) => {
          const zone = zoneRate({ k_ppm: k, cec_meq: cec }, corn({ yieldGoal, buildUp_years: years }));
          let net = 0;
          for (const year of zone.path) {
            net += year.applied_lbK2OPerAc + year.credited_lbK2OPerAc - year.removed_lbK2OPerAc;
            expect(year.k_ppm).toBeCloseTo(k + net / (2 * K2O_PER_K), 6);
            expect(year.kLow_ppm).toBeLessThanOrEqual(year.k_ppm + 1e-9);
            expect(year.kHigh_ppm).toBeGreaterThanOrEqual(year.k_ppm - 1e-9);
          }
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe('where no rate is given', () => {
  it('no years ahead are shown, and nothing of next year', () => {
    const zone = zoneRate({ k_ppm: Number.NaN, cec_meq: 12 });
    expect([zone.path, zone.next]).toEqual([[], null]);
    expect(codes(zone)).not.toContain('rates-just-short');
  });
});

describe('with what else a plan may hold', () => {
  const ground = { k_ppm: 172, cec_meq: 18 };
  it('a budget holds this year back and no later one', () => {
    const broke = zoneRate(ground, corn({ budget: { by: 'dollars', amount: 0, rule: 'all alike' } }));
    expect(broke.path.map((year) => year.applied_lbK2OPerAc).slice(0, 2)).toEqual([0, 156]);
  });
  it('a followed guide is asked again each year, on the soil of that year', () => {
    const soil = soilPlan({ extractant: 'Mehlich-3' });
    const rates = corn({ follows: 'tri-state-2020' });
    const zone = zoneRate({ k_ppm: 168, cec_meq: 10 }, rates, soil);
    expect(zone.withheld).toBeNull();
    // maintenance to 170 ppm is removal, 200 x 0.20
    expect(zone.path.every((year) => year.applied_lbK2OPerAc === 39)).toBe(true);
    const above = zoneRate({ k_ppm: 175, cec_meq: 10 }, rates, soil);
    // 175 and 158.4 after one harvest of 40 lb: nothing, then removal
    expect(above.path.slice(0, 2).map((year) => year.applied_lbK2OPerAc)).toEqual([0, 39]);
  });
  it('a guide goes by what the K was converted to, lime by what the lab used', () => {
    const soil = soilPlan({ extractant: 'ammonium acetate' });
    const rates = corn({ follows: 'tri-state-2020' });
    expect(zoneRate({ k_ppm: 150, cec_meq: 10 }, rates, soil).withheld?.code).toBe('rates-guide-refuses');
    const converted = zoneRate({ k_ppm: 150, cec_meq: 10 }, rates, soil, { kExtractant: 'Mehlich-3' });
    expect([converted.withheld, converted.rate_lbPerAc]).toEqual([null, 65]);
    const limy = { k_ppm: 160, cec_meq: 30, ph: 7.8 };
    expect(zoneRate(limy, corn(), soil, { kExtractant: 'Mehlich-3' }).governing).toBe('saturation');
  });
  it('that cannot be worked under a followed guide are told, with the reason', () => {
    const plan = (...crops: string[]) =>
      corn({ follows: 'tri-state-2020', thenCrops: crops.map((crop) => following(crop, 20)) });
    const soil = soilPlan({ extractant: 'Mehlich-3' });
    const zone = zoneRate({ k_ppm: 150, cec_meq: 10 }, plan('sugar-beet'), soil);
    expect([zone.withheld, zone.path]).toEqual([null, []]);
    const found = zone.problems.find((one) => one.code === 'rates-path-stops');
    expect(found?.severity).toBe('note');
    expect(found?.message).toMatch(
      /years ahead of zone A are not shown: year 2, sugar beet at 150 ppm.*Tri-State 2020/,
    );
    const kept = zoneRate({ k_ppm: 150, cec_meq: 10 }, plan(), soil);
    expect(kept.path).toHaveLength(4);
    expect(codes(kept)).not.toContain('rates-path-stops');
  });
});
