import type { Problem } from '../base/problem.ts';
import { caution } from '../base/problem.ts';
import type { RatesSettings, ResponseCurve } from './settings.ts';
import { dollars, typed } from './text.ts';
import type { ZoneRate } from './types.ts';

/** Yield in % by a line that rises from `atZero` by `slope` a ppm and is flat from `join_ppm` on. */
export const linearPlateau_pct = (k_ppm: number, atZero: number, slope: number, join_ppm: number): number =>
  atZero + slope * Math.min(k_ppm, join_ppm);

/** Yield in % by `a + b x + c x2`, flat from the top of the parabola, x = -b / 2c, on. `c` is below 0. */
export function quadraticPlateau_pct(k_ppm: number, a: number, b: number, c: number): number {
  const x = Math.min(k_ppm, quadraticJoin_ppm(b, c));
  return a + b * x + c * x * x;
}
/** Where a quadratic plateau begins: -b / 2c. */
export const quadraticJoin_ppm = (b: number, c: number): number => -b / (2 * c);

/** Yield in % by Mitscherlich's law, `top x (1 - exp(-c (x + b)))`: b is the nutrient that the test does not see, in its own unit. */
export const mitscherlich_pct = (k_ppm: number, top: number, b: number, c: number): number =>
  top * (1 - Math.exp(-c * (k_ppm + b)));
/** The test at which Mitscherlich's curve comes to a yield: -ln(1 - yield / top) / c - b. NaN where it never does. */
export const mitscherlichReaches_ppm = (yield_pct: number, top: number, b: number, c: number): number =>
  yield_pct < top ? -Math.log(1 - yield_pct / top) / c - b : Number.NaN;

/** Share of the top at which Mitscherlich's curve, which has no plateau, counts as having reached it. */
const REACHED_PCT = 95;

/**
 * Relative yield (% of what K no longer holds back) at a soil test, by one end of the curve's doubt.
 *
 * All three rise from `atZero_pct` at 0 ppm. Linear plateau: in a straight line to 100 at `reached_ppm`. Quadratic plateau: 100 - (100 -
 * atZero) (1 - K / reached)2 up to there. Mitscherlich: 100 - (100 - atZero) exp(-c K), with c such that 95 is met at `reached_ppm`. NaN in, NaN out.
 */
export function relativeYield_pct(
  { model, atZero_pct }: Pick<ResponseCurve, 'model' | 'atZero_pct'>,
  reached_ppm: number,
  k_ppm: number,
): number {
  const gap = 100 - atZero_pct;
  if (model === 'linear plateau') return linearPlateau_pct(k_ppm, atZero_pct, gap / reached_ppm, reached_ppm);
  if (model === 'quadratic plateau')
    return quadraticPlateau_pct(k_ppm, atZero_pct, (2 * gap) / reached_ppm, -gap / (reached_ppm * reached_ppm));
  const c = Math.log(gap / (100 - REACHED_PCT)) / reached_ppm;
  return mitscherlich_pct(k_ppm, 100, -Math.log(gap / 100) / c, c);
}

/**
 * What is wrong with a response curve; empty where it can be used. `rates-response-band` (the low end lies above the high one),
 * `rates-response-flat` (Mitscherlich from 95 % or more: it begins where it should end).
 */
export function responseProblems(curve: ResponseCurve | null): readonly Problem[] {
  if (curve === null) return [];
  const found: Problem[] = [];
  const add = (code: string, message: string, remedy: string): void => {
    found.push({ ...caution(code, message, remedy, { setting: 'rates.response' }), stage: 'rates' });
  };
  if (curve.reachedLow_ppm > curve.reachedHigh_ppm)
    add(
      'rates-response-band',
      `The response curve reaches its top at ${typed(curve.reachedLow_ppm)} ppm at the low end of its doubt and at ${typed(curve.reachedHigh_ppm)} at the high end: no return is worked out.`,
      'Give the lower figure as the low end.',
    );
  if (curve.model === 'Mitscherlich' && curve.atZero_pct >= REACHED_PCT)
    add(
      'rates-response-flat',
      `The response curve begins at ${typed(curve.atZero_pct)} % and shall come to ${REACHED_PCT}: no return is worked out.`,
      'Give the relative yield without any soil-test K, or choose another curve.',
    );
  return found;
}

