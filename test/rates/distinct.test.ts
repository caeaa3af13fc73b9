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

/** The least loss over every choice of at most `most` present rates, each zone at the nearest that it may have; Infinity where none serves. */
function bruteForce(zones: readonly Groupable[], most: number): number {
  const rates = [...new Set(zones.map((zone) => zone.rate_lbPerAc))];
  if (rates.length <= most) return 0;
  let best = Infinity;
  for (let mask = 1; mask < 1 << rates.length; mask++) {
    const kept = rates.filter((_, index) => mask & (1 << index));
    if (kept.length > most) continue;
    const lost = zones.reduce((all, zone) => {
      const may = kept.filter((rate) => (zone.fixed ? rate === zone.rate_lbPerAc : rate <= zone.most_lbPerAc));
      const choices = zone.mayLeave ? [...may, 0] : may;
      return all + zone.acres * Math.min(...choices.map((rate) => Math.abs(rate - zone.rate_lbPerAc)));
    }, 0);
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
  it('changes as few pounds as any choice of rates could, raises nothing over its most and moves no fixed rate', () => {
    const one = fc.record({
      acres: fc.integer({ min: 1, max: 50 }),
      steps: fc.integer({ min: 1, max: 40 }),
      more: fc.constantFrom(0, 1, 3, 100),
      fixed: fc.integer({ min: 0, max: 7 }).map((value) => value === 0),
      mayLeave: fc.boolean(),
    });
    const zones = fc.array(one, { minLength: 1, maxLength: 8 }).map((all) =>
      all.map(({ acres, steps, more, fixed, mayLeave }, index) =>
        item(`${index}`, acres, steps * 5, {
          most_lbPerAc: (steps + (mayLeave ? 0 : more)) * 5,
          fixed,
          mayLeave: mayLeave && !fixed,
        }),
      ),
    );
    fc.assert(
      fc.property(zones, fc.integer({ min: 1, max: 5 }), (all, most) => {
        const grouped = groupRates(deepFreeze(all), most);
        const least = bruteForce(all, most);
        if (grouped === null) {
          expect(least).toBe(Infinity);
          return;
        }
        expect(grouped.changed_lb).toBeCloseTo(least, 9);
        const given = [...grouped.rates.values()].filter((rate) => rate > 0);
        expect(new Set(given).size).toBeLessThanOrEqual(most);
        let lost = 0;
        for (const zone of all) {
          const rate = grouped.rates.get(zone.key) ?? Number.NaN;
          lost += zone.acres * Math.abs(rate - zone.rate_lbPerAc);
          expect(rate).toBeLessThanOrEqual(zone.most_lbPerAc);
          if (zone.fixed) expect(rate).toBe(zone.rate_lbPerAc);
          if (rate === 0) expect(zone.mayLeave).toBe(true);
        }
        expect(grouped.changed_lb).toBeCloseTo(lost, 9);
      }),
      { numRuns: 400 },
    );
  });
  it('leaves ground without rather than raise it, and lowers no other ground for its sake', () => {
    const grouped = groupRates(
      [item('above', 10, 45, { most_lbPerAc: 45, mayLeave: true }), item('short', 60, 260), item('mid', 30, 200)],
      1,
    );
    expect(Object.fromEntries(grouped?.rates ?? [])).toEqual({ above: 0, short: 260, mid: 260 });
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
  it('never raises ground above the range, whatever the limit', () => {
    const field: readonly GroundSpec[] = [
      { k_ppm: 430, cec_meq: 12, acres: 10 },
      { k_ppm: 110, cec_meq: 20, acres: 60 },
      { k_ppm: 172, cec_meq: 18, acres: 40 },
    ];
    const free = ratesOf(field, limited(null)).zones[0];
    expect(free?.reading.kSat_pct ?? 0).toBeGreaterThan(8);
    expect(free?.rate_lbPerAc ?? 0).toBeGreaterThan(0);
    for (const most of [1, 2]) {
      const [above, short] = ratesOf(field, limited(most)).zones;
      expect(above?.rate_lbPerAc ?? 999).toBeLessThanOrEqual(free?.rate_lbPerAc ?? 0);
      expect(short?.rate_lbPerAc ?? 0).toBeGreaterThan(100);
    }
  });
  it('names the limit, not machine or caps, as what left or changed it', () => {
    const out = ratesOf(FIELD, limited(1));
    const moved = out.zones.filter((zone) => zone.leftBy.distinctRates_lbK2OPerAc > 0);
    expect(moved.length).toBeGreaterThan(0);
    const found = moved.flatMap((zone) => zone.problems);
    expect(found.map((one) => one.code)).toContain('rates-distinct-changes');
    expect(found.map((one) => one.code)).not.toContain('rates-machine-changes');
    const undone = found.find((one) => one.code === 'rates-undone');
    expect(undone?.message).toContain('by the limit on different rates');
    for (const zone of out.zones) {
      const parts = Object.values(zone.leftBy).reduce((all, one) => all + one, 0);
      expect(parts).toBeCloseTo(zone.undone_lbK2OPerAc, 9);
    }
  });
  it('says that the limit cannot be met where a typed rate is above what other ground may get', () => {
    const override = { zoneKey: '2', rate_lbPerAc: 300, who: '', when: '', why: 'x' };
    const passes = [{ ...corn().passes[0], most_lbPerAc: 200, name: 'before the season', inSeason: false }];
    const out = ratesOf(FIELD, limited(1, { overrides: [override], passes }));
    expect(out.problems.map((one) => one.code)).toContain('rates-distinct-not-met');
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
