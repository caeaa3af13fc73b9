import { type BudgetZone, type Choice, HAIR, LB_PER_TON, lastOf, optionAt, spent } from './budget-options.ts';
import { equalMarginal } from './marginal.ts';
import type { Budget } from './settings.ts';
import type { BudgetWay } from './types.ts';

export type Rule = Budget['rule'];
export const RULES = ['all alike', 'worst first', 'equal marginal return'] as const satisfies readonly Rule[];

/**
 * One share for all: each zone gets the rate nearest to that share of what it asks for (half a step up), and the share is the
 * largest that the budget pays. Found by halving, to 1e-12. Rates that may not be changed are paid first.
 */
export function allAlike(zones: readonly BudgetZone[], { by, amount }: Pick<Budget, 'by' | 'amount'>): Choice {
  const at = (share: number): Choice => zones.map((zone) => nearest(zone, share));
  if (spent(zones, at(1), by) <= amount + HAIR) return at(1);
  let low = 0;
  let high = 1;
  while (high - low > 1e-12) {
    const middle = (low + high) / 2;
    if (spent(zones, at(middle), by) <= amount + HAIR) low = middle;
    else high = middle;
  }
  return at(low);
}

/** The option nearest to a share of the rate asked for; of two as near the higher, but nothing at a share of 0. */
function nearest(zone: BudgetZone, share: number): number {
  const wanted = share * optionAt(zone, lastOf(zone)).rate_lbPerAc;
  let best = 0;
  if (share <= 0) return best;
  zone.options.forEach((option, index) => {
    const off = Math.abs(option.rate_lbPerAc - wanted);
    if (off <= Math.abs(optionAt(zone, best).rate_lbPerAc - wanted) + 1e-9) best = index;
  });
  return best;
}

/** Readings over target this near, relatively, are the same. */
const SAME_STANDING = 1e-9;

/**
 * Zone after zone, that with the lowest reading relative to its target first: each gets the most of what it asks for that the money left
 * can pay. Zones that stand alike are fed together, each by the same share (`allAlike`), so that neither the order of the list nor ground cut in
 * two changes what is spent.
 */
export function worstFirst(zones: readonly BudgetZone[], { by, amount }: Pick<Budget, 'by' | 'amount'>): Choice {
  const choice = zones.map(() => 0);
  let left = amount - spent(zones, choice, by);
  const place = (zone: BudgetZone): number => (Number.isNaN(zone.standing) ? Infinity : zone.standing);
  const order = zones.map((zone, index) => ({ zone, index, at: place(zone) }));
  order.sort((a, b) => (a.at === b.at ? a.index - b.index : a.at < b.at ? -1 : 1));
  while (order.length > 0) {
    const worst = order[0]?.at ?? Infinity;
    const after = order.findIndex(({ at }) => at !== worst && !(at <= worst * (1 + SAME_STANDING)));
    const alike = order.splice(0, after < 0 ? order.length : after);
    const fed = alike.map(({ zone }) => zone);
    const base = spent(
      fed,
      fed.map(() => 0),
      by,
    );
    const given = left < -HAIR ? fed.map(() => 0) : allAlike(fed, { by, amount: left + base });
    alike.forEach(({ index }, one) => {
      choice[index] = given[one] ?? 0;
    });
    left -= spent(fed, given, by) - base;
  }
  return choice;
}

/** A choice in the words of the result: tons, dollars, what is left undone, and what it may return over its cost. */
export function wayOf(rule: Rule, zones: readonly BudgetZone[], choice: Choice): BudgetWay {
  let tons = 0;
  let cost = 0;
  let undone_lbK2O = 0;
  let shortAcres = 0;
  let returns: { low: number; high: number } | null = { low: 0, high: 0 };
  const rows = zones.map((zone, index) => {
    const got = optionAt(zone, choice[index] ?? 0);
    const asked = optionAt(zone, lastOf(zone));
    const undone = Math.max(0, asked.given_lbK2OPerAc - got.given_lbK2OPerAc);
    tons += (zone.acres * got.rate_lbPerAc) / LB_PER_TON;
    cost += zone.acres * got.cost_perAc;
    undone_lbK2O += zone.acres * undone;
    if (zone.short && undone > HAIR) shortAcres += zone.acres;
    returns =
      returns === null || got.return_perAc === null
        ? null
        : {
            low: returns.low + zone.acres * (got.return_perAc.low - got.cost_perAc),
            high: returns.high + zone.acres * (got.return_perAc.high - got.cost_perAc),
          };
    return {
      key: zone.key,
      rate_lbPerAc: got.rate_lbPerAc,
      asked_lbPerAc: asked.rate_lbPerAc,
      undone_lbK2OPerAc: undone,
    };
  });
  return { rule, tons, cost, undone_lbK2O, shortAcres, return_dollars: returns, zones: rows };
}

/** The choice of one rule; null where it needs a return and the zones have none. */
export function choiceBy(rule: Rule, zones: readonly BudgetZone[], budget: Budget): Choice | null {
  if (rule === 'all alike') return allAlike(zones, budget);
  if (rule === 'worst first') return worstFirst(zones, budget);
  return zones.every((zone) => zone.options.every((option) => option.return_perAc !== null))
    ? equalMarginal(zones, budget).choice
    : null;
}
