import type { Plan } from '../../core/plan/schema.ts';
import { workLedger } from '../../core/rates/ledger.ts';
import type { RatesSettings } from '../../core/rates/settings.ts';
import type { ZoneRate } from '../../core/rates/types.ts';
import { FACTORS, supplyFactor } from '../../core/soil/chemistry.ts';

/**
 * K2O that the plan's own lines 1 to 7 ask for at each of `k_ppm`, all else as the zone has it: before credits, caps and money, as the
 * guides count. lb/ac; null where it cannot be worked.
 */
export function ownCurve(
  plan: Plan,
  choices: RatesSettings,
  zone: ZoneRate,
  k_ppm: readonly number[],
): readonly (number | null)[] {
  const kPpmPerMeq = FACTORS[plan.soil.factors].k;
  const { cec_meq, depth_in } = zone.reading;
  return k_ppm.map((k) => {
    const { asked_lbK2OPerAc } = workLedger(
      {
        reading: { ...zone.reading, k_ppm: k, kSat_pct: (100 * k) / kPpmPerMeq / cec_meq },
        supply_factor: supplyFactor(depth_in, plan.soil),
        kPpmPerMeq,
        extractant: plan.soil.extractant,
        kExtractant: plan.soil.extractant,
        convention: plan.soil.convention,
        history: zone.history,
        credits: [],
        off: false,
        own: '',
        goalFrom: '',
        secondHere: false,
        money: null,
      },
      { ...choices, follows: null },
      choices.governs,
    );
    return Number.isFinite(asked_lbK2OPerAc) ? asked_lbK2OPerAc : null;
  });
}