/** The curve and prices by which K2O becomes dollars. */
export interface Returns {
  readonly curve: ResponseCurve;
  readonly yieldGoal: number;
  readonly cropPrice_perUnit: number;
  /** lb K2O that move the test by one ppm. */
  readonly lbK2OPerPpm: number;
}

type Priced = Pick<RatesSettings, 'response' | 'cropPrice_perUnit' | 'yieldGoal'>;

/** What returns are worked out with; null where the curve (or a sound one), the crop's price or the yield goal is missing. */
export const returnsOf = (plan: Priced, lbK2OPerPpm: number): Returns | null =>
  plan.response === null ||
  plan.cropPrice_perUnit === null ||
  plan.yieldGoal === null ||
  responseProblems(plan.response).length > 0
    ? null
    : { curve: plan.response, yieldGoal: plan.yieldGoal, cropPrice_perUnit: plan.cropPrice_perUnit, lbK2OPerPpm };

/** Dollars an acre that going from one soil test to another is worth in a year, by one end of the curve's doubt. */
export const worth_perAc = (of: Returns, reached_ppm: number, from_ppm: number, to_ppm: number): number =>
  ((relativeYield_pct(of.curve, reached_ppm, to_ppm) - relativeYield_pct(of.curve, reached_ppm, from_ppm)) / 100) *
  of.yieldGoal *
  of.cropPrice_perUnit;

/** The same as a band: the smaller and the larger of both ends. Where the soil stands decides which end is which. */
export function worthBand_perAc(of: Returns, from_ppm: number, to_ppm: number): { low: number; high: number } {
  const { reachedLow_ppm, reachedHigh_ppm } = of.curve;
  const ends = [reachedLow_ppm, reachedHigh_ppm].map((reached) => worth_perAc(of, reached, from_ppm, to_ppm));
  return { low: Math.min(...ends), high: Math.max(...ends) };
}

/** Soil test that K2O put on lets the crop find: K + K2O / lb K2O per ppm. */
export const withK2O_ppm = (k_ppm: number, k2o_lbPerAc: number, of: Pick<Returns, 'lbK2OPerPpm'>): number =>
  k_ppm + k2o_lbPerAc / of.lbK2OPerPpm;

/**
 * What some K2O returns in its season, $/ac, low and high: yield goal x price x (relative yield at K + K2O / lb K2O per ppm, less that at K).
 * K is the test with what is credited after it (`withK2O_ppm`), since the crop finds that without any product. Null where something is missing or K is not known. What stays in the soil for later years is not in it.
 */
export function returnOf(of: Returns | null, k_ppm: number, k2o_lbPerAc: number): ZoneRate['return_perAc'] {
  if (of === null || Number.isNaN(k_ppm)) return null;
  return { ...worthBand_perAc(of, k_ppm, withK2O_ppm(k_ppm, k2o_lbPerAc, of)), source: of.curve.source };
}

/** Dollars an acre in the middle of the doubt: by the curve that reaches its top halfway between both ends. For sharing a budget. */
export function middleReturn_perAc(of: Returns, k_ppm: number, k2o_lbPerAc: number): number {
  const reached = (of.curve.reachedLow_ppm + of.curve.reachedHigh_ppm) / 2;
  return worth_perAc(of, reached, k_ppm, withK2O_ppm(k_ppm, k2o_lbPerAc, of));
}

/** The return in a ledger's words; says why there is none. */
export function returnText(given: ZoneRate['return_perAc'], plan: Priced): string {
  if (given !== null)
    return `may return ${dollars(given.low)} to ${dollars(given.high)} an acre this season, ${plan.response?.model ?? ''} (${given.source})`;
  if (plan.response === null) return 'the return is not said, since no response curve is entered';
  if (plan.cropPrice_perUnit === null) return 'the return is not said, since no crop price is entered';
  return 'the return is not said, since a figure for it is missing';
}
