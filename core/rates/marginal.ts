import { type BudgetZone, type Choice, HAIR, netReturn, sameOptions, spent } from './budget-options.ts';
import { type Corner, efficient, type Linear, linearBound, lossesAt } from './marginal-bound.ts';
import type { Budget } from './settings.ts';

/** A way to share by return, and how far it can be from the best there is, dollars: 0 where it is the best to the cent. */
export interface BestReturn {
  readonly choice: Choice;
  readonly gap_dollars: number;
}

/** Half a cent: ways that return as nearly the same are as good. */
export const SAME_DOLLARS = 0.005;
/** Sums and comparisons that may be made; shared by the zones, so that the time is bounded and the same everywhere. */
const WORK = 3e6;
const MOST_STATES = 8000;
/** States of a stage that are filled up by the bound's own steps, to find a good way early. */
const FILLED = 6;

/**
 * The way of most return over cost that the budget pays: no dollar (or ton) could go elsewhere and return more, as long as ground of one reading
 * gets one rate: zones with the same options and standing are fed as one, so that a cut through them changes nothing. Exact to half a cent: a dynamic
 * programme over the zones, those that move most of the budget first. A part-way choice is dropped where another takes no more and
 * returns no less, or where even the rest cut to fit (`linearBound`) could not beat the best found. It begins with the greedy choice and with `others`, so that
 * it never returns less than they. Where the work allowed is used up the part-way choices with the best outlook are kept, and
 * `gap_dollars` is the most that those dropped could have returned beyond the answer (`work`: that many comparisons in all). Of equals the one found first. Cost: 40 zones of 160 options under 0.2 s.
 * Source: multiple-choice knapsack by dynamic programming with upper bounds, as Pisinger 1995, European Journal of
 * Operational Research 83:394-410 (from memory, confirm against the paper); ours as to passes and grouping.
 */
export function equalMarginal(
  zones: readonly BudgetZone[],
  { by, amount }: Pick<Budget, 'by' | 'amount'>,
  others: readonly Choice[] = [],
  work = WORK,
): BestReturn {
  const nothing = zones.map(() => 0);
  if (spent(zones, nothing, by) > amount + HAIR) return { choice: nothing, gap_dollars: 0 };
  const groups = alike(zones);
  const fed = groups.flatMap((members): BudgetZone[] => {
    const one = zones[members[0] ?? -1];
    return one ? [{ ...one, acres: members.reduce((all, at) => all + (zones[at]?.acres ?? 0), 0) }] : [];
  });
  const apart = (choice: Choice): Choice => {
    const all = zones.map(() => 0);
    groups.forEach((members, group) => {
      for (const member of members) all[member] = choice[group] ?? 0;
    });
    return all;
  };
  const starts = others
    .map((choice) => groups.map(([first = 0]) => choice[first] ?? 0))
    .filter((choice) => spent(fed, choice, by) <= amount + HAIR);
  const found = search(fed, by, amount, [fed.map(() => 0), ...starts], work);
  return { choice: apart(found.choice), gap_dollars: found.gap_dollars };
}

/** Zones of the same options and standing put together, each group by the indices of its zones. */
function alike(zones: readonly BudgetZone[]): readonly (readonly number[])[] {
  const groups: number[][] = [];
  zones.forEach((zone, index) => {
    const group = groups.find(([first = 0]) => {
      const other = zones[first];
      return other !== undefined && sameOptions(zone, other);
    });
    if (group) group.push(index);
    else groups.push([index]);
  });
  return groups;
}

/** Part-way choices after some zones, rising in what they take and return. */
interface States {
  readonly count: number;
  readonly takes: Float64Array;
  readonly net: Float64Array;
  /** Index among the states of the zone before, and the option of this zone. */
  readonly from: Int32Array;
  readonly option: Int32Array;
}

function search(
  zones: readonly BudgetZone[],
  by: Budget['by'],
  amount: number,
  starts: readonly Choice[],
  work: number,
): BestReturn {
  let best: Choice = starts[0] ?? [];
  let bestNet = -Infinity;
  const offer = (choice: Choice): void => {
    const net = netReturn(zones, choice);
    if (net > bestNet + HAIR) [best, bestNet] = [choice, net];
  };
  starts.forEach(offer);
  const lists = zones.map((zone) => efficient(zone, by));
  const whole = linearBound(lists, amount);
  offer(whole.filled(amount).map((at, index) => lists[index]?.[at]?.option ?? 0));
  const bound = whole.at(amount);
  if (bound <= bestNet + SAME_DOLLARS) return { choice: best, gap_dollars: 0 };

  // an option that loses more against the bound than the best found does cannot be in a better way
  const losses = lossesAt(lists, whole.slopeAt(amount));
  const kept = lists.map((list, index) => list.filter((_, at) => (losses[index]?.[at] ?? 0) <= bound - bestNet));
  const reach = (index: number): number => (kept[index]?.at(-1)?.takes ?? 0) - (kept[index]?.[0]?.takes ?? 0);
  const order = zones.map((_, index) => index);
  order.sort((a, b) => reach(b) - reach(a) || (zones[b]?.acres ?? 0) - (zones[a]?.acres ?? 0) || a - b);
  const ordered = order.map((index) => kept[index] ?? []);
  const rests = ordered.map((_, stage) => linearBound(ordered.slice(stage + 1), amount));

  const stages: States[] = [];
  let now: States = {
    count: 1,
    takes: Float64Array.of(0),
    net: Float64Array.of(0),
    from: Int32Array.of(-1),
    option: Int32Array.of(-1),
  };
  let dropped = -Infinity;
  const choiceAt = (stage: number, state: number): number[] => {
    const choice = [...best];
    let at = state;
    for (let back = stage; back >= 0; back--) {
      const states = stages[back];
      choice[order[back] ?? 0] = states?.option[at] ?? 0;
      at = states?.from[at] ?? 0;
    }
    return choice;
  };
  for (let stage = 0; stage < ordered.length; stage++) {
    const options = ordered[stage] ?? [];
    const rest = rests[stage];
    if (!rest) break;
    const most = Math.max(1, Math.min(MOST_STATES, Math.floor(work / ordered.length / (3 * options.length))));
    const wide = widen(now, options, rest, amount, bestNet + SAME_DOLLARS, most);
    dropped = Math.max(dropped, wide.dropped);
    now = wide.states;
    stages.push(now);
    for (const state of wide.outlook) {
      const choice = choiceAt(stage, state);
      rest.filled(amount - (now.takes[state] ?? 0)).forEach((at, index) => {
        choice[order[stage + 1 + index] ?? 0] = ordered[stage + 1 + index]?.[at]?.option ?? 0;
      });
      if (spent(zones, choice, by) <= amount + HAIR) offer(choice);
    }
  }
  const gap = dropped - bestNet;
  return { choice: best, gap_dollars: gap > SAME_DOLLARS ? Math.min(gap, bound - bestNet) : 0 };
}

