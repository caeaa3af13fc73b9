import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cropUse } from '../../core/rates/crop.ts';
import { CROPS } from '../../core/rates/crops.ts';
import { codes, corn, lineOf, zoneRate } from './ground.ts';

const stover = (residueShare_pct: number, changes = {}) =>
  corn({
    harvest: 'grain and residue',
    residueShare_pct,
    removal_lbK2OPerUnit: 0.27,
    uptake_lbK2OPerUnit: 1.37,
    ...changes,
  });
const useOf = (rates = corn()) => {
  const use = cropUse(rates);
  if (typeof use === 'string') throw new Error(use);
  return use;
};

it('lines 5 and 6 say that uptake beyond removal, and not the years, sets the rate where it does', () => {
  const lines = (buildUp_years: number) => {
    const zone = zoneRate({ k_ppm: 140, cec_meq: 12 }, corn({ governs: 'ppm', buildUp_years }));
    return [lineOf(zone, 'buildUp').how, lineOf(zone, 'crop').how, zone.rate_lbPerAc] as const;
  };
  const [slow, crop, rate] = lines(8);
  expect(slow).toContain('over 8 years; the uptake beyond removal is more, so that sets line 6 and the years do not');
  expect(crop).toContain('for uptake beyond removal, which sets the rate here');
  expect(lines(4)[2]).toBe(rate);
  const far = zoneRate({ k_ppm: 20, cec_meq: 12 }, corn({ governs: 'ppm', buildUp_years: 1 }));
  expect(lineOf(far, 'buildUp').how).not.toContain('the years do not');
});

describe('what leaves the field (IPNI 2008: grain 0.27, stover 1.1 lb K2O/bu)', () => {
  it('200 bu: the grain takes 54 lb, and half of the stover 110 with it', () => {
    expect(useOf(stover(0)).removal_lbK2OPerAc).toBeCloseTo(54, 9);
    expect(useOf(stover(50)).removal_lbK2OPerAc).toBeCloseTo(54 + 110, 9);
    expect(useOf(stover(100)).removal_lbK2OPerAc).toBeCloseTo(274, 9);
    expect(useOf(stover(50)).removalHow).toBe(
      '200 x 0.27 lb/bu = 54.0 lb leaves with the grain + 110.0 with 50 % of the residue, 200 x 1.10',
    );
  });
  it('grain alone leaves all stover there, whatever share was typed', () => {
    expect(useOf(corn({ residueShare_pct: 50 })).removal_lbK2OPerAc).toBe(useOf().removal_lbK2OPerAc);
  });
  it('a typed removal stands for all that leaves where no uptake figure exists', () => {
    const canola = corn({
      crop: 'canola',
      yieldGoal: 50,
      harvest: 'grain and residue',
      residueShare_pct: 50,
      removal_lbK2OPerUnit: 1.5,
    });
    expect(useOf(canola).removal_lbK2OPerAc).toBe(75);
    expect(cropUse({ ...canola, removal_lbK2OPerUnit: null })).toBe('no residue figure');
  });
});

describe('what goes back with the stover is not counted twice', () => {
  // CEC 18: the target is 281.5 ppm, 2.409 lb K2O a ppm
  const asked = (k_ppm: number, rates: ReturnType<typeof corn>) =>
    lineOf(zoneRate({ k_ppm, cec_meq: 18 }, rates), 'crop').carried ?? Number.NaN;

  it('short: removal + the larger of build-up and what goes back, never both', () => {
    // takes 263.8, a year 65.9; half the stover leaves: removal 164, and 110 go back and cover the 65.9
    expect(asked(172, stover(50))).toBeCloseTo(164 + 110, 6);
    // in one year 263.8 cover the 110
    expect(asked(172, stover(50, { buildUp_years: 1 }))).toBeCloseTo(164 + 263.8, 1);
  });
  it('all of it baled: nothing goes back, so removal and build-up', () => {
    expect(asked(172, stover(100))).toBeCloseTo(274 + 263.8 / 4, 1);
  });
  it('not short: removal, since what goes back is no loss', () => {
    expect(asked(290, stover(0))).toBeCloseTo(54, 9);
    expect(asked(290, stover(50))).toBeCloseTo(164, 9);
  });
  it('a share more that leaves never lowers what is asked for, and what is asked for holds the whole uptake on short ground (law)', () => {
    const share = fc.double({ min: 0, max: 100, noNaN: true });
    fc.assert(
      fc.property(share, share, fc.double({ min: 60, max: 400, noNaN: true }), (one, other, k_ppm) => {
        const [less, more] = one < other ? [one, other] : [other, one];
        expect(asked(k_ppm, stover(more))).toBeGreaterThanOrEqual(asked(k_ppm, stover(less)) - 1e-9);
        if (k_ppm < 281) expect(asked(k_ppm, stover(less))).toBeGreaterThanOrEqual(274 - 1e-9);
      }),
      { numRuns: 80 },
    );
  });
});

describe('a small shortfall', () => {
  it('makes the rate jump by the uptake, and that is said with its figures', () => {
    // 1 ppm under the 281.5 of 4 %: 2.4 lb lacking, 116 given beyond removal
    const zone = zoneRate({ k_ppm: 280.5, cec_meq: 18 });
    const said = zone.problems.find((one) => one.code === 'rates-just-short');
    expect(said?.severity).toBe('note');
    expect(said?.message).toContain('lacks 2.4 lb K2O/ac of its target');
    expect(said?.message).toContain('116.0 beyond removal: a step of the rule');
    expect(zoneRate({ k_ppm: 282, cec_meq: 18 }).rate_lbPerAc).toBe(65);
  });
  it('is not said of a large one, nor where nothing goes beyond removal', () => {
    expect(codes(zoneRate({ k_ppm: 172, cec_meq: 18 }))).not.toContain('rates-just-short');
    expect(codes(zoneRate({ k_ppm: 280, cec_meq: 18 }, corn({ crop: 'alfalfa', yieldGoal: 5 })))).not.toContain(
      'rates-just-short',
    );
  });
});

describe('a yield goal', () => {
  it.each([
    [200, false],
    [20, true],
    [351, true],
  ])('of %s bu of corn is doubted: %s', (yieldGoal, doubted) => {
    const zone = zoneRate({ k_ppm: 200, cec_meq: 10 }, corn({ yieldGoal }));
    expect(codes(zone).includes('rates-yield-goal-odd')).toBe(doubted);
    expect(zone.withheld).toBeNull();
  });
  it('has bounds for every crop', () => {
    for (const { likelyYield } of CROPS) expect(likelyYield.least).toBeLessThan(likelyYield.most);
  });
});
