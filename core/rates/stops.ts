import { type Problem, stop } from '../base/problem.ts';
import { UNKNOWN_KEY } from '../zones/classify.ts';
import type { Zone } from '../zones/types.ts';
import { CROPS } from './crops.ts';
import { guideStop } from './follow.ts';
import type { Governs } from './governing.ts';
import type { Ground, Worked } from './ledger.ts';
import { leastStep_lbPerAc, usable_lbPerAc } from './machine.ts';
import { productFaults } from './product.ts';
import type { RatesSettings } from './settings.ts';
import { cecOverstated } from './target-saturation.ts';
import { figure, typed } from './text.ts';
import { VERY_HEAVY_PASS_LBPERAC } from './watch-passes.ts';

/** A reason to give no rate. `byHand` is false where even a hand-typed rate would say nothing of K2O. */
export interface Stop {
  readonly problem: Problem;
  readonly byHand: boolean;
}

/**
 * Why a zone may get no rate, the weightiest first; empty where it may.
 *
 * What concerns the whole plan (grade, machine, range order, crop, yield goal, residue) is the very same Problem in every zone, without its
 * letter, so that it can be said once; the others carry the letter. Saturation that cannot govern comes before the lack of a reading
 * that it causes. All stops: those of `productFaults`, `rates-machine-range`, `rates-range-order`, `rates-zone-unknown`,
 * `rates-far` (more than half of its acres far from any sample), `rates-no-k`, `rates-no-cec` (unless ppm governs),
 * `rates-cec-overstated` (saturation alone asked for, no reason given), `rates-no-crop`, `rates-crop-unknown`,
 * `rates-no-yield-goal`, `rates-no-residue-figure`, those of `followed` where the plan follows a guide, `rates-pass-over-1400` (more product in one pass, and the plan gives no reason for its cap).
 * A floor above the range carries the letter where it is the zone's own, and so does a lacking yield goal where other zones may have one.
 */