/** The states after one more zone, no more than `most` of them, and the few with the best outlook. */
function widen(
  states: States,
  options: readonly Corner[],
  rest: Linear,
  amount: number,
  beat: number,
  most: number,
): { readonly states: States; readonly dropped: number; readonly outlook: readonly number[] } {
  let dropped = -Infinity;
  let all: States = emptyStates(0);
  for (const option of options) {
    all = merge(all, states, option, rest, amount, beat);
    if (all.count <= 2 * most + FILLED) continue;
    const cut = keepBest(all, rest, amount, most);
    all = cut.states;
    dropped = Math.max(dropped, cut.dropped);
  }
  if (all.count > most) {
    const cut = keepBest(all, rest, amount, most);
    all = cut.states;
    dropped = Math.max(dropped, cut.dropped);
  }
  const outlooks = outlooksOf(all, rest, amount);
  const outlook: number[] = [];
  outlooks.forEach((value, state) => {
    const place = outlook.findIndex((other) => value > (outlooks[other] ?? 0));
    if (place >= 0) outlook.splice(place, 0, state);
    else if (outlook.length < FILLED) outlook.push(state);
    if (outlook.length > FILLED) outlook.pop();
  });
  return { states: all, dropped, outlook };
}

const emptyStates = (size: number): States => ({
  count: 0,
  takes: new Float64Array(size),
  net: new Float64Array(size),
  from: new Int32Array(size),
  option: new Int32Array(size),
});

/** States of before with one option of the zone, merged into those with the options before it; what another state beats is left out. */
function merge(into: States, before: States, option: Corner, rest: Linear, amount: number, beat: number): States {
  const out = emptyStates(into.count + before.count);
  let count = 0;
  let best = -Infinity;
  const put = (taken: number, net: number, from: number, of: number): void => {
    if (net <= best + HAIR) return;
    best = net;
    out.takes[count] = taken;
    out.net[count] = net;
    out.from[count] = from;
    out.option[count] = of;
    count += 1;
  };
  let left = 0;
  let right = 0;
  while (left < into.count || right < before.count) {
    const taken = right < before.count ? (before.takes[right] ?? 0) + option.takes : Infinity;
    const old = left < into.count ? (into.takes[left] ?? 0) : Infinity;
    if (old <= taken) {
      put(old, into.net[left] ?? 0, into.from[left] ?? 0, into.option[left] ?? 0);
      left += 1;
      continue;
    }
    const net = (before.net[right] ?? 0) + option.net;
    if (taken <= amount + HAIR && net > best + HAIR && net + rest.at(amount - taken) > beat)
      put(taken, net, right, option.option);
    right += 1;
  }
  return { ...out, count };
}

/** Most that each state can come to, by the bound of the zones that are left. */
const outlooksOf = (states: States, rest: Linear, amount: number): Float64Array =>
  Float64Array.from(
    { length: states.count },
    (_, at) => (states.net[at] ?? 0) + rest.at(amount - (states.takes[at] ?? 0)),
  );

/** The states with the best outlook, in their order, and the best outlook of those dropped. */
function keepBest(
  states: States,
  rest: Linear,
  amount: number,
  most: number,
): { readonly states: States; readonly dropped: number } {
  const outlooks = outlooksOf(states, rest, amount);
  const ranked = Float64Array.from(outlooks).sort();
  const limit = ranked[Math.max(0, states.count - most)] ?? -Infinity;
  const out = emptyStates(most);
  let count = 0;
  let dropped = -Infinity;
  for (let at = 0; at < states.count; at++) {
    const outlook = outlooks[at] ?? 0;
    if (outlook < limit || count === most) {
      dropped = Math.max(dropped, outlook);
      continue;
    }
    out.takes[count] = states.takes[at] ?? 0;
    out.net[count] = states.net[at] ?? 0;
    out.from[count] = states.from[at] ?? 0;
    out.option[count] = states.option[at] ?? 0;
    count += 1;
  }
  return { states: { ...out, count }, dropped };
}
