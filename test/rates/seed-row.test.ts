import { describe, expect, it } from 'vitest';
import { placementLimit, seedRow } from '../../core/rates/placement.ts';
import type { RatesSettings } from '../../core/rates/settings.ts';
import { tetanyRatio } from '../../core/rates/watch-saturation.ts';
import { codes, corn, lineOf, soilPlan, told, zoneRate } from './ground.ts';

type Pass = RatesSettings['passes'][number];
const pass = (placement: Pass['placement'], row_in = 30): Pass => ({
  name: 'with the seed',
  inSeason: false,
  most_lbPerAc: 500,
  mostReason: '',
  placement,
  row_in,
});
const SEASON: Pass = { ...pass('broadcast'), name: 'in season', inSeason: true };
const row = (crop: string, sandy = false, clay = false) => ({ crop, sandy, clay });

describe('lb N + K2O in the seed furrow of corn (Kansas State University)', () => {
  it.each([
    [20, 12, 8],
    [30, 8, 6],
    [40, 6, 4],
  ])('%s-in. rows: %s on medium and fine ground, %s on sandy', (row_in, fine, sandy) => {
    const limit = (isSandy: boolean) => placementLimit(pass('in furrow', row_in), row('corn', isSandy));
    expect([limit(false)?.most_lbNAndK2OPerAc, limit(true)?.most_lbNAndK2OPerAc]).toEqual([fine, sandy]);
  });
  it.each([
    [15, 12], // narrower than printed: as 20
    [22, 8], // between: as the wider
    [36, 6],
    [41, null], // wider than printed: no figure
  ])('%s-in. rows go by %s', (row_in, most) => {
    expect(placementLimit(pass('in furrow', row_in), row('corn'))?.most_lbNAndK2OPerAc).toBe(most);
  });
  it('other crops have no figure', () => {
    expect(placementLimit(pass('in furrow'), row('soybean'))).toMatchObject({
      most_lbNAndK2OPerAc: null,
      text: 'no limit in the furrow is known for soybean',
    });
  });
});

describe('lb N + K2O in a band 2 x 2 in. (Michigan State University 2009)', () => {
  it.each([
    ['corn', false, 100],
    ['corn', true, 140],
    ['soybean', false, 80],
    ['soybean', true, 80],
    ['corn-silage', false, 100],
    ['winter-wheat', false, null],
  ])('%s, clay %s: %s', (crop, clay, most) => {
    expect(placementLimit(pass('banded 2 x 2 in.'), row(crop, false, clay))?.most_lbNAndK2OPerAc).toBe(most);
  });
});

describe('a placed pass in the ledger', () => {
  const machine = { least_lbPerAc: 5, most_lbPerAc: 800, step_lbPerAc: 1, distinctRates: null };
  const ground = { k_ppm: 172, cec_meq: 18 };

  it('8 lb N + K2O are 13.3 lb of 0-0-60, so 13; the rest goes on in season', () => {
    const zone = zoneRate(ground, corn({ machine, passes: [pass('in furrow'), SEASON] }));
    expect(zone.passes.map((one) => one.rate_lbPerAc)).toEqual([13, 247]);
    expect(lineOf(zone, 'passes').how).toContain(
      '8 lb N + K2O in the furrow (30-in. rows, medium or fine ground), 13.3 lb product',
    );
  });
  it('N counts too: 13-0-44 holds 57 % of both', () => {
    const product = { ...corn().product, name: '13-0-44', n_pct: 13, k2o_pct: 44, salt: 'nitrate' as const };
    const zone = zoneRate(ground, corn({ machine, product, passes: [pass('in furrow'), SEASON] }));
    expect(zone.passes[0]?.rate_lbPerAc).toBe(14); // 8 / 0.57 = 14.04
    expect(codes(zone)).toContain('rates-placed-n');
  });
  it('sandy by texture, or by being light where none is told', () => {
    const light = corn().holding[0];
    if (!light) throw new Error('no class');
    expect(seedRow('corn', 'not told', light).sandy).toBe(true);
    expect(seedRow('corn', 'clay', light)).toMatchObject({ sandy: false, clay: true });
    const sandy = zoneRate(ground, corn({ machine, passes: [pass('in furrow'), SEASON] }), soilPlan(), {
      ground: told({ texture: 'sandy loam' }),
    });
    expect(sandy.passes[0]?.rate_lbPerAc).toBe(10); // 6 / 0.6
  });
  it('without a figure gets nothing, and that is said once for all zones', () => {
    const wheat = corn({ crop: 'winter-wheat', yieldGoal: 80, passes: [pass('in furrow'), SEASON] });
    const zone = zoneRate(ground, wheat);
    expect(zone.passes[0]?.rate_lbPerAc).toBe(0);
    const said = zone.problems.find((one) => one.code === 'rates-placed-no-figure');
    expect(said?.message).toContain('no limit in the furrow is known for winter-wheat');
    expect(said?.at?.zone).toBeUndefined();
  });
  it('under the machine’s least rate is left out', () => {
    const zone = zoneRate(ground, corn({ passes: [pass('in furrow'), { ...SEASON, most_lbPerAc: 500 }] }));
    expect(zone.passes.map((one) => one.rate_lbPerAc)).toEqual([0, 260]);
    expect(codes(zone)).toContain('rates-cap-under-least');
  });
});

describe('grass tetany (Manitoba note on data of 1957)', () => {
  it('K 3.0, Ca 0.40, Mg 0.15 % of forage is 2.375 by equivalents, above 2.2', () => {
    expect(tetanyRatio(3, 0.4, 0.15)).toBeCloseTo(2.375, 2);
    expect(tetanyRatio(3, 0.4, 0.15)).toBeGreaterThan(2.2);
    expect(tetanyRatio(2.5, 0.4, 0.2)).toBeLessThan(2.2);
  });
});
