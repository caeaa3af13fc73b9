import { leastStep_lbPerAc, type Machine, toMachine } from './machine.ts';
import { type PassCap, splitPasses } from './passes.ts';
import { k2oIn } from './product.ts';
import type { Override, ProductChoice } from './settings.ts';
import { figure, typed } from './text.ts';
import type { LedgerLine } from './types.ts';

export interface ByHand {
  /** lb of product an acre, one per pass; they add up to the typed rate. */
  readonly rates_lbPerAc: readonly number[];
  /** Index of the pass that takes the rest, and what it holds beyond its cap, since a typed rate is not cut. */
  readonly overPass: number;
  readonly overCap_lbPerAc: number;
}

/** The hand-typed rate of a zone: the last one typed; null where there is none. */
export const overrideOf = (overrides: readonly Override[], zoneKey: string): Override | null =>
  overrides.findLast((one) => one.zoneKey === zoneKey) ?? null;

/**
 * A typed rate shared over the passes by the same caps as a worked one. The total is never changed. As long as the caps hold it, every pass but the
 * last in spreading order is a machine rate and the last takes the rest, at least the machine's least where the one before can spare it, and no
 * more than its cap where the one before has room. What is more than all caps together lies in the pass before the season, out of reach of seed and
 * standing crop: no pass in season, and none beside the seed, goes over its cap while there is another. Source: ours.
 */
export function splitByHand(rate_lbPerAc: number, caps: readonly PassCap[], light: boolean, machine: Machine): ByHand {
  const least = leastStep_lbPerAc(machine);
  const split = splitPasses(rate_lbPerAc, caps, light, least);
  const rates = caps.map(() => 0);
  const spreading = split.order.filter((index) => (split.parts_lbPerAc[index] ?? 0) > 0);
  const capOf = (index: number): number => caps[index]?.cap_lbPerAc ?? 0;
  const hair = 1e-6;
  const over = split.left_lbPerAc > hair;
  const last = over ? takesExcess(caps) : (spreading.at(-1) ?? 0);
  const before = spreading.find((index) => index !== last);
  if (before !== undefined) {
    const part = toMachine(split.parts_lbPerAc[before] ?? 0, capOf(before), machine);
    const lacking = Math.max(0, least - (rate_lbPerAc - part));
    const spared = part - lacking >= least ? part - lacking : part;
    const much = over ? 0 : rate_lbPerAc - spared - capOf(last);
    const more = spared + Math.ceil(much / machine.step_lbPerAc - hair) * machine.step_lbPerAc;
    rates[before] = much > hair && more <= capOf(before) + hair ? Number(more.toFixed(6)) : spared;
  }
  const rest = Number((rate_lbPerAc - (before === undefined ? 0 : (rates[before] ?? 0))).toFixed(6));
  rates[last] = rest;
  return { rates_lbPerAc: rates, overPass: last, overCap_lbPerAc: Math.max(0, rest - capOf(last)) };
}

/** The pass that holds what is more than all caps: broadcast before the season, else broadcast, else before the season, else the first. */
function takesExcess(caps: readonly PassCap[]): number {
  const broadcast = (one: PassCap): boolean => one.pass.placement === 'broadcast';
  const tests = [
    (one: PassCap) => broadcast(one) && !one.pass.inSeason,
    broadcast,
    (one: PassCap) => !one.pass.inSeason,
  ];
  const found = tests.map((test) => caps.findIndex(test)).find((index) => index >= 0);
  return found ?? 0;
}

/** Line 13: the rate typed by hand, with who, when and why. It replaces the total of line 12, and is all of the first product. */
export function overrideLine(
  override: Override | null,
  worked_lbPerAc: number | null,
  products: readonly Pick<ProductChoice, 'name' | 'k2o_pct'>[],
): LedgerLine {
  const [first, second] = products;
  const how: string[] = [];
  if (!override) how.push('none typed');
  else {
    const who = override.who.trim() === '' ? 'a name not given' : override.who.trim();
    how.push(
      `${typed(override.rate_lbPerAc)} lb/ac by ${who}${override.when === '' ? '' : `, ${override.when}`}: ${override.why}`,
      worked_lbPerAc === null ? 'no rate was worked out' : `in place of ${typed(worked_lbPerAc)}`,
      `${figure(k2oIn(override.rate_lbPerAc, first?.k2o_pct ?? Number.NaN), 1)} lb K2O${second ? `, all of it ${first?.name ?? ''}, no ${second.name}` : ''}`,
    );
  }
  return {
    n: 13,
    key: 'override',
    label: 'Hand override',
    how: how.join('; '),
    unit: 'lb/ac',
    working: override?.rate_lbPerAc ?? null,
    carried: null,
    ...(override ? { source: 'typed in the plan' } : {}),
  };
}