export function stopsOf(
  zone: Pick<Zone, 'key' | 'letter' | 'what' | 'acres' | 'far_ac'>,
  ground: Ground,
  worked: Pick<Worked, 'use' | 'rates_lbPerAc' | 'followed'>,
  plan: RatesSettings,
  governs: Governs,
): readonly Stop[] {
  const found: Stop[] = [];
  const add = (byHand: boolean, code: string, message: string, remedy: string, setting?: string): void => {
    const at = { zone: zone.letter, ...(setting === undefined ? {} : { setting }) };
    found.push({ problem: { ...stop(code, message, remedy, at), stage: 'rates' }, byHand });
  };
  const addPlan = (byHand: boolean, code: string, message: string, remedy: string, setting: string): void => {
    found.push({ problem: { ...stop(code, message, remedy, { setting }), stage: 'rates' }, byHand });
  };

  for (const [product, setting] of [
    [plan.product, 'rates.product'],
    [plan.second?.product ?? null, 'rates.second'],
  ] as const) {
    for (const fault of product ? productFaults(product) : [])
      addPlan(false, fault.code, fault.message, fault.remedy, setting);
  }
  if (usable_lbPerAc(Infinity, plan.machine) === 0)
    addPlan(
      false,
      'rates-machine-range',
      `The machine has no rate to set: least ${typed(leastStep_lbPerAc(plan.machine))} and most ${typed(plan.machine.most_lbPerAc)} lb/ac in steps of ${typed(plan.machine.step_lbPerAc)}.`,
      'Give a most rate above the least, or a smaller step.',
      'rates.machine',
    );
  if (plan.floor_pct > plan.rangeTop_pct)
    (ground.own === '' ? addPlan : add)(
      true,
      'rates-range-order',
      `The saturation floor of ${typed(plan.floor_pct)} % lies above the top of the range, ${typed(plan.rangeTop_pct)} %.`,
      'Raise the top of the range or lower the floor.',
      'rates.floor_pct',
    );
  const { k_ppm, cec_meq, ph } = ground.reading;
  const overstated =
    governs === 'saturation' &&
    Number.isFinite(k_ppm) &&
    Number.isFinite(cec_meq) &&
    cecOverstated(ground.extractant, ph) &&
    plan.calcareousReason.trim() === '';
  if (overstated)
    add(
      true,
      'rates-cec-overstated',
      `Soil pH is ${figure(ph, 1)} in zone ${zone.letter}: Mehlich-3 dissolves lime there, CEC reads too high, and saturation cannot govern.`,
      'Let the ppm target govern, or give the reason why saturation shall.',
      'rates.calcareousReason',
    );
  else if (zone.key === UNKNOWN_KEY)
    add(
      true,
      'rates-zone-unknown',
      `Zone ${zone.letter}, ${figure(zone.acres, 1)} ac, cannot have a rate: ${zone.what}.`,
      'See what the zones stage says of it, or type a rate by hand with the reason.',
    );
  else if (Number.isNaN(k_ppm))
    add(
      true,
      'rates-no-k',
      `K is not known in zone ${zone.letter}.`,
      'Add a sample with a K value, or type a rate by hand with the reason.',
    );
  if (zone.key !== UNKNOWN_KEY && zone.far_ac > zone.acres / 2)
    add(
      true,
      'rates-far',
      `${figure(zone.far_ac, 1)} of the ${figure(zone.acres, 1)} ac of zone ${zone.letter} are far from any sample.`,
      'Add a sample, raise the distance that counts as far, or type a rate by hand with the reason.',
      'surfaces.far_m',
    );
  if (governs !== 'ppm' && zone.key !== UNKNOWN_KEY && Number.isNaN(cec_meq))
    add(
      true,
      'rates-no-cec',
      `CEC is not known in zone ${zone.letter}, so what saturation asks for is not either.`,
      'Give the CEC or Ca, Mg and buffer pH to sum it from, or let the ppm target govern.',
      'rates.governs',
    );
  const { use } = worked;
  if (use === 'no crop')
    addPlan(
      true,
      'rates-no-crop',
      'No crop is chosen, so what leaves the field is not known.',
      'Choose the crop.',
      'rates.crop',
    );
  else if (use === 'unknown crop')
    addPlan(
      true,
      'rates-crop-unknown',
      `There is no crop "${plan.crop ?? ''}" in the list.`,
      `Choose one of: ${CROPS.map((crop) => crop.id).join(', ')}. Of those that are not listed tobacco, grapes, citrus and tree fruit suffer from chloride.`,
      'rates.crop',
    );
  else if (use === 'no yield goal') {
    const byZone = plan.yieldLayer !== null || Object.values(plan.zones).some((one) => one.yieldGoal !== undefined);
    (byZone ? add : addPlan)(
      true,
      'rates-no-yield-goal',
      `No yield goal is given${byZone ? ` for zone ${zone.letter}` : ''}, so what leaves the field is not known.`,
      'Give the yield goal.',
      byZone ? 'rates.zones' : 'rates.yieldGoal',
    );
  } else if (use === 'no residue figure')
    addPlan(
      true,
      'rates-no-residue-figure',
      `The residue of ${plan.crop ?? 'the crop'} leaves the field, and no figure for it was found.`,
      'Type the removal with the residue in it, or the uptake.',
      'rates.removal_lbK2OPerUnit',
    );
  const guide = guideStop(worked.followed, zone.letter);
  if (guide) found.push({ problem: guide, byHand: true });
  const heavy = plan.passes.findIndex(
    (pass, index) => (worked.rates_lbPerAc?.[index] ?? 0) > VERY_HEAVY_PASS_LBPERAC && pass.mostReason === '',
  );
  if (heavy >= 0)
    add(
      true,
      'rates-pass-over-1400',
      `Zone ${zone.letter} would get ${typed(worked.rates_lbPerAc?.[heavy] ?? 0)} lb/ac of product in one pass, ${plan.passes[heavy]?.name ?? ''}: more than ${figure(VERY_HEAVY_PASS_LBPERAC)} is refused without a reason.`,
      'Lower the cap of that pass, or give the reason for it.',
      'rates.passes',
    );
  return found;
}
