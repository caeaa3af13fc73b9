import type { Worked } from './ledger.ts';
import type { LedgerLine, LeftBy } from './types.ts';

/** lb K2O/ac that lines 6 to 8 ask for: before the caps, the budget and the machine. NaN where it could not be worked. */
export const beforeCaps_lbK2OPerAc = ({
  asked_lbK2OPerAc,
  credited: { used_lbK2OPerAc },
}: Pick<Worked, 'asked_lbK2OPerAc' | 'credited'>): number => asked_lbK2OPerAc - used_lbK2OPerAc;

/** lb K2O/ac asked for (`beforeCaps_lbK2OPerAc`) and not given; 0 where as much or more is given, or nothing could be worked. */
export function undoneBy(asked: Pick<Worked, 'asked_lbK2OPerAc' | 'credited'>, given_lbK2OPerAc: number): number {
  const undone = beforeCaps_lbK2OPerAc(asked) - given_lbK2OPerAc;
  return undone > HAIR_LBK2O ? undone : 0;
}

/** K2O that does not count: the last bits of a sum. */
const HAIR_LBK2O = 1e-6;

/**
 * `undone_lbK2OPerAc` by what left it; the parts make it up. Of ground that is off all is left by choice. Where the machine or the limit on different
 * rates lifts a rate, what it lifts comes off what was left before it in the account, the nearest first.
 */
export function leftBy(worked: Worked, off: boolean): LeftBy {
  const { lines, undone_lbK2OPerAc: all, grouped, k2o_lbPerAc, given_lbK2OPerAc: given } = worked;
  const took = (key: LedgerLine['key']): number => 0 - (lines.find((one) => one.key === key)?.carried ?? 0);
  const alone = grouped?.given_lbK2OPerAc ?? given;
  const changes = [took('cap') + took('passes'), took('budget'), k2o_lbPerAc - alone, alone - given];
  const [caps = 0, budget = 0, machine = 0, distinct = 0] = off || !(all > 0) ? [] : lifted(changes);
  return {
    caps_lbK2OPerAc: caps,
    budget_lbK2OPerAc: budget,
    machine_lbK2OPerAc: machine,
    distinctRates_lbK2OPerAc: distinct,
    choice_lbK2OPerAc: off ? all : 0,
  };
}

/** What each of some changes leaves out once those that lift are taken off the others: first off those before it, what is then over off those after it. */
function lifted(changes: readonly number[]): readonly number[] {
  const left: number[] = [];
  let over = 0;
  for (const change of changes) {
    over -= change;
    left.push(Math.max(0, 0 - over));
    over = Math.max(0, over);
    for (let at = left.length - 2; at >= 0 && over > 0; at--) {
      const off = Math.min(left[at] ?? 0, over);
      left[at] = (left[at] ?? 0) - off;
      over -= off;
    }
  }
  return left.map((one) => (one > HAIR_LBK2O ? one : 0));
}
