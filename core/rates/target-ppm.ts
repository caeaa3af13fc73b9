import { K2O_PER_K } from '../base/units.ts';
import type { RatesSettings } from './settings.ts';
import { figure, known, typed } from './text.ts';
import type { LedgerLine } from './types.ts';

export interface PpmTarget {
  readonly target_ppm: number;
  /** True where the top of the saturation range holds less than the floor. */
  readonly cut: boolean;
}

/**
 * The ppm target: the floor, but never more than the top of the saturation range holds at this CEC,
 * min(floor, rangeTop % / 100 x CEC x ppm per meq). On light soil the floor would otherwise overfill the exchange sites:
 * 150 ppm is 12.8 % at CEC 3. Where CEC is not known (NaN) nothing is cut. Source: ours; the floors are common practice.
 */
export function targetByPpm(
  plan: Pick<RatesSettings, 'floor_ppm' | 'rangeTop_pct'>,
  cec_meq: number,
  kPpmPerMeq: number,
): PpmTarget {
  const top_ppm = (plan.rangeTop_pct / 100) * cec_meq * kPpmPerMeq;
  return top_ppm < plan.floor_ppm ? { target_ppm: top_ppm, cut: true } : { target_ppm: plan.floor_ppm, cut: false };
}

/**
 * lb K2O/ac that bring `k_ppm` up to `target_ppm`, by stoichiometry: ppm short x lb K/ac per ppm x 1.2046; 0 where it is not
 * short, NaN where either is unknown. At 2 lb K per ppm that is 2.41 lb K2O per ppm.
 */
export const takes_lbK2OPerAc = (target_ppm: number, k_ppm: number, supply_factor: number): number =>
  Math.max(0, target_ppm - k_ppm) * supply_factor * K2O_PER_K;

/**
 * Published field factor, lb K2O/ac that moved the soil test by one ppm: 4 x (1 + 0.05 CEC), which is 6 at CEC 10 and 10 at
 * CEC 30. NaN outside CEC 10 to 30, where none is published. It stands beside the ppm target for comparison and sets no rate.
 * Source: Ohio State University on the Tri-State recommendations (Bulletin E-2567): (1 + 0.05 CEC) lb a ppm a year, over four years.
 */
export const fieldFactor = (cec_meq: number): number =>
  cec_meq >= 10 && cec_meq <= 30 ? 4 * (1 + 0.05 * cec_meq) : Number.NaN;

/** Line 2: the target by ppm, what it takes, and what a field factor would ask. */
export function targetPpmLine(
  plan: Pick<RatesSettings, 'floor_ppm' | 'rangeTop_pct'>,
  reading: { readonly k_ppm: number; readonly cec_meq: number },
  supply_factor: number,
  kPpmPerMeq: number,
): LedgerLine {
  const { target_ppm, cut } = targetByPpm(plan, reading.cec_meq, kPpmPerMeq);
  const short_ppm = target_ppm - reading.k_ppm;
  const how: string[] = [];
  if (cut)
    how.push(
      `${typed(plan.floor_ppm)} ppm cut to ${figure(target_ppm)}: the top of the range, ${typed(plan.rangeTop_pct)} % x ${figure(reading.cec_meq, 1)} meq x ${figure(kPpmPerMeq / 100, 2)}`,
    );
  if (Number.isNaN(reading.k_ppm)) how.push('K is not known');
  else if (short_ppm <= 0) how.push(`${figure(reading.k_ppm)} ppm, none short`);
  else
    how.push(
      `${figure(reading.k_ppm)} ppm, short by ${figure(short_ppm, 1)} ppm x ${figure(supply_factor * K2O_PER_K, 2)}`,
    );
  if (short_ppm > 0) how.push(fieldFactorText(short_ppm, reading.cec_meq));
  return {
    n: 2,
    key: 'targetPpm',
    label: `Target by ppm, ${figure(target_ppm)}`,
    how: how.join('; '),
    unit: 'lb K2O/ac',
    working: known(takes_lbK2OPerAc(target_ppm, reading.k_ppm, supply_factor)),
    carried: null,
    source:
      'Floor: common practice, no source. Takes: stoichiometry, 1.2046 lb K2O per lb K. Field factor: Ohio State University on Tri-State Bulletin E-2567',
  };
}

function fieldFactorText(short_ppm: number, cec_meq: number): string {
  const factor = fieldFactor(cec_meq);
  if (Number.isNaN(factor))
    return 'a field factor of 6 to 10 lb K2O per ppm is published for CEC 10 to 30, none for this ground';
  return `by the published field factor, 4 x (1 + 0.05 x ${figure(cec_meq, 1)}) = ${figure(factor, 1)} lb K2O per ppm, it would be ${figure(short_ppm * factor, 1)}`;
}
