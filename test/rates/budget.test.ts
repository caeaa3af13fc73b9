import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { allAlike, worstFirst } from '../../core/rates/budget.ts';
import { type BudgetZone, netReturn, type Option, spent } from '../../core/rates/budget-options.ts';
import { carriedSum } from '../../core/rates/ledger.ts';
import { equalMarginal } from '../../core/rates/marginal.ts';
import type { Budget, RatesSettings } from '../../core/rates/settings.ts';
import { corn, deepFreeze, type GroundSpec, lineOf, ratesOf } from './ground.ts';

/** Options of a zone by rate: dollars at 20 cents a lb and 9 a pass, and a concave return. */
function zoneOf(
  key: string,
  acres: number,
  rates: readonly number[],
  worth: (rate: number) => number,
  standing = 0.5,
): BudgetZone {
  const options = rates.map(
    (rate): Option => ({
      k2o_lbPerAc: rate * 0.6,
      given_lbK2OPerAc: rate * 0.6,
      rate_lbPerAc: rate,
      cost_perAc: rate * 0.2 + (rate > 0 ? 9 : 0),
      return_perAc: { middle: worth(rate), low: worth(rate) * 0.8, high: worth(rate) * 1.2 },
    }),
  );
  return { key, acres, standing, short: true, options };
}

const dollars = (amount: number) => ({ by: 'dollars', amount }) as const;

/** The best return over cost of every choice there is that the budget pays. */
function bruteForce(zones: readonly BudgetZone[], budget: Pick<Budget, 'by' | 'amount'>): number {
  let best = -Infinity;
  const go = (at: number, choice: number[]): void => {
    if (at === zones.length) {
      if (spent(zones, choice, budget.by) <= budget.amount + 1e-6) best = Math.max(best, netReturn(zones, choice));
      return;
    }
    zones[at]?.options.forEach((_, index) => {
      go(at + 1, [...choice, index]);
    });
  };
  go(0, []);
  return best;
}

const RATES = [0, 50, 100, 150, 200, 250];
/** Concave: a times (1 - exp(-rate / b)). */
const concave = (a: number, b: number) => (rate: number) => a * (1 - Math.exp(-rate / b));
const anyZones = fc
  .array(
    fc.record({
      acres: fc.integer({ min: 1, max: 40 }),
      a: fc.integer({ min: 0, max: 200 }),
      b: fc.integer({ min: 20, max: 300 }),
      standing: fc.double({ min: 0.1, max: 1.5, noNaN: true }),
      count: fc.integer({ min: 1, max: 6 }),
    }),
    { minLength: 1, maxLength: 4 },
  )
  .map((all) =>
    all.map((one, index) =>
      zoneOf(`${index}`, one.acres, RATES.slice(0, one.count), concave(one.a, one.b), one.standing),
    ),
  );
const by = fc.constantFrom<Budget['by']>('dollars', 'tons');

describe('worst first, zones that stand alike', () => {
  it('are fed together: neither order nor a cut through a zone changes what is spent', () => {
    const flat = concave(100, 100);
    const whole = [zoneOf('a', 60, RATES, flat, 0.5), zoneOf('b', 20, RATES, flat, 0.8)];
    const cut = [
      zoneOf('a1', 25, RATES, flat, 0.5),
      zoneOf('b', 20, RATES, flat, 0.8),
      zoneOf('a2', 35, RATES, flat, 0.5 * (1 + 1e-12)),
    ];
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 5000 }), by, (amount, unit) => {
        const budget = { by: unit, amount: unit === 'dollars' ? amount : amount / 500 };
        const [a, b] = worstFirst(deepFreeze(whole), budget);
        expect(worstFirst(deepFreeze(cut), budget)).toEqual([a, b, a]);
        expect(worstFirst(deepFreeze([...cut].reverse()), budget)).toEqual([a, b, a]);
      }),
    );
    // of unlike zones that stand alike each gets the same share of what it asks for: 900 $ of 1,180 + 580
    const unlike = [zoneOf('x', 20, RATES, flat, 0.5), zoneOf('y', 20, RATES.slice(0, 3), flat, 0.5)];
    expect(worstFirst(unlike, dollars(1000))).toEqual([2, 1]);
  });
});

