import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isMachineRate, leastStep_lbPerAc, toMachine, usable_lbPerAc } from '../../core/rates/machine.ts';
import { splitByHand } from '../../core/rates/override.ts';
import { passCaps, roundPasses, splitPasses } from '../../core/rates/passes.ts';
import { codes, corn, lineOf, zoneRate } from './ground.ts';

const MACHINE = { least_lbPerAc: 50, most_lbPerAc: 800, step_lbPerAc: 5, distinctRates: null };
const BROADCAST = { mostReason: '', placement: 'broadcast', row_in: 30 } as const;
const BEFORE = { name: 'before the season', inSeason: false, most_lbPerAc: 500, ...BROADCAST };
const SEASON = { name: 'in season', inSeason: true, most_lbPerAc: 200, ...BROADCAST };
const LIGHT = { name: 'light', under_meq: 8, perYear_lbK2OPerAc: 120, perPass_lbK2OPerAc: 60, light: true };
const HEAVY = { name: 'heavy', under_meq: null, perYear_lbK2OPerAc: null, perPass_lbK2OPerAc: null, light: false };
const ROW = { crop: 'corn', sandy: false, clay: false };

describe('a rate as the machine spreads it', () => {
  it.each([
    [333.3, 500, 335],
    [332.4, 500, 330],
    [332.5, 500, 335], // half a step goes up
    [24.9, 500, 0], // under half the least
    [25, 500, 50],
    [49, 500, 50],
    [98, 98, 95], // nearest would be 100: a cap is never passed by rounding
    [600, 333, 330],
    [60 / 0.6, 60 / 0.6, 100],
    [45, 49, 0], // what the cap leaves is under the least rate
    [0, 500, 0],
  ])('%s under a cap of %s becomes %s', (rate, cap, expected) => {
    expect(toMachine(rate, cap, MACHINE)).toBe(expected);
  });
  it('rounds the least rate up and the most rate down to whole steps', () => {
    const odd = { ...MACHINE, least_lbPerAc: 52, most_lbPerAc: 333 };
    expect(leastStep_lbPerAc(odd)).toBe(55);
    expect(usable_lbPerAc(Infinity, odd)).toBe(330);
    expect(toMachine(51, 500, odd)).toBe(55);
  });
  it('has no dust in steps of a tenth', () => {
    expect(toMachine(100.26, 500, { ...MACHINE, step_lbPerAc: 0.1 })).toBe(100.3);
  });
});

