import { K2O_PER_K } from '../base/units.ts';
import { CALCAREOUS_PH } from '../soil/chemistry.ts';
import type { SoilSettings } from '../soil/settings.ts';
import type { RatesSettings } from './settings.ts';
import { takes_lbK2OPerAc } from './target-ppm.ts';
import { figure, known, typed } from './text.ts';
import type { LedgerLine } from './types.ts';

/** ppm of K that fill `floor_pct` of the exchange sites: pct / 100 x CEC x ppm per meq (390.98, or 390 as labs round). NaN without CEC. */
export const targetBySaturation_ppm = (floor_pct: number, cec_meq: number, kPpmPerMeq: number): number =>
  (floor_pct / 100) * cec_meq * kPpmPerMeq;

/**
 * True where CEC reads too high, so that K's share reads too low: Mehlich-3 dissolves carbonate above soil pH 7.3.
 * Unknown pH is false. Source: Kansas AES Research Report 7(8).
 */
export const cecOverstated = (extractant: SoilSettings['extractant'], ph: number): boolean =>
  extractant === 'Mehlich-3' && ph > CALCAREOUS_PH;

/** Line 3: the target by saturation as ppm, and what it takes; always stoichiometric. */
export function targetSaturationLine(
  plan: Pick<RatesSettings, 'floor_pct' | 'calcareousReason'>,
  reading: { readonly k_ppm: number; readonly cec_meq: number },
  supply_factor: number,
  kPpmPerMeq: number,
  overstated: boolean,
): LedgerLine {
  const target_ppm = targetBySaturation_ppm(plan.floor_pct, reading.cec_meq, kPpmPerMeq);
  const short_ppm = target_ppm - reading.k_ppm;
  const how: string[] = [];
  if (Number.isNaN(target_ppm)) how.push('CEC is not known, so K has no share of it');
  else
    how.push(
      `${typed(plan.floor_pct)} % x ${figure(reading.cec_meq, 1)} meq x ${figure(kPpmPerMeq / 100, 2)} = ${figure(target_ppm)} ppm`,
    );
  if (short_ppm > 0)
    how.push(
      `short by ${figure(short_ppm, 1)} ppm x ${figure(supply_factor * K2O_PER_K, 2)}`,
      'a target reached on paper may not be reached in the field, so test again',
    );
  else if (short_ppm <= 0) how.push(`${figure(reading.k_ppm)} ppm, none short`);
  if (overstated)
    how.push(
      plan.calcareousReason.trim() === ''
        ? 'CEC reads too high here (Mehlich-3 above pH 7.3), so this line cannot govern'
        : `CEC reads too high here (Mehlich-3 above pH 7.3); it may govern because: ${plan.calcareousReason.trim()}`,
    );
  return {
    n: 3,
    key: 'targetSaturation',
    label: `Target by saturation, ${typed(plan.floor_pct)} %`,
    how: how.join('; '),
    unit: 'lb K2O/ac',
    working: known(takes_lbK2OPerAc(target_ppm, reading.k_ppm, supply_factor)),
    carried: null,
    source: 'Floor: common practice, no source. Takes: stoichiometry, always; no field factor is published for shares',
  };
}
