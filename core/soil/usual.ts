import { caution, type Place, type Problem } from '../base/problem.ts';
import { ROLE_NAMES } from './guess.ts';
import type { QuantityRole } from './values.ts';

/**
 * Where values of farmed mineral soils usually lie, in ppm, meq/100 g, % or pH. A value outside is kept, and said.
 *
 * CEC 3 to 50: sands 3-5 to clays 20-50 (Ohio State University Extension ANR-81, 2019; organic soils go to 100). The others are ours,
 * wide enough that common ground is passed over; none is a source's.
 */
export const USUAL: Readonly<Partial<Record<QuantityRole, readonly [least: number, most: number]>>> = {
  k: [15, 1000],
  ca: [50, 12_000],
  mg: [5, 2500],
  na: [0, 1500],
  h: [0, 25],
  ph: [4, 9],
  bufferPh: [5, 8],
  cec: [3, 50],
  organicMatter: [0, 20],
  kSat: [0, 20],
};

const UNITS: Readonly<Partial<Record<QuantityRole, string>>> = {
  k: ' ppm',
  ca: ' ppm',
  mg: ' ppm',
  na: ' ppm',
  h: ' meq/100 g',
  cec: ' meq/100 g',
  organicMatter: ' %',
  kSat: ' %',
};

/** Whether a value lies outside of what is usual; false for NaN and for quantities without a range. */
export function isUnusual(role: QuantityRole, value: number): boolean {
  const range = USUAL[role];
  return range !== undefined && (value < range[0] || value > range[1]);
}

/** The caution `soil-unusual` on a value that a soil can hold and few do. */
export function unusual(role: QuantityRole, value: number, at: Place): Problem {
  const [least, most] = USUAL[role] ?? [0, 0];
  const unit = UNITS[role] ?? '';
  return caution(
    'soil-unusual',
    `${ROLE_NAMES[role]} of ${Number(value.toPrecision(4))}${unit} is unusual: most soils lie within ${least} to ${most}.`,
    'Check the cell and the unit; the row is used, and can be set aside by hand.',
    at,
  );
}
