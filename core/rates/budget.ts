import type { Budget } from './settings.ts';
import type { BudgetWay } from './types.ts';

/** One rate that a zone may get under a budget: a rate of the machine, from nothing to what its ledger asks for. */
export interface Option {
  /** K2O handed to the passes and the machine to come to this rate. */
  readonly k2o_lbPerAc: number;
  /** What they make of it. */
  readonly given_lbK2OPerAc: number;
  readonly rate_lbPerAc: number;
  readonly cost_perAc: number;
  /** By the response curve: in the middle of its doubt, and the band; null without one. */
  readonly return_perAc: { readonly middle: number; readonly low: number; readonly high: number } | null;
}

/** A zone that shares in the budget. */
export interface BudgetZone {
  readonly key: string;
  readonly acres: number;
  /** Reading over its target: the smaller, the worse off. NaN counts as the best off. */
  readonly standing: number;
  /** True where the zone is short of its target. */
  readonly short: boolean;
  /** Rising in rate and cost; the first is nothing, the last what is asked. One alone where the rate may not be changed. */
  readonly options: readonly Option[];
}

export type Rule = Budget['rule'];
export const RULES = ['all alike', 'worst first', 'equal marginal return'] as const satisfies readonly Rule[];

/** Index of the option of each zone, in the zones' order. */
export type Choice = readonly number[];

const HAIR = 1e-6;
const LB_PER_TON = 2000;
const optionAt = (zone: BudgetZone, index: number): Option => {
  const option = zone.options[index];
  if (!option) throw new Error(`zone ${zone.key} has no option ${index}`);
  return option;
};
const lastOf = (zone: BudgetZone): number => zone.options.length - 1;

/** What an option takes of the budget: dollars with the charge for passes, or tons of product. */
const takes = (zone: BudgetZone, index: number, by: Budget['by']): number => {
  const { cost_perAc, rate_lbPerAc } = optionAt(zone, index);
  return zone.acres * (by === 'dollars' ? cost_perAc : rate_lbPerAc / LB_PER_TON);
};

/** What a choice takes of the budget. */
export const spent = (zones: readonly BudgetZone[], choice: Choice, by: Budget['by']): number =>
  zones.reduce((all, zone, index) => all + takes(zone, choice[index] ?? 0, by), 0);

/** Return over cost of a choice in the middle of the doubt, dollars; an option without a return counts its cost alone. */
export const netReturn = (zones: readonly BudgetZone[], choice: Choice): number =>
  zones.reduce((all, zone, index) => all + netOf(zone, choice[index] ?? 0), 0);
const netOf = (zone: BudgetZone, index: number): number => {
  const { cost_perAc, return_perAc } = optionAt(zone, index);
  return zone.acres * ((return_perAc?.middle ?? 0) - cost_perAc);
};

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

/**
 * Zone after zone, that with the lowest reading relative to its target first (of equals as they are listed): each gets the most of
 * what it asks for that the money left can pay.
 */
export function worstFirst(zones: readonly BudgetZone[], { by, amount }: Pick<Budget, 'by' | 'amount'>): Choice {
  const choice = zones.map(() => 0);
  let left = amount - spent(zones, choice, by);
  const place = (standing: number): number => (Number.isNaN(standing) ? Infinity : standing);
  const order = zones.map((_, index) => index);
  order.sort((a, b) => {
    const [one, other] = [place(zones[a]?.standing ?? Infinity), place(zones[b]?.standing ?? Infinity)];
    return one === other ? a - b : one < other ? -1 : 1;
  });
  for (const index of order) {
    const zone = zones[index];
    if (!zone) continue;
    const base = takes(zone, 0, by);
    for (let option = lastOf(zone); option > 0; option--) {
      const more = takes(zone, option, by) - base;
      if (more > left + HAIR) continue;
      choice[index] = option;
      left -= more;
      break;
    }
  }
  return choice;
}

