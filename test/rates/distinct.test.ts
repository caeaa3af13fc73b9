import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Groupable, groupRates } from '../../core/rates/distinct.ts';
import { isMachineRate } from '../../core/rates/machine.ts';
import { corn, deepFreeze, type GroundSpec, lineOf, ratesOf } from './ground.ts';

const item = (key: string, acres: number, rate_lbPerAc: number, changes: Partial<Groupable> = {}): Groupable => ({
  key,
  acres,
  rate_lbPerAc,
  most_lbPerAc: 1000,
  fixed: false,
  ...changes,
});

/** The least loss over every way to give each rate one of at most `most` present rates, groups of neighbours or not. */
function bruteForce(zones: readonly Groupable[], most: number): number {
  const rates = [...new Set(zones.map((zone) => zone.rate_lbPerAc))];
  let best = Infinity;
  for (let mask = 1; mask < 1 << rates.length; mask++) {
    const kept = rates.filter((_, index) => mask & (1 << index));
    if (kept.length > most) continue;
    const lost = zones.reduce(
      (all, zone) => all + zone.acres * Math.min(...kept.map((rate) => Math.abs(rate - zone.rate_lbPerAc))),
      0,
    );
    best = Math.min(best, lost);
  }
  return best;
}

describe('fewer different rates', () => {
  it('of 100, 105 and 300 two are kept: the smaller part of the near ones changes', () => {
    const grouped = groupRates(deepFreeze([item('a', 10, 100), item('b', 30, 105), item('c', 5, 300)]), 2);
    expect(Object.fromEntries(grouped?.rates ?? [])).toEqual({ a: 105, b: 105, c: 300 });
    expect(grouped?.changed_lb).toBe(50);
  });
  it('of even parts the lower rate stands', () => {
    expect(groupRates([item('a', 10, 100), item('b', 10, 110)], 1)?.rates.get('b')).toBe(100);
  });
  it('leaves rates alone that are few enough', () => {
    expect(groupRates([item('a', 10, 100), item('b', 10, 110)], 2)?.changed_lb).toBe(0);
  });
  it('never moves a typed rate, and says so where typed rates alone are too many', () => {
    const typed = { fixed: true };
    expect(groupRates([item('a', 1, 100, typed), item('b', 90, 110)], 1)?.rates.get('b')).toBe(100);
    expect(groupRates([item('a', 1, 100, typed), item('b', 1, 110, typed)], 1)).toBeNull();
  });
  it('never passes a zone’s most', () => {
    expect(groupRates([item('a', 1, 100, { most_lbPerAc: 100 }), item('b', 90, 110)], 1)?.rates.get('b')).toBe(100);
  });
  it('changes as few pounds as any choice of rates could', () => {
    const zones = fc
      .array(fc.tuple(fc.integer({ min: 1, max: 50 }), fc.integer({ min: 1, max: 40 })), { minLength: 1, maxLength: 8 })
      .map((all) => all.map(([acres, steps], index) => item(`${index}`, acres, steps * 5)));
    fc.assert(
      fc.property(zones, fc.integer({ min: 1, max: 5 }), (all, most) => {
        const grouped = groupRates(deepFreeze(all), most);
        expect(grouped?.changed_lb).toBeCloseTo(bruteForce(all, most), 9);
        expect(new Set(grouped?.rates.values()).size).toBeLessThanOrEqual(most);
        const lost = all.reduce(
          (sum, one) => sum + one.acres * Math.abs((grouped?.rates.get(one.key) ?? 0) - one.rate_lbPerAc),
          0,
        );
        expect(grouped?.changed_lb).toBeCloseTo(lost, 9);
      }),
    );
  });
});

const FIELD: readonly GroundSpec[] = [
  { k_ppm: 70, cec_meq: 4.5, acres: 12 },
  { k_ppm: 120, cec_meq: 12, acres: 20 },
  { k_ppm: 172, cec_meq: 18, acres: 60 },
  { k_ppm: 200, cec_meq: 10, acres: 9 },
  { k_ppm: 150, cec_meq: 20, acres: 15 },
];
const limited = (distinctRates: number | null, changes: object = {}) =>
  corn({
    machine: { least_lbPerAc: 50, most_lbPerAc: 800, step_lbPerAc: 5, distinctRates },
    buildUp_years: 2,
    ...changes,
  });

describe('the plan under a controller’s number of rates', () => {
  it('has no more different rates above 0 in any pass, and works K2O, cost and tons out again', () => {
    for (const most of [1, 2, 3]) {
      const out = ratesOf(FIELD, limited(most));
      for (const pass of [0, 1]) {
        const rates = new Set(out.zones.map((zone) => zone.passes[pass]?.rate_lbPerAc ?? 0).filter((rate) => rate > 0));
        expect(rates.size).toBeLessThanOrEqual(most);
      }
      for (const zone of out.zones) {
        expect(zone.k2o_lbPerAc).toBeCloseTo((zone.rate_lbPerAc ?? 0) * 0.6, 9);
        expect(lineOf(zone, 'machine').working).toBe(zone.rate_lbPerAc);
        for (const pass of zone.passes)
          expect(isMachineRate(pass.rate_lbPerAc, out.zones[0] ? limited(most).machine : limited(1).machine)).toBe(
            true,
          );
      }
      const pounds = out.zones.reduce((all, zone) => all + zone.acres * (zone.rate_lbPerAc ?? 0), 0);
      expect(out.totals.product_lb).toBeCloseTo(pounds, 6);
    }
  });
  it('says in the machine’s line what was put together', () => {
    const free = ratesOf(FIELD, limited(null));
    const one = ratesOf(FIELD, limited(2));
    const moved = one.zones.filter((zone, index) => zone.rate_lbPerAc !== free.zones[index]?.rate_lbPerAc);
    expect(moved.length).toBeGreaterThan(0);
    for (const zone of moved)
      expect(lineOf(zone, 'machine').how).toMatch(/to keep to 2 different rates a pass \d+ becomes \d+/);
  });
  it('keeps light ground under its caps', () => {
    for (const most of [1, 2]) {
      const light = ratesOf(FIELD, limited(most)).zones[0];
      expect(light?.k2o_lbPerAc ?? 999).toBeLessThanOrEqual(120 + 1e-9);
      for (const pass of light?.passes ?? []) expect(pass.k2o_lbPerAc).toBeLessThanOrEqual(60 + 1e-9);
    }
  });
  it('never spends more than the budget by it', () => {
    const budget = { by: 'dollars', amount: 4000, rule: 'all alike' } as const;
    expect(ratesOf(FIELD, limited(2, { budget })).totals.cost).toBeLessThanOrEqual(4000);
  });
  it('tells where typed rates alone are too many', () => {
    const typed = (zoneKey: string, rate_lbPerAc: number) => ({ zoneKey, rate_lbPerAc, who: '', when: '', why: 'x' });
    const out = ratesOf(FIELD, limited(1, { overrides: [typed('3', 200), typed('4', 100)] }));
    expect(out.problems.map((one) => one.code)).toContain('rates-distinct-by-hand');
  });
});