describe('equal marginal return', () => {
  it('is the best of all choices to within the gap it states, and never over the budget', () => {
    let exact = 0;
    let runs = 0;
    let worst = 0;
    fc.assert(
      fc.property(anyZones, by, fc.double({ min: 0, max: 1, noNaN: true }), (zones, unit, share) => {
        const all = spent(
          zones,
          zones.map((zone) => zone.options.length - 1),
          unit,
        );
        const budget = { by: unit, amount: all * share };
        const { choice, gap_dollars } = equalMarginal(deepFreeze(zones), budget);
        const best = bruteForce(zones, budget);
        const mine = netReturn(zones, choice);
        expect(spent(zones, choice, unit)).toBeLessThanOrEqual(budget.amount + 1e-6);
        expect(mine).toBeLessThanOrEqual(best + 1e-6);
        expect(best).toBeLessThanOrEqual(mine + gap_dollars + 1e-6);
        // the gap is that of one step at most: no zone's whole return is larger
        const largest = Math.max(
          ...zones.flatMap((zone) => zone.options.map((option) => zone.acres * (option.return_perAc?.middle ?? 0))),
        );
        expect(gap_dollars).toBeLessThanOrEqual(largest + 1e-6);
        runs += 1;
        if (best - mine < 1e-6) exact += 1;
        else worst = Math.max(worst, (best - mine) / best);
      }),
      { numRuns: 300 },
    );
    // steps as coarse as these, in fields of one to four zones, leave nearly all at the very best, and the others near it
    expect(exact / runs).toBeGreaterThan(0.95);
    expect(worst).toBeLessThan(0.6);
  });
  it('with money for all stops where a dollar returns less than a dollar', () => {
    fc.assert(
      fc.property(anyZones, (zones) => {
        const { choice, gap_dollars } = equalMarginal(zones, dollars(1e9));
        expect(gap_dollars).toBeLessThan(1e-6);
        expect(netReturn(zones, choice)).toBeCloseTo(bruteForce(zones, dollars(1e9)), 6);
      }),
      { numRuns: 60 },
    );
  });
  it('counts the charge for a pass with the first step: a zone that cannot earn it gets nothing', () => {
    const poor = zoneOf('poor', 10, RATES, (rate) => Math.min(rate, 50) * 0.3); // 15 for 50 lb that cost 19
    expect(equalMarginal([poor], dollars(1e6)).choice).toEqual([0]);
    const good = zoneOf('good', 10, RATES, (rate) => Math.min(rate, 50) * 0.5);
    expect(equalMarginal([good], dollars(1e6)).choice).toEqual([1]);
  });
  it('gives the next ton to the ground that returns most by it', () => {
    const flat = zoneOf('flat', 10, RATES, concave(40, 100));
    const steep = zoneOf('steep', 10, RATES, concave(200, 100));
    expect(equalMarginal([flat, steep], { by: 'tons', amount: 0.5 }).choice).toEqual([0, 2]);
  });
});

describe('all alike', () => {
  it('is the same share of each zone’s rate, to the nearest step, and the largest that the budget pays', () => {
    const zones = [zoneOf('a', 10, RATES, () => 0), zoneOf('b', 10, [0, 50, 100], () => 0)];
    // half of 250 and of 100: 125 goes up to 150, 50 is 50: 39 and 19 dollars an acre
    expect(allAlike(zones, dollars(580))).toEqual([3, 1]);
    expect(allAlike(zones, dollars(1e6))).toEqual([5, 2]);
    expect(allAlike(zones, dollars(0))).toEqual([0, 0]);
  });
  it('never spends more than there is; a step more for all would', () => {
    fc.assert(
      fc.property(anyZones, by, fc.double({ min: 0, max: 1, noNaN: true }), (zones, unit, share) => {
        const all = spent(
          zones,
          zones.map((zone) => zone.options.length - 1),
          unit,
        );
        const choice = allAlike(zones, { by: unit, amount: all * share });
        expect(spent(zones, choice, unit)).toBeLessThanOrEqual(all * share + 1e-6);
        const more = zones.map((zone, index) => Math.min(zone.options.length - 1, (choice[index] ?? 0) + 1));
        if (choice.some((one, index) => one !== more[index]))
          expect(spent(zones, more, unit)).toBeGreaterThan(all * share - 1e-6);
      }),
      { numRuns: 100 },
    );
  });
});

