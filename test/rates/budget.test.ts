import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { allAlike, worstFirst } from '../../core/rates/budget.ts';
import { type BudgetZone, netReturn, type Option, spent } from '../../core/rates/budget-options.ts';
import { carriedSum } from '../../core/rates/ledger.ts';
import { equalMarginal, SAME_DOLLARS } from '../../core/rates/marginal.ts';
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
  const asked_lbK2OPerAc = (rates.at(-1) ?? 0) * 0.6;
  return { key, acres, standing, short: true, aboveRange: false, asked_lbK2OPerAc, options };
}

const dollars1194 = { by: 'dollars', amount: 1194, rule: 'equal marginal return' } as const;
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
  it('is the best of all choices, by brute force, and never over the budget', () => {
    fc.assert(
      fc.property(anyZones, by, fc.double({ min: 0, max: 1, noNaN: true }), (zones, unit, share) => {
        const all = spent(
          zones,
          zones.map((zone) => zone.options.length - 1),
          unit,
        );
        const budget = { by: unit, amount: all * share };
        const { choice, gap_dollars } = equalMarginal(deepFreeze(zones), budget);
        expect(gap_dollars).toBe(0);
        expect(spent(zones, choice, unit)).toBeLessThanOrEqual(budget.amount + 1e-6);
        expect(netReturn(zones, choice)).toBeGreaterThan(bruteForce(zones, budget) - SAME_DOLLARS - 1e-6);
      }),
      { numRuns: 300 },
    );
  });
  it('moves three zones at once where that is best: 75, 0 and 0 lb return $671, and 0, 200 and 125 return $259', () => {
    const out = ratesOf(
      [
        { k_ppm: 76, cec_meq: 20, acres: 47 },
        { k_ppm: 83, cec_meq: 20, acres: 9 },
        { k_ppm: 106, cec_meq: 20, acres: 20 },
      ],
      corn({
        governs: 'ppm',
        machine: { least_lbPerAc: 50, most_lbPerAc: 800, step_lbPerAc: 25, distinctRates: null },
        passes: corn().passes.slice(0, 1),
        cropPrice_perUnit: 4.5,
        response: {
          model: 'quadratic plateau',
          atZero_pct: 60,
          reachedLow_ppm: 170,
          reachedHigh_ppm: 170,
          source: 'trial',
        },
        budget: dollars1194,
      }),
    );
    expect(out.zones.map((zone) => zone.rate_lbPerAc)).toEqual([75, 0, 0]);
    const way = out.budget?.find((one) => one.rule === 'equal marginal return');
    expect(way?.return_dollars?.middle).toBeCloseTo(671, 0);
    expect(way?.gap_dollars).toBe(0);
  });
  it('says how far it may be from the best where the work allowed does not prove it, and that holds', () => {
    // steps whose returns fall in no order: many ways end nearly alike
    const zones = Array.from({ length: 8 }, (_, zone) =>
      zoneOf(
        `${zone}`,
        7 + zone * 3,
        Array.from({ length: 5 }, (__, index) => index * 50),
        (rate) => rate * (0.3 + 0.05 * ((rate / 50 + zone) % 3)),
        zone / 10,
      ),
    );
    const budget = dollars(1500);
    const best = bruteForce(zones, budget);
    for (const work of [1, 100, 3e6]) {
      const { choice, gap_dollars } = equalMarginal(zones, budget, [], work);
      expect(netReturn(zones, choice) + gap_dollars).toBeGreaterThan(best - SAME_DOLLARS - 1e-6);
      if (work === 3e6) expect(gap_dollars).toBe(0);
    }
  });
  it('feeds parts of the same ground alike: a cut through a zone changes nothing', () => {
    const plan = corn({
      buildUp_years: 8,
      machine: { least_lbPerAc: 50, most_lbPerAc: 800, step_lbPerAc: 25, distinctRates: null },
      cropPrice_perUnit: 5,
      response: {
        model: 'linear plateau',
        atZero_pct: 50,
        reachedLow_ppm: 120,
        reachedHigh_ppm: 180,
        source: 'trial',
      },
      budget: { by: 'dollars', amount: 502, rule: 'equal marginal return' },
    });
    const two = [
      { k_ppm: 106, cec_meq: 7.9, acres: 10 },
      { k_ppm: 107, cec_meq: 7.9, acres: 10 },
    ];
    const light = (acres: number) => ({ k_ppm: 92, cec_meq: 4, acres });
    const whole = ratesOf([...two, light(20)], plan);
    for (const parts of [
      [8, 12],
      [5, 5, 10],
    ])
      expect(ratesOf([...two, ...parts.map(light)], plan).totals.product_lb).toBeCloseTo(whole.totals.product_lb, 6);
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
  it('fills the zone that stands lowest, then the next as far as it goes; what is left stays unspent', () => {
    const zones = [
      zoneOf('better', 10, RATES, () => 0, 0.9),
      zoneOf('worst', 10, [0, 50, 100], () => 0, 0.3),
      zoneOf('unknown', 10, RATES, () => 0, Number.NaN),
    ];
    // worst: 100 lb, 29 an acre; then 310 dollars left pay 100 lb at 29 on the better, and 20 pay nothing on the last
    expect(worstFirst(zones, dollars(600))).toEqual([2, 2, 0]);
    // 20 acres of the worst take 380 for its least rate: 300 pay nothing there, and nobody else is fed before it
    const [better, , unknown] = zones;
    const large = zoneOf('worst', 20, [0, 50, 100], () => 0, 0.3);
    expect(worstFirst([better ?? large, large, unknown ?? large], dollars(300))).toEqual([0, 0, 0]);
  });
  it('pays no ground that is not short, or above the range, while a short one is unpaid', () => {
    const short = { ...zoneOf('short', 20, RATES, () => 0, 0.9) };
    const even = { ...zoneOf('even', 2, RATES, () => 0, 0.8), short: false };
    const above = { ...zoneOf('above', 2, RATES, () => 0, 0.5), short: false, aboveRange: true };
    expect(worstFirst([above, even, short], dollars(600))).toEqual([0, 0, 2]);
    // 20 x 59 for the short one, then 2 x 59 for what is not short
    expect(worstFirst([above, even, short], dollars(1300))).toEqual([0, 5, 5]);
    const out = ratesOf(
      [
        { k_ppm: 100, cec_meq: 3, acres: 5 },
        { k_ppm: 120, cec_meq: 12, acres: 40 },
        { k_ppm: 200, cec_meq: 10, acres: 5 },
      ],
      corn({ budget: { by: 'dollars', amount: 900, rule: 'worst first' } }),
    );
    expect(out.zones.map((zone) => (zone.rate_lbPerAc ?? 0) > 0)).toEqual([false, true, false]);
    expect(out.problems.find((one) => one.code === 'rates-budget-unspent')?.message).toMatch(
      /^\$\d+ of the budget stay unspent: .* zone B/,
    );
  });
  it('never gives ground with more K a higher rate', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 380 }),
        fc.integer({ min: 1, max: 80 }),
        fc.constantFrom(3, 5, 10, 12, 20),
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 0, max: 4000 }),
        (k_ppm, more, cec_meq, a, b, amount) => {
          const [low, high] = ratesOf(
            [
              { k_ppm, cec_meq, acres: a },
              { k_ppm: k_ppm + more, cec_meq, acres: b },
            ],
            corn({ budget: { by: 'dollars', amount, rule: 'worst first' } }),
          ).zones;
          expect(high?.rate_lbPerAc ?? 0).toBeLessThanOrEqual(low?.rate_lbPerAc ?? 0);
        },
      ),
      { numRuns: 60 },
    );
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
      expect(way?.undone_lbK2O).toBeCloseTo(out.totals.undone_lbK2O, 6);
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
      const middle = ways.map((way) => way.return_dollars?.middle ?? 0);
      expect(middle[2]).toBeGreaterThanOrEqual(Math.max(middle[0] ?? 0, middle[1] ?? 0) - 1e-6);
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
  it('undone is what is asked for less what is given, also where the machine lifts a share to its least rate', () => {
    for (const amount of [1000, 2500, 4000, 5500]) {
      const out = ratesOf(FIELD, under({ by: 'dollars', amount, rule: 'all alike' }));
      for (const zone of out.zones) {
        const asked = ['crop', 'aboveRange', 'credits'].reduce(
          (all, key) => all + (zone.lines.find((line) => line.key === key)?.carried ?? 0),
          0,
        );
        expect(zone.undone_lbK2OPerAc).toBeCloseTo(Math.max(0, asked - (zone.k2o_lbPerAc ?? 0)), 6);
        expect(Object.values(zone.leftBy).reduce((all: number, one: number) => all + one, 0)).toBeCloseTo(
          zone.undone_lbK2OPerAc,
          6,
        );
      }
    }
    // 40 lb K2O asked for; a share of some 13 lb of product is lifted to the least 50 lb, 30 lb K2O: 10 are undone
    const lifted = ratesOf(
      [{ k_ppm: 200, cec_meq: 10, acres: 10 }],
      under({ by: 'dollars', amount: 200, rule: 'all alike' }),
    );
    expect(lifted.zones[0]?.rate_lbPerAc).toBe(50);
    expect(lifted.zones[0]?.undone_lbK2OPerAc).toBeCloseTo(10, 9);
    expect(lifted.zones[0]?.leftBy.budget_lbK2OPerAc).toBeCloseTo(10, 9);
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
