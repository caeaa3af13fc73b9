import type { SoilSettings } from '../soil/settings.ts';
import type { RatesSettings } from './settings.ts';
import { takes_lbK2OPerAc, targetByPpm } from './target-ppm.ts';
import { cecOverstated, targetBySaturation_ppm } from './target-saturation.ts';
import { figure, known } from './text.ts';
import type { LedgerLine } from './types.ts';

export type Governs = RatesSettings['governs'];
type Plan = Pick<RatesSettings, 'floor_ppm' | 'floor_pct' | 'rangeTop_pct' | 'calcareousReason'>;

/** What governs some ground. `target_ppm` and `takes_lbK2OPerAc` are NaN where it cannot be known. */
export interface Governing {
  readonly by: 'ppm' | 'saturation';
  readonly target_ppm: number;
  /** lb K2O/ac to the target, all at once; 0 above the range, where nothing is built up. */
  readonly takes_lbK2OPerAc: number;
  readonly aboveRange: boolean;
}

/** A soil reading as far as the targets need it. */
export interface TargetReading {
  readonly k_ppm: number;
  readonly cec_meq: number;
  readonly ph: number;
}

/**
 * The governing target of a zone or a cell: the ppm one, the saturation one, or the larger of both (a tie is the ppm one's).
 *
 * Unknown (NaN) without K; without CEC unless the ppm target is the one asked for. Where CEC is overstated and the plan gives no
 * reason, saturation cannot govern: asked for alone the target is unknown, asked for as the larger the ppm one stands.
 * Above the top of the range, K saturation by these very figures, nothing is taken whatever the floors say. Source: ours.
 */
export function governingTarget(
  reading: TargetReading,
  plan: Plan,
  governs: Governs,
  supply_factor: number,
  kPpmPerMeq: number,
  extractant: SoilSettings['extractant'],
): Governing {
  const byPpm = targetByPpm(plan, reading.cec_meq, kPpmPerMeq).target_ppm;
  const mayShare = plan.calcareousReason.trim() !== '' || !cecOverstated(extractant, reading.ph);
  const byShare = targetBySaturation_ppm(plan.floor_pct, reading.cec_meq, kPpmPerMeq);
  let by: Governing['by'] = 'ppm';
  let target_ppm = byPpm;
  if (governs === 'saturation') {
    by = 'saturation';
    target_ppm = mayShare ? byShare : Number.NaN;
  } else if (governs === 'larger' && mayShare && !(byShare <= byPpm)) {
    by = 'saturation';
    target_ppm = byShare;
  } else if (governs === 'larger' && Number.isNaN(reading.cec_meq)) target_ppm = Number.NaN;
  const top_ppm = targetBySaturation_ppm(plan.rangeTop_pct, reading.cec_meq, kPpmPerMeq);
  const aboveRange = reading.k_ppm > top_ppm;
  const takes = takes_lbK2OPerAc(target_ppm, reading.k_ppm, supply_factor);
  return { by, target_ppm, takes_lbK2OPerAc: aboveRange && takes > 0 ? 0 : takes, aboveRange };
}

/** Line 4: which target governs, and why; `own` is what the zone does otherwise than the plan, in words. */
export function governsLine(
  governing: Governing,
  governs: Governs,
  told: boolean,
  overstated: boolean,
  own: string,
): LedgerLine {
  const how: string[] = [];
  if (Number.isNaN(governing.takes_lbK2OPerAc))
    how.push(
      governs === 'ppm'
        ? 'not known without K'
        : overstated && governs === 'saturation'
          ? 'saturation cannot govern here without a reason'
          : 'not known without K and CEC',
    );
  else if (governing.takes_lbK2OPerAc === 0) how.push('not short of it');
  else if (governs === 'larger') how.push(`the larger: ${asks(governing, overstated)}`);
  else how.push(governs === 'ppm' ? 'ppm, as the plan says' : 'saturation, as the plan says');
  if (Number.isFinite(governing.target_ppm) && Number.isFinite(governing.takes_lbK2OPerAc))
    how.push(`target ${figure(governing.target_ppm)} ppm`);
  if (governs === 'larger' && !told) how.push('nobody has said which target governs, so the larger was taken');
  if (own !== '') how.push(own);
  return {
    n: 4,
    key: 'governs',
    label: 'Governing target',
    how: how.join('; '),
    unit: 'lb K2O/ac',
    working: known(governing.takes_lbK2OPerAc),
    carried: null,
    source: own === '' ? 'the choice of the plan' : 'the choice of the plan, and of this zone',
  };
}

function asks(governing: Governing, overstated: boolean): string {
  if (governing.by === 'saturation') return 'saturation asks for more';
  return overstated ? 'ppm, since CEC reads too high for saturation to govern' : 'ppm asks for more';
}