describe('worst first', () => {
  it('fills the zone that stands lowest, then the next, and gives the rest to whoever it still pays for', () => {
    const zones = [
      zoneOf('better', 10, RATES, () => 0, 0.9),
      zoneOf('worst', 10, [0, 50, 100], () => 0, 0.3),
      zoneOf('unknown', 10, RATES, () => 0, Number.NaN),
    ];
    // worst: 100 lb, 29 an acre; then 310 dollars left pay 100 lb at 29 on the better, and 20 pay nothing on the last
    expect(worstFirst(zones, dollars(600))).toEqual([2, 2, 0]);
  });
});

const FIELD: readonly GroundSpec[] = [
  { k_ppm: 70, cec_meq: 4.5, acres: 12 },
  { k_ppm: 120, cec_meq: 12, acres: 20 },
  { k_ppm: 172, cec_meq: 18, acres: 60 },
  { k_ppm: 480, cec_meq: 11, acres: 8 },
  { k_ppm: 200, cec_meq: 10, acres: 30 },
];
const CURVE = {
  model: 'quadratic plateau',
  atZero_pct: 55,
  reachedLow_ppm: 130,
  reachedHigh_ppm: 170,
  source: 'trials of the county',
} as const;
const under = (budget: Budget, changes: Partial<RatesSettings> = {}) =>
  corn({ budget, response: CURVE, cropPrice_perUnit: 4.2, ...changes });
const RULES = ['all alike', 'worst first', 'equal marginal return'] as const;

