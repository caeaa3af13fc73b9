import { type BudgetZone, type Choice, HAIR, lastOf, netOf, netReturn, spent, takes } from './budget-options.ts';
import type { Budget } from './settings.ts';

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
 * fit (of equals as they are listed), and the choice is bettered by moving one zone or two at a time. Exact where steps
 * are fine enough to spend all. Else the best lies no further off than `gap_dollars`, the return of the hulls' steps cut to fit
 * exactly less this one, and in trials against every choice there is it was the best in nearly all. Cost: zones x zones x options x log options.
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
  exchange(zones, choice, left, by);
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

/** Rounds of exchange at most: each gains something, and a handful is enough. */
const MOST_ROUNDS = 40;

/**
 * Betters a choice as long as moving one zone to another option, and with the money so freed or left a second one, gains something; the largest
 * gain first, of equals the first listed. Changes `choice`. A round costs zones x zones x options x log options.
 */
function exchange(zones: readonly BudgetZone[], choice: number[], left: number, by: Budget['by']): void {
  const best = zones.map((zone) => bestWithin(zone, by));
  let rest = left;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    let move: { gains: number; more: number; set: readonly (readonly [zone: number, option: number])[] } | null = null;
    for (const [first, zone] of zones.entries()) {
      const now = choice[first] ?? 0;
      for (let to = 0; to <= lastOf(zone); to++) {
        const more = takes(zone, to, by) - takes(zone, now, by);
        const gains = netOf(zone, to) - netOf(zone, now);
        if (more <= rest + HAIR && gains > (move?.gains ?? 0) + HAIR) move = { gains, more, set: [[first, to]] };
        if (more > rest + HAIR || to === now) continue;
        for (const [second, other] of zones.entries()) {
          if (second === first) continue;
          const was = choice[second] ?? 0;
          const option = best[second]?.(rest - more + takes(other, was, by)) ?? was;
          const both = gains + netOf(other, option) - netOf(other, was);
          if (both > (move?.gains ?? 0) + HAIR)
            move = {
              gains: both,
              more: more + takes(other, option, by) - takes(other, was, by),
              set: [
                [first, to],
                [second, option],
              ],
            };
        }
      }
    }
    if (move === null) return;
    for (const [zone, option] of move.set) choice[zone] = option;
    rest -= move.more;
  }
}

/** Finds the option of a zone with the largest return over cost that an amount of the budget pays; of equals the one that takes least. */
function bestWithin(zone: BudgetZone, by: Budget['by']): (amount: number) => number {
  const order = zone.options.map((_, index) => index).sort((a, b) => takes(zone, a, by) - takes(zone, b, by) || a - b);
  const costs = order.map((index) => takes(zone, index, by));
  const winners: number[] = [];
  for (const index of order) {
    const last = winners.at(-1);
    winners.push(last === undefined || netOf(zone, index) > netOf(zone, last) + HAIR ? index : last);
  }
  return (amount) => {
    let low = 0;
    let high = costs.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((costs[middle] ?? Infinity) <= amount + HAIR) low = middle + 1;
      else high = middle;
    }
    return winners[Math.max(0, low - 1)] ?? 0;
  };
}
