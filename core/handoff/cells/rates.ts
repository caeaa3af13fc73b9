import { leastStep_lbPerAc, type Machine, toMachine, usable_lbPerAc } from '../../rates/machine.ts';
import { meanUnder, ROUNDING_SHARE, type Share, sum_m2 } from './under.ts';

/**
 * Rates of one product in one pass: of each cell the mean by area of its zones' rates, as the machine can set it.
 *
 * Where all zones under a cell have one rate the cell has that very rate, even one typed off the machine's step. Else the mean goes to the
 * nearest step; under half the machine's least rate it is 0, from there up to the least it is the least (`toMachine`); it is never above the
 * greatest rate of a zone under the cell, rounded down, so no zone's cap is passed. With `distinct` (the most different rates above 0 that the controller
 * takes) and more means than that, a mean goes to the nearest of the zones' own rates instead, the lower of two as near.
 * 0 where no zone lies under the cell.
 */
export function cellRates(
  under: readonly (readonly Share[])[],
  rates_lbPerAc: readonly number[],
  machine: Machine,
): number[] {
  const rateOf = (zone: number): number => rates_lbPerAc[zone] ?? 0;
  const rates = under.map((shares) => ownRate(shares, rateOf) ?? mixedRate(shares, rateOf, machine));
  const most = machine.distinctRates;
  if (most === null || distinctRates(rates) <= most) return rates;
  const own = [...new Set([0, ...rates_lbPerAc])].sort((a, b) => a - b);
  return under.map((shares, cell) => ownRate(shares, rateOf) ?? nearest(own, rates[cell] ?? 0));
}

/** How many different rates above 0 there are. */
export const distinctRates = (rates: readonly number[]): number => new Set(rates.filter((rate) => rate > 0)).size;

const real = (shares: readonly Share[]): readonly Share[] => {
  const least_m2 = sum_m2(shares) * ROUNDING_SHARE;
  return shares.filter(({ m2 }) => m2 >= least_m2);
};

/** The rate that all zones under the cell have; null where they differ. */
function ownRate(shares: readonly Share[], rateOf: (zone: number) => number): number | null {
  const first = shares[0];
  if (!first) return 0;
  const rate = rateOf(first.zone);
  return shares.length === 1 || real(shares).every(({ zone }) => rateOf(zone) === rate) ? rate : null;
}

function mixedRate(shares: readonly Share[], rateOf: (zone: number) => number, machine: Machine): number {
  const greatest = real(shares).reduce((most, { zone }) => Math.max(most, rateOf(zone)), 0);
  return toMachine(meanUnder(shares, rateOf), greatest, machine);
}

/** The nearest of rates in order that is not above what the cell may have: its mean lies between two of its own zones' rates. */
function nearest(own: readonly number[], rate: number): number {
  return own.reduce((best, one) => (Math.abs(one - rate) < Math.abs(best - rate) ? one : best), own[0] ?? 0);
}

/** Rates that the limit lowered, and which cells it moved. */
export interface Ramped {
  readonly rates: readonly number[];
  readonly moved: readonly boolean[];
}

/**
 * Rates lowered, and never raised, until no two cells that follow each other along a row differ by more than `ramp_lbPerAc`.
 *
 * What comes out is the largest set of rates not above those given for which each rate is at most what its neighbour's lets follow: the
 * neighbour's rate and the ramp, down to a whole step of the machine. That largest set is the only one, since of two sets that hold the limit the greater rate in each
 * cell holds it too; sweeps forward and backward find it. Lowering passes no cap. Ground at 0 stays 0, and cells step down to it; switching
 * on is no change that the gate has to follow, so beside a 0 the machine's least rate is allowed where it is more than the ramp, and no rate
 * comes to lie between 0 and the least. `first[i]` is followed by `second[i]`; pairs in order along the rows make two sweeps enough,
 * except where a hole parts a cell. The ramp must be at least one step. Ours.
 */
export function limitChange(
  given: readonly number[],
  { first, second }: { readonly first: Int32Array; readonly second: Int32Array },
  ramp_lbPerAc: number,
  machine: Machine,
): Ramped {
  const rates = Float64Array.from(given);
  const start_lbPerAc = leastStep_lbPerAc(machine);
  const follow = (rate: number): number => Math.max(usable_lbPerAc(rate + ramp_lbPerAc, machine), start_lbPerAc);
  let changed = true;
  const lower = (from: number, to: number): void => {
    const most = follow(rates[from] ?? 0);
    if ((rates[to] ?? 0) <= most) return;
    rates[to] = most;
    changed = true;
  };
  while (changed) {
    changed = false;
    for (let pair = 0; pair < first.length; pair++) lower(first[pair] ?? 0, second[pair] ?? 0);
    for (let pair = first.length - 1; pair >= 0; pair--) lower(second[pair] ?? 0, first[pair] ?? 0);
  }
  return { rates: Array.from(rates), moved: given.map((rate, cell) => rates[cell] !== rate) };
}