describe('a plan under a budget', () => {
  const free = ratesOf(FIELD, corn());
  it.each(RULES)('%s: the zones get what that way says, and no more is spent than there is', (rule) => {
    for (const budget of [{ by: 'dollars', amount: 5000, rule } as const, { by: 'tons', amount: 7, rule } as const]) {
      const out = ratesOf(FIELD, under(budget));
      const way = out.budget?.find((one) => one.rule === rule);
      const used = budget.by === 'dollars' ? out.totals.cost : out.totals.product_tons;
      expect(used).toBeLessThanOrEqual(budget.amount + 1e-6);
      expect(way?.tons).toBeCloseTo(out.totals.product_tons, 6);
      expect(way?.cost).toBeCloseTo(out.totals.cost, 6);
      expect(way?.zones.map((zone) => zone.rate_lbPerAc)).toEqual(out.zones.map((zone) => zone.rate_lbPerAc));
      expect(way?.zones.map((zone) => zone.asked_lbPerAc)).toEqual(free.zones.map((zone) => zone.rate_lbPerAc));
      const undone = out.zones.reduce(
        (all, zone, index) =>
          all + zone.acres * Math.max(0, (free.zones[index]?.k2o_lbPerAc ?? 0) - (zone.k2o_lbPerAc ?? 0)),
        0,
      );
      expect(way?.undone_lbK2O).toBeCloseTo(undone, 6);
    }
  });
  it('has a second line 9 that takes off what the money does not reach to, and the account still adds up', () => {
    const out = ratesOf(FIELD, under({ by: 'dollars', amount: 3000, rule: 'worst first' }));
    const zone = out.zones[2];
    if (!zone) throw new Error('no zone');
    expect(zone.lines.map((line) => line.n)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 9, 10, 11, 12, 13, 14]);
    const line = lineOf(zone, 'budget');
    expect(line.carried).toBeLessThan(0);
    expect(line.how).toContain('$3,000 for the field');
    expect(zone.exact_lbPerAc).toBeCloseTo(carriedSum(zone.lines) / 0.6, 9);
    expect(zone.undone_lbK2OPerAc).toBeGreaterThanOrEqual(-(line.carried ?? 0) - 1e-9);
    expect(zone.answers.ppmAlone).toBe(free.zones[2]?.answers.ppmAlone);
  });
  it('without a budget has neither that line nor ways', () => {
    expect(free.budget).toBeNull();
    expect(free.zones[0]?.lines.some((line) => line.key === 'budget')).toBe(false);
  });
  it('with enough for all leaves every rate as it was', () => {
    for (const rule of ['all alike', 'worst first'] as const) {
      const out = ratesOf(FIELD, under({ by: 'dollars', amount: 1e6, rule }));
      expect(out.zones.map((zone) => zone.passes)).toEqual(free.zones.map((zone) => zone.passes));
      expect(lineOf(out.zones[0] ?? free.zones[0] ?? failed(), 'budget').how).toContain('it pays all of it');
    }
  });
  it('equal marginal return returns no less over its cost than the other two', () => {
    for (const amount of [1500, 3000, 4500]) {
      const ways = ratesOf(FIELD, under({ by: 'dollars', amount, rule: 'all alike' })).budget ?? [];
      const middle = ways.map((way) => ((way.return_dollars?.low ?? 0) + (way.return_dollars?.high ?? 0)) / 2);
      // the rule works with the middle of the doubt, the ways tell its ends: even to within a tenth
      expect(middle[2]).toBeGreaterThan(Math.max(middle[0] ?? 0, middle[1] ?? 0) * 0.9);
    }
  });
  it('without a curve the chosen rule gives no rates, and as one of three it is left out', () => {
    const budget = { by: 'dollars', amount: 3000, rule: 'equal marginal return' } as const;
    const out = ratesOf(FIELD, under(budget, { response: null }));
    expect(out.zones.every((zone) => zone.withheld?.code === 'rates-budget-no-curve')).toBe(true);
    const other = ratesOf(FIELD, under({ ...budget, rule: 'all alike' }, { cropPrice_perUnit: null }));
    expect(other.budget?.map((way) => way.rule)).toEqual(['all alike', 'worst first']);
    expect(other.problems.find((one) => one.code === 'rates-budget-no-curve')?.severity).toBe('note');
    expect(other.zones.every((zone) => zone.withheld === null)).toBe(true);
  });
  it('what the money leaves undone is told by the budget, not as a cap to be raised', () => {
    const out = ratesOf(FIELD, under({ by: 'dollars', amount: 1000, rule: 'all alike' }));
    const undone = out.zones[2]?.problems.find((one) => one.code === 'rates-undone');
    expect(undone?.message).toMatch(/left by the budget\.$/);
    expect(undone?.at?.setting).toBe('rates.budget');
  });
  it('a small part that the money leaves is told with the budget alone', () => {
    const out = ratesOf(FIELD, under({ by: 'dollars', amount: 4500, rule: 'all alike' }));
    expect(out.zones[2]?.leftBy.budget_lbK2OPerAc).toBeGreaterThan(0);
    expect(out.zones[2]?.problems.map((one) => one.code)).not.toContain('rates-undone');
  });
  it('pays typed rates first and never changes them', () => {
    const overrides = [{ zoneKey: '3', rate_lbPerAc: 200, who: 'Ann', when: '', why: 'history' }];
    const out = ratesOf(FIELD, under({ by: 'dollars', amount: 4000, rule: 'all alike' }, { overrides }));
    expect(out.zones[2]?.rate_lbPerAc).toBe(200);
    expect(out.totals.cost).toBeLessThanOrEqual(4000);
    const over = ratesOf(FIELD, under({ by: 'dollars', amount: 1000, rule: 'all alike' }, { overrides }));
    expect(over.problems.map((one) => one.code)).toContain('rates-budget-by-hand');
    expect(over.zones.map((zone) => zone.rate_lbPerAc)).toEqual([0, 0, 200, 0, 0]);
  });
  it('of 0 says that nothing is given', () => {
    const out = ratesOf(FIELD, under({ by: 'tons', amount: 0, rule: 'worst first' }));
    expect(out.totals.product_lb).toBe(0);
    expect(out.problems.map((one) => one.code)).toContain('rates-budget-nothing');
  });
  it('holds with two products, in what both cost and weigh', () => {
    const second = {
      product: { ...corn().product, name: '0-0-50', k2o_pct: 50, s_pct: 17, salt: 'sulfate', price_perTon: 800 },
      gives: { by: 'sulfur', s_lbPerAc: 15 },
      where: null,
    } as const;
    for (const by of ['dollars', 'tons'] as const) {
      const amount = by === 'dollars' ? 5000 : 6;
      const out = ratesOf(FIELD, under({ by, amount, rule: 'all alike' }, { second }));
      expect(by === 'dollars' ? out.totals.cost : out.totals.product_tons).toBeLessThanOrEqual(amount);
      expect(out.totals.cost).toBeGreaterThan(0);
    }
  });
});

function failed(): never {
  throw new Error('no zone came out');
}
