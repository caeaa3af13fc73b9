import { type BudgetZone, type Choice, HAIR, LB_PER_TON, lastOf, optionAt, spent } from './budget-options.ts';
import { type BestReturn, equalMarginal } from './marginal.ts';
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

/** Order in which the worst first are fed: what is short, then what is not, then what stands above the range. */
const tierOf = (zone: BudgetZone): number => (zone.aboveRange ? 2 : zone.short ? 0 : 1);

/** The zones as the worst first feeds them, each with its index, place and tier. */
function inOrder(zones: readonly BudgetZone[]) {
  const place = (zone: BudgetZone): number => (Number.isNaN(zone.standing) ? Infinity : zone.standing);
  const order = zones.map((zone, index) => ({ zone, index, at: place(zone), tier: tierOf(zone) }));
  return order.sort((a, b) => a.tier - b.tier || (a.at === b.at ? a.index - b.index : a.at < b.at ? -1 : 1));
}

/** The first zone in that order that a choice does not give all it asks for; null where each gets it. */
export const worstUnfed = (zones: readonly BudgetZone[], choice: Choice): number | null =>
  inOrder(zones).find(({ zone, index }) => (choice[index] ?? 0) < lastOf(zone))?.index ?? null;

/**
 * Zone after zone: those short of their target before those that are not, ground above the range last, and of each the lowest reading relative to its
 * target first. Each gets all that it asks for; the first that the money left does not pay in full gets the most that is paid, and no zone after it
 * gets anything: ground that stands better is never fed before it, and what is left stays unspent. Zones that stand alike are fed together,
 * each by the same share (`allAlike`), so that neither the order of the list nor ground cut in two changes what is spent.
 */
export function worstFirst(zones: readonly BudgetZone[], { by, amount }: Pick<Budget, 'by' | 'amount'>): Choice {
  const choice = zones.map(() => 0);
  let left = amount - spent(zones, choice, by);
  if (left < -HAIR) return choice;
  const order = inOrder(zones);
  while (order.length > 0) {
    const { at: worst, tier } = order[0] ?? { at: Infinity, tier: 0 };
    const after = order.findIndex(
      (one) => one.tier !== tier || (one.at !== worst && !(one.at <= worst * (1 + SAME_STANDING))),
    );
    const alike = order.splice(0, after < 0 ? order.length : after);
    const fed = alike.map(({ zone }) => zone);
    const base = spent(
      fed,
      fed.map(() => 0),
      by,
    );
    const given = allAlike(fed, { by, amount: left + base });
    alike.forEach(({ index }, one) => {
      choice[index] = given[one] ?? 0;
    });
    left -= spent(fed, given, by) - base;
    if (fed.some((zone, one) => (given[one] ?? 0) < lastOf(zone))) break;
  }
  return choice;
}

/**
 * A choice in the words of the result: tons, dollars, what is left undone of what the ledger asks for before any cap, the acres of short ground that get less than
 * without a budget, and what it may return over its cost.
 */
export function wayOf(rule: Rule, zones: readonly BudgetZone[], { choice, gap_dollars }: BestReturn): BudgetWay {
  let tons = 0;
  let cost = 0;
  let undone_lbK2O = 0;
  let shortAcres = 0;
  let returns: { low: number; middle: number; high: number } | null = { low: 0, middle: 0, high: 0 };
  const rows = zones.map((zone, index) => {
    const got = optionAt(zone, choice[index] ?? 0);
    const asked = optionAt(zone, lastOf(zone));
    const undone = Math.max(0, zone.asked_lbK2OPerAc - got.given_lbK2OPerAc);
    tons += (zone.acres * got.rate_lbPerAc) / LB_PER_TON;
    cost += zone.acres * got.cost_perAc;
    undone_lbK2O += zone.acres * undone;
    if (zone.short && got.given_lbK2OPerAc < asked.given_lbK2OPerAc - HAIR) shortAcres += zone.acres;
    returns =
      returns === null || got.return_perAc === null
        ? null
        : {
            low: returns.low + zone.acres * (got.return_perAc.low - got.cost_perAc),
            middle: returns.middle + zone.acres * (got.return_perAc.middle - got.cost_perAc),
            high: returns.high + zone.acres * (got.return_perAc.high - got.cost_perAc),
          };
    return {
      key: zone.key,
      rate_lbPerAc: got.rate_lbPerAc,
      asked_lbPerAc: asked.rate_lbPerAc,
      undone_lbK2OPerAc: undone,
    };
  });
  return { rule, tons, cost, undone_lbK2O, shortAcres, return_dollars: returns, gap_dollars, zones: rows };
}

/** The choice of one rule, and how far it may be from what the rule aims at, dollars; null where it needs a return and the zones have none. */
export function choiceBy(rule: Rule, zones: readonly BudgetZone[], budget: Budget): BestReturn | null {
  if (rule === 'all alike') return { choice: allAlike(zones, budget), gap_dollars: 0 };
  if (rule === 'worst first') return { choice: worstFirst(zones, budget), gap_dollars: 0 };
  return zones.every((zone) => zone.options.every((option) => option.return_perAc !== null))
    ? equalMarginal(zones, budget, [allAlike(zones, budget), worstFirst(zones, budget)])
    : null;
}
