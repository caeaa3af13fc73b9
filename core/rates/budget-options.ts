import type { Budget } from './settings.ts';

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
  /** True where K stands above the range. */
  readonly aboveRange: boolean;
  /** What lines 6 to 8 of the ledger ask for, before any cap; `undone` counts from it. 0 where the rate may not be changed. */
  readonly asked_lbK2OPerAc: number;
  /** Rising in rate and cost; the first is nothing, the last what is asked. One alone where the rate may not be changed. */
  readonly options: readonly Option[];
}

/** Index of the option of each zone, in the zones' order. */
export type Choice = readonly number[];

/** Dollars or tons that do not count: the last bits of a sum. */
export const HAIR = 1e-6;
export const LB_PER_TON = 2000;
/** An option by its index; throws for one that is not there, a mistake of the program. */
export const optionAt = (zone: BudgetZone, index: number): Option => {
  const option = zone.options[index];
  if (!option) throw new Error(`zone ${zone.key} has no option ${index}`);
  return option;
};
/** Index of what the zone asks for. */
export const lastOf = (zone: BudgetZone): number => zone.options.length - 1;

/** What an option takes of the budget: dollars with the charge for passes, or tons of product. */
export const takes = (zone: BudgetZone, index: number, by: Budget['by']): number => {
  const { cost_perAc, rate_lbPerAc } = optionAt(zone, index);
  return zone.acres * (by === 'dollars' ? cost_perAc : rate_lbPerAc / LB_PER_TON);
};

/** What a choice takes of the budget. */
export const spent = (zones: readonly BudgetZone[], choice: Choice, by: Budget['by']): number =>
  zones.reduce((all, zone, index) => all + takes(zone, choice[index] ?? 0, by), 0);

/** Return over cost of a choice in the middle of the doubt, dollars; an option without a return counts its cost alone. */
export const netReturn = (zones: readonly BudgetZone[], choice: Choice): number =>
  zones.reduce((all, zone, index) => all + netOf(zone, choice[index] ?? 0), 0);
/** Return over cost of one option, dollars. */
export const netOf = (zone: BudgetZone, index: number): number => {
  const { cost_perAc, return_perAc } = optionAt(zone, index);
  return zone.acres * ((return_perAc?.middle ?? 0) - cost_perAc);
};

/** Figures this near, relatively, are the same. */
const SAME = 1e-9;
const near = (a: number, b: number): boolean =>
  Object.is(a, b) || Math.abs(a - b) <= SAME * Math.max(1, Math.abs(a), Math.abs(b));

/** Whether two zones stand alike and have the same rates to choose from, acre for acre: parts of the same ground. */
export const sameOptions = (a: BudgetZone, b: BudgetZone): boolean =>
  a.options.length === b.options.length &&
  near(a.standing, b.standing) &&
  a.short === b.short &&
  a.options.every((one, index) => {
    const other = optionAt(b, index);
    return (
      near(one.k2o_lbPerAc, other.k2o_lbPerAc) &&
      near(one.rate_lbPerAc, other.rate_lbPerAc) &&
      near(one.cost_perAc, other.cost_perAc) &&
      near(one.return_perAc?.middle ?? 0, other.return_perAc?.middle ?? 0)
    );
  });