/** A way to share by return, and how far it can be from the best there is, dollars: 0 where it is the best. */
export interface BestReturn {
  readonly choice: Choice;
  readonly gap_dollars: number;
}

/**
 * The next dollar (or ton) goes where it returns most over its cost, as long as it returns more than it costs.
 *
 * Each zone's options are reduced to those on the upper hull of return over cost against what they take, so that the
 * charge for a pass is in the first step; the hulls' steps are then taken in order of return per dollar or ton while they
 * fit (of equals as they are listed), and what is left goes, largest gain first, to single options that still fit. Exact where steps
 * are fine enough to spend all. Else the best lies no further off than the part of one hull step that did not fit:
 * `gap_dollars` is the return of the same steps cut to fit exactly, less this one. Cost: options x log options.
 * Source: greedy choice on the hull of a multiple-choice knapsack; ours as to passes.
 */
export function equalMarginal(zones: readonly BudgetZone[], { by, amount }: Pick<Budget, 'by' | 'amount'>): BestReturn {
  const choice = zones.map(() => 0);
  let left = amount - spent(zones, choice, by);
  let bound = netReturn(zones, choice);
  if (left < -HAIR) return { choice, gap_dollars: 0 };
  const steps = zones.flatMap((zone, index) => hullSteps(zone, index, by));
  steps.sort((a, b) => (b.slope === a.slope ? a.zone - b.zone || a.to - b.to : b.slope - a.slope));
  const closed = new Set<number>();
  let full = false;
  for (const step of steps) {
    if (!full) {
      const part = step.takes > 0 ? Math.min(1, Math.max(0, left) / step.takes) : 1;
      bound += part * step.gains;
      if (part < 1) full = true;
    }
    if (closed.has(step.zone)) continue;
    if (step.takes <= left + HAIR) {
      choice[step.zone] = step.to;
      left -= step.takes;
    } else closed.add(step.zone);
  }
  fill(zones, choice, left, by);
  return { choice, gap_dollars: Math.max(0, bound - netReturn(zones, choice)) };
}

interface HullStep {
  readonly zone: number;
  readonly to: number;
  readonly takes: number;
  readonly gains: number;
  readonly slope: number;
}

/** Steps from corner to corner of the upper hull, each gaining something, in falling order of gain per unit of the budget. */
function hullSteps(zone: BudgetZone, index: number, by: Budget['by']): readonly HullStep[] {
  const corners = [0];
  const step = (from: number, to: number): HullStep => {
    const more = takes(zone, to, by) - takes(zone, from, by);
    const gains = netOf(zone, to) - netOf(zone, from);
    return { zone: index, to, takes: more, gains, slope: more > 0 ? gains / more : gains > 0 ? Infinity : 0 };
  };
  for (let to = 1; to <= lastOf(zone); to++) {
    for (;;) {
      const last = corners.at(-1) ?? 0;
      const before = corners.at(-2);
      if (before === undefined || step(before, last).slope > step(last, to).slope) break;
      corners.pop();
    }
    corners.push(to);
  }
  return corners.slice(1).flatMap((to, at) => {
    const one = step(corners[at] ?? 0, to);
    return one.gains > HAIR ? [one] : [];
  });
}

/** Spends what is left on single options that fit, the largest gain first. Changes `choice`. */
function fill(zones: readonly BudgetZone[], choice: number[], left: number, by: Budget['by']): void {
  for (let rest = left; ; ) {
    let best: { zone: number; to: number; gains: number; more: number } | null = null;
    for (const [index, zone] of zones.entries()) {
      const now = choice[index] ?? 0;
      for (let to = 0; to <= lastOf(zone); to++) {
        const more = takes(zone, to, by) - takes(zone, now, by);
        const gains = netOf(zone, to) - netOf(zone, now);
        if (more <= rest + HAIR && gains > HAIR && gains > (best?.gains ?? 0) + HAIR)
          best = { zone: index, to, gains, more };
      }
    }
    if (best === null) return;
    choice[best.zone] = best.to;
    rest -= best.more;
  }
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