describe('sharing over the passes', () => {
  const split = (total: number, holding: typeof LIGHT | typeof HEAVY, grade = 60, passes = [BEFORE, SEASON]) => {
    const caps = passCaps(passes, holding, { n_pct: 0, k2o_pct: grade }, MACHINE, ROW);
    const shared = splitPasses(total, caps, holding.light, 50);
    const year = holding.perYear_lbK2OPerAc === null ? Infinity : holding.perYear_lbK2OPerAc / (grade / 100);
    return { ...shared, rates: roundPasses(shared, caps, year, MACHINE) };
  };

  it.each([
    [260, [260, 0], 0],
    [560, [500, 60], 0],
    [715, [500, 200], 15],
  ])('heavy ground, %s lb: %j, %s left', (total, parts, left) => {
    expect(split(total, HEAVY)).toMatchObject({ parts_lbPerAc: parts, left_lbPerAc: left });
  });
  it.each([
    [200, [100, 100], 0], // both at the cap of 60 lb K2O
    [150, [75, 75], 0],
    [90, [0, 90], 0], // a half would be under the least rate: all in season
    [230, [100, 100], 30],
  ])('light ground, %s lb: %j, %s left', (total, parts, left) => {
    expect(split(total, LIGHT)).toMatchObject({ parts_lbPerAc: parts, left_lbPerAc: left });
  });
  it('comes back to the first pass where the season one is full', () => {
    const roomy = { ...LIGHT, perPass_lbK2OPerAc: 240, perYear_lbK2OPerAc: 240 };
    expect(split(400, roomy).parts_lbPerAc).toEqual([200, 200]);
    expect(split(400, roomy, 60, [BEFORE, { ...SEASON, most_lbPerAc: 120 }]).parts_lbPerAc).toEqual([280, 120]);
  });
  it('hands on what rounding the first pass left, and stays under the year cap', () => {
    // 0-0-62: 60 lb K2O = 96.77 lb, 120 = 193.5; 95 + 95
    expect(split(120 / 0.62, LIGHT, 62).rates).toEqual([95, 95]);
    // 166 lb in halves of 83: 85, then 81 becomes 80
    expect(split(166, LIGHT).rates).toEqual([85, 80]);
    // year cap 100 lb K2O = 166.7 lb: 85 + 85 would pass it
    expect(split(166.6, { ...LIGHT, perYear_lbK2OPerAc: 100 }).rates).toEqual([85, 80]);
  });
  it.each([
    [520, [470, 50]],
    [503, [455, 50]],
    [502, [500, 0]],
    [530, [480, 50]],
    [560, [500, 60]],
  ])('%s lb under a cap of 500: the first pass gives up what the second lacks, %j', (total, rates) => {
    expect(split(total, HEAVY, 30).rates).toEqual(rates);
  });
  it('counts what the machine cannot put on as undone, and says so', () => {
    // 8.4 lb K2O asked for = 14 lb of 0-0-60, under half the least rate of 50
    const zone = zoneRate({ k_ppm: 480, cec_meq: 11 });
    expect([zone.rate_lbPerAc, zone.undone_lbK2OPerAc]).toEqual([0, expect.closeTo(8.39, 1)]);
    expect(codes(zone)).toEqual(expect.arrayContaining(['rates-undone', 'rates-machine-changes']));
  });
  it('leaves out a pass whose cap is under the least rate, and says so', () => {
    const passes = [BEFORE, { ...SEASON, most_lbPerAc: 40 }];
    const zone = zoneRate({ k_ppm: 70, cec_meq: 4.5 }, corn({ passes }));
    expect(zone.passes.map((pass) => pass.rate_lbPerAc)).toEqual([100, 0]);
    expect(codes(zone)).toEqual(expect.arrayContaining(['rates-cap-under-least', 'rates-light-no-season']));
    expect(lineOf(zone, 'passes').how).toContain('in season not used, 40 lb product is under the least rate of 50 lb');
  });
  it('says where the only pass is not in season on light ground', () => {
    const zone = zoneRate({ k_ppm: 70, cec_meq: 4.5 }, corn({ passes: [BEFORE] }));
    expect(zone.passes.map((pass) => pass.rate_lbPerAc)).toEqual([100]);
    expect(zone.undone_lbK2OPerAc).toBeCloseTo(36 + 60, 9);
    expect(codes(zone)).toContain('rates-light-no-season');
    const season = zoneRate({ k_ppm: 70, cec_meq: 4.5 }, corn({ passes: [SEASON] }));
    expect(codes(season)).not.toContain('rates-light-no-season');
    expect(lineOf(season, 'passes').how).toContain('the only one of the plan');
  });
  it('keeps a pass to the machine’s most and hands on the rest', () => {
    const machine = { ...MACHINE, most_lbPerAc: 200 };
    const zone = zoneRate({ k_ppm: 172, cec_meq: 18 }, corn({ machine }));
    expect(zone.passes.map((pass) => pass.rate_lbPerAc)).toEqual([200, 60]);
    expect(lineOf(zone, 'passes').how).toContain("200 lb product, the machine's most");
  });
  it('a rate typed by hand keeps its total, and every pass but the last is a machine rate', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1500, noNaN: true }), fc.boolean(), (typed, light) => {
        const total = Number(typed.toFixed(1));
        const caps = passCaps([BEFORE, SEASON], light ? LIGHT : HEAVY, { n_pct: 0, k2o_pct: 60 }, MACHINE, ROW);
        const { rates_lbPerAc } = splitByHand(total, caps, light, MACHINE);
        expect(rates_lbPerAc.reduce((all, one) => all + one, 0)).toBeCloseTo(total, 6);
        expect(Math.min(...rates_lbPerAc)).toBeGreaterThanOrEqual(0);
        if (total % 5 === 0 && total >= 100 && total <= 200)
          for (const rate of rates_lbPerAc) expect(isMachineRate(rate, MACHINE)).toBe(true);
      }),
    );
  });
});

describe('a heavy pass', () => {
  const capped = (most: number, mostReason: string) =>
    zoneRate(
      { k_ppm: 50, cec_meq: 35 },
      corn({
        buildUp_years: 1,
        passes: [{ ...BEFORE, most_lbPerAc: most, mostReason }],
        machine: { ...MACHINE, most_lbPerAc: 2000 },
      }),
    );
  const heavyOf = (zone: ReturnType<typeof zoneRate>) => codes(zone).filter((code) => /pass(-reason)?$/.test(code));

  it('to 500 lb needs no reason; above it asks for one, and says the one given', () => {
    expect(heavyOf(capped(500, ''))).toEqual([]);
    expect(heavyOf(capped(600, ''))).toEqual(['rates-pass-reason']);
    const told = capped(600, 'heavy ground, once in four years');
    expect(heavyOf(told)).toEqual(['rates-heavy-pass']);
    expect(told.problems.find((one) => one.code === 'rates-heavy-pass')?.message).toContain('once in four years');
  });
  it('above 1,400 lb is refused unless the cap was raised with a reason', () => {
    const refused = capped(1500, '');
    expect([refused.rate_lbPerAc, refused.withheld?.code]).toEqual([null, 'rates-pass-over-1400']);
    const told = capped(1500, 'a trial of one strip');
    expect([told.rate_lbPerAc, ...heavyOf(told)]).toEqual([1500, 'rates-very-heavy-pass']);
    expect(capped(1400, '').rate_lbPerAc).toBe(1400);
  });
});
