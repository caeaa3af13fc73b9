import type { RatesSettings } from './settings.ts';

export type Machine = RatesSettings['machine'];

/** Guards a multiple of the step against the last bits of a division: 60 / 0.6 is a hair under or over 100. */
const HAIR = 1e-9;
const tidy = (rate: number): number => Number(rate.toFixed(6));
const stepDown = (rate: number, machine: Machine): number =>
  tidy(Math.floor(rate / machine.step_lbPerAc + HAIR) * machine.step_lbPerAc);

/** The least rate that is a whole number of steps. */
export const leastStep_lbPerAc = (machine: Machine): number =>
  tidy(Math.ceil(machine.least_lbPerAc / machine.step_lbPerAc - HAIR) * machine.step_lbPerAc);

/** The largest rate a pass can have under a cap and the machine's most, in whole steps; 0 where that is under the least rate. */
export function usable_lbPerAc(cap_lbPerAc: number, machine: Machine): number {
  const most = stepDown(Math.min(cap_lbPerAc, machine.most_lbPerAc), machine);
  return most >= leastStep_lbPerAc(machine) ? Math.max(0, most) : 0;
}

/**
 * A rate as the machine can spread it: the nearest whole step, but down at a cap, since a cap is never passed by rounding. Under half
 * the least rate it is 0, from there up to the least rate it is the least rate. Half a step goes up. lb of product per acre.
 */
export function toMachine(rate_lbPerAc: number, cap_lbPerAc: number, machine: Machine): number {
  const most = usable_lbPerAc(cap_lbPerAc, machine);
  if (!(rate_lbPerAc > 0) || most === 0 || rate_lbPerAc < machine.least_lbPerAc / 2) return 0;
  const nearest = tidy(Math.round(rate_lbPerAc / machine.step_lbPerAc + HAIR) * machine.step_lbPerAc);
  return Math.min(Math.max(nearest, leastStep_lbPerAc(machine)), most);
}

/** True for a rate the machine can set: 0, or a whole number of steps from the least to the most. */
export function isMachineRate(rate_lbPerAc: number, machine: Machine): boolean {
  if (rate_lbPerAc === 0) return true;
  const steps = rate_lbPerAc / machine.step_lbPerAc;
  return (
    Math.abs(steps - Math.round(steps)) < 1e-6 &&
    rate_lbPerAc >= machine.least_lbPerAc - HAIR &&
    rate_lbPerAc <= machine.most_lbPerAc + HAIR
  );
}
