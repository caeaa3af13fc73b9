import { type BudgetZone, HAIR, netOf, takes } from './budget-options.ts';
import type { Budget } from './settings.ts';

/** An option of a zone over all its acres. */
export interface Corner {
  readonly option: number;
  readonly takes: number;
  readonly net: number;
}

/** The options of a zone that no other one beats: rising in what they take and in their return over cost. */
export function efficient(zone: BudgetZone, by: Budget['by']): readonly Corner[] {
  const all = zone.options.map(
    (_, option): Corner => ({ option, takes: takes(zone, option, by), net: netOf(zone, option) }),
  );
  all.sort((a, b) => a.takes - b.takes || b.net - a.net || a.option - b.option);
  const kept: Corner[] = [];
  for (const one of all) if (one.net > (kept.at(-1)?.net ?? -Infinity) + HAIR) kept.push(one);
  return kept;
}

/** A step from one corner of a zone's upper hull to the next. */
interface HullStep {
  readonly zone: number;
  readonly to: number;
  readonly takes: number;
  readonly gains: number;
  readonly slope: number;
}

/** Most that some zones can return over their cost by an amount of the budget, where the last step may be cut to fit. */
export interface Linear {
  /** Dollars; -Infinity where the amount does not even pay the least of each zone. */
  readonly at: (amount: number) => number;
  /** Return over cost of the next unit of the budget there; 0 where all that gains is paid. */
  readonly slopeAt: (amount: number) => number;
  /** The hull's steps taken in order of return while they fit: the place of each zone's choice in its list. */
  readonly filled: (amount: number) => readonly number[];
}

/**
 * The bound of zones by their options (`efficient`). Each list is cut to its upper hull of return over cost against what it takes, so that the charge for
 * a pass is in the first step; steps of all zones in falling order of return per unit are the best way to spend if the last may be cut. A query is a binary search.
 */
export function linearBound(lists: readonly (readonly Corner[])[], most: number): Linear {
  const steps = lists.flatMap(hullSteps);
  steps.sort((a, b) => b.slope - a.slope || a.zone - b.zone || a.to - b.to);
  let base = 0;
  let baseNet = 0;
  for (const list of lists) {
    base += list[0]?.takes ?? 0;
    baseNet += list[0]?.net ?? 0;
  }
  const taken = new Float64Array(steps.length + 1);
  const net = new Float64Array(steps.length + 1);
  taken[0] = base;
  net[0] = baseNet;
  steps.forEach((step, index) => {
    taken[index + 1] = (taken[index] ?? 0) + step.takes;
    net[index + 1] = (net[index] ?? 0) + step.gains;
  });
  /** The last corner that an amount pays. */
  const place = (amount: number): number => {
    let low = 0;
    let high = steps.length;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((taken[middle] ?? Infinity) <= amount + HAIR) low = middle;
      else high = middle - 1;
    }
    return low;
  };
  return {
    at: (amount) => {
      if (amount < base - HAIR) return -Infinity;
      const last = place(Math.min(amount, most));
      const part = Math.max(0, amount - (taken[last] ?? 0));
      return (net[last] ?? 0) + (last < steps.length ? part * (steps[last]?.slope ?? 0) : 0);
    },
    slopeAt: (amount) => steps[place(amount)]?.slope ?? 0,
    filled: (amount) => {
      const choice = lists.map(() => 0);
      const closed = new Set<number>();
      let left = amount - base;
      for (const step of steps) {
        if (closed.has(step.zone)) continue;
        if (step.takes <= left + HAIR) {
          choice[step.zone] = step.to;
          left -= step.takes;
        } else closed.add(step.zone);
      }
      return choice;
    },
  };
}

/** Steps from corner to corner of the upper hull, in falling order of gain per unit of the budget. */
function hullSteps(list: readonly Corner[], zone: number): readonly HullStep[] {
  const step = (from: number, to: number): HullStep => {
    const more = (list[to]?.takes ?? 0) - (list[from]?.takes ?? 0);
    const gains = (list[to]?.net ?? 0) - (list[from]?.net ?? 0);
    return { zone, to, takes: more, gains, slope: more > 0 ? gains / more : Infinity };
  };
  const corners = [0];
  for (let to = 1; to < list.length; to++) {
    for (;;) {
      const last = corners.at(-1) ?? 0;
      const before = corners.at(-2);
      if (before === undefined || step(before, last).slope > step(last, to).slope) break;
      corners.pop();
    }
    corners.push(to);
  }
  return corners.slice(1).map((to, at) => step(corners[at] ?? 0, to));
}

/** What each option loses against the best of its zone when a unit of the budget costs `slope` dollars. */
export const lossesAt = (lists: readonly (readonly Corner[])[], slope: number): readonly (readonly number[])[] =>
  lists.map((list) => {
    const worth = list.map(({ takes: taken, net }) => net - slope * taken);
    const best = Math.max(...worth);
    return worth.map((one) => best - one);
  });
