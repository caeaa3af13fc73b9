import type { CropFigure } from './crop-figures.ts';
import { type Crop, cropOf } from './crops.ts';
import type { RatesSettings } from './settings.ts';
import { counted, figure, known, typed } from './text.ts';
import type { LedgerLine } from './types.ts';

/** What the crop takes this year, by the figures in use. */
export interface CropUse {
  readonly crop: Crop;
  readonly yieldGoal: number;
  readonly removal_lbK2OPerAc: number;
  /** Null where no uptake figure exists, and where the whole plant leaves: then nothing more than the removal is asked for. */
  readonly uptake_lbK2OPerAc: number | null;
  /** The sums in words. */
  readonly removalHow: string;
  readonly uptakeHow: string;
  readonly source: string;
}

/** A crop of the plan: this season's, or one that follows it. */
export type CropSettings = Pick<
  RatesSettings,
  'crop' | 'yieldGoal' | 'harvest' | 'residueShare_pct' | 'removal_lbK2OPerUnit' | 'uptake_lbK2OPerUnit'
>;

/** Why no crop line can be worked; the ledger withholds the rate for it. */
export type NoCrop = 'no crop' | 'unknown crop' | 'no yield goal' | 'no residue figure';

/**
 * Removal and uptake of the plan's crop at its yield goal: yield x lb K2O per unit. Figures typed in the plan go over the list's.
 * Where the residue leaves too, the share of it that leaves (uptake - removal, or nothing where the uptake is the smaller) is added to
 * the removal: 200 bu at 0.27 with half of a stover of 1.1 lb/bu is 54 + 110. Where no uptake figure exists then, a typed
 * removal stands for all that leaves, and without one the answer is 'no residue figure'. What stays goes back to the soil: it is uptake
 * beyond removal, and never removal. `goalFrom` says where the goal comes from.
 */
export function cropUse(plan: CropSettings, goalFrom = ''): CropUse | NoCrop {
  if (plan.crop === null) return 'no crop';
  const crop = cropOf(plan.crop);
  if (!crop) return 'unknown crop';
  if (plan.yieldGoal === null) return 'no yield goal';
  const unit = crop.yieldUnit === 'bu/ac' ? 'bu' : 'ton';
  const listed = figureInUse(plan.removal_lbK2OPerUnit, crop.removal);
  const uptake =
    crop.uptake || plan.uptake_lbK2OPerUnit !== null ? figureInUse(plan.uptake_lbK2OPerUnit, crop.uptake) : null;
  const residueToo = plan.harvest === 'grain and residue' && !crop.wholePlant;
  if (residueToo && !uptake && plan.removal_lbK2OPerUnit === null) return 'no residue figure';
  const goal = plan.yieldGoal;
  const sum = (of: InUse): string =>
    `${typed(goal)} x ${figure(of.value, 2)} lb/${unit} = ${figure(goal * of.value, 1)}`;
  const residue = residueToo && uptake ? Math.max(0, uptake.value - listed.value) : 0;
  const leaves = residue * (plan.residueShare_pct / 100);
  const whole = plan.residueShare_pct === 100;
  const leaving = `${crop.harvested}${residueToo && !(residue > 0) ? ' and residue' : ''}`;
  const residueHow =
    residue > 0 && uptake && whole
      ? `${sum(uptake)} lb leaves with the ${crop.harvested} and residue`
      : `${sum(listed)} lb leaves with the ${leaving}${leaves > 0 ? ` + ${figure(goal * leaves, 1)} with ${typed(plan.residueShare_pct)} % of the residue, ${typed(goal)} x ${figure(residue, 2)}` : ''}`;
  return {
    crop,
    yieldGoal: goal,
    removal_lbK2OPerAc: residue > 0 && uptake && whole ? goal * uptake.value : goal * (listed.value + leaves),
    uptake_lbK2OPerAc: uptake ? goal * uptake.value : null,
    removalHow: `${residueHow}${goalFrom === '' ? '' : ` (${goalFrom})`}`,
    uptakeHow: uptake
      ? `whole uptake ${sum(uptake)} lb`
      : crop.wholePlant
        ? 'the whole plant leaves, so uptake asks for no more'
        : `no uptake figure for ${crop.name.toLowerCase()} was found, so none is used`,
    source: `Removal: ${residue > 0 && uptake && whole ? uptake.source : listed.source}.${uptake ? ` Uptake: ${uptake.source}.` : ''}`,
  };
}

interface InUse {
  readonly value: number;
  readonly source: string;
}
function figureInUse(typedValue: number | null, listed: CropFigure | null): InUse {
  if (typedValue !== null) return { value: typedValue, source: 'typed in the plan' };
  if (!listed) throw new Error('neither a typed nor a listed figure');
  return { value: listed.value, source: `${listed.source} (${listed.flag})` };
}

/** What the plan asks for in lines 5 to 7. NaN where the takes are not known. */
export interface CropLine {
  readonly buildUp_lbK2OPerAc: number;
  readonly crop_lbK2OPerAc: number;
  /** Change of line 7: 0 or below. */
  readonly aboveRange_lbK2OPerAc: number;
  /** Part of the crop line that stays, 0 to 1. */
  readonly share: number;
  /** True where the uptake beyond removal is more than the build-up: it, and not the years, then sets the crop line. */
  readonly byUptake: boolean;
}

/**
 * Lines 5 to 7: build-up a year = takes / years. Crop line = removal + max(build-up, uptake - removal) where the zone is short: the
 * uptake must be in reach this season, and what goes back with the residue counts towards build-up, never twice. Elsewhere
 * removal alone. Above the range no build-up, and the crop line falls in a straight line from 1 at the range's top to 0 at
 * `zeroAt_pct` (where that is not above the top: 0 at once). Source: ours.
 */
export function cropLine(
  use: Pick<CropUse, 'removal_lbK2OPerAc' | 'uptake_lbK2OPerAc'>,
  takes_lbK2OPerAc: number,
  kSat_pct: number,
  plan: Pick<RatesSettings, 'buildUp_years' | 'rangeTop_pct' | 'zeroAt_pct'>,
): CropLine {
  const buildUp = takes_lbK2OPerAc / plan.buildUp_years;
  const beyond = Math.max(0, (use.uptake_lbK2OPerAc ?? 0) - use.removal_lbK2OPerAc);
  const crop = use.removal_lbK2OPerAc + (takes_lbK2OPerAc > 0 ? Math.max(buildUp, beyond) : buildUp);
  const share = shareAboveRange(kSat_pct, plan);
  return {
    buildUp_lbK2OPerAc: buildUp,
    crop_lbK2OPerAc: crop,
    aboveRange_lbK2OPerAc: share < 1 ? crop * share - crop : 0,
    share,
    byUptake: takes_lbK2OPerAc > 0 && beyond > buildUp,
  };
}

/** Part of the crop line left at a saturation: 1 up to the range's top, 0 from `zeroAt_pct`; 1 where the saturation is not known. */
export function shareAboveRange(kSat_pct: number, plan: Pick<RatesSettings, 'rangeTop_pct' | 'zeroAt_pct'>): number {
  if (!(kSat_pct > plan.rangeTop_pct)) return 1;
  if (kSat_pct >= plan.zeroAt_pct) return 0;
  return (plan.zeroAt_pct - kSat_pct) / (plan.zeroAt_pct - plan.rangeTop_pct);
}

const BY_UPTAKE = '; the uptake beyond removal is more, so that sets line 6 and the years do not';

/** Line 5: build-up a year. */
export const buildUpLine = (takes_lbK2OPerAc: number, line: CropLine, years: number): LedgerLine => ({
  n: 5,
  key: 'buildUp',
  label: 'Build-up a year',
  how: Number.isNaN(takes_lbK2OPerAc)
    ? 'not known without a governing target'
    : takes_lbK2OPerAc === 0
      ? 'nothing to build up'
      : years === 1
        ? `${figure(takes_lbK2OPerAc, 1)} all in one year${line.byUptake ? BY_UPTAKE : ''}`
        : `${figure(takes_lbK2OPerAc, 1)} over ${counted(years, 'year')}${line.byUptake ? BY_UPTAKE : ''}`,
  unit: 'lb K2O/ac',
  working: known(line.buildUp_lbK2OPerAc),
  carried: null,
  source: 'the choice of the plan',
});

/** Line 6: what the crop and the build-up ask for together. */
export function cropUseLine(use: CropUse, line: CropLine, takes_lbK2OPerAc: number): LedgerLine {
  const how = [use.removalHow];
  if (Number.isNaN(takes_lbK2OPerAc)) how.push('the rest is not known without a governing target');
  else if (takes_lbK2OPerAc > 0) {
    how.push(use.uptake_lbK2OPerAc === null ? `short; ${use.uptakeHow}` : `short, so ${use.uptakeHow}`);
    const beyond = Math.max(0, (use.uptake_lbK2OPerAc ?? 0) - use.removal_lbK2OPerAc);
    const build = line.buildUp_lbK2OPerAc;
    how.push(
      beyond > build
        ? `+ ${figure(beyond, 1)} for uptake beyond removal, which sets the rate here and covers the build-up of ${figure(build, 1)}`
        : `+ ${figure(build, 1)} build-up${beyond > 0 ? `, which covers the uptake beyond removal of ${figure(beyond, 1)}` : ''}`,
    );
  } else how.push('not short, so removal alone');
  return {
    n: 6,
    key: 'crop',
    label: `Crop, ${use.crop.name.toLowerCase()}`,
    how: how.join('; '),
    unit: 'lb K2O/ac',
    working: use.removal_lbK2OPerAc,
    carried: known(line.crop_lbK2OPerAc),
    source: use.source,
  };
}

/** Line 7: what ground above the range does not get. */
export function aboveRangeLine(
  kSat_pct: number,
  line: CropLine,
  plan: Pick<RatesSettings, 'rangeTop_pct' | 'zeroAt_pct'>,
): LedgerLine {
  const top = typed(plan.rangeTop_pct);
  const carried = known(line.aboveRange_lbK2OPerAc);
  return {
    n: 7,
    key: 'aboveRange',
    label: 'Above the range',
    how: Number.isNaN(kSat_pct)
      ? 'K saturation is not known, so nothing is taken off'
      : line.share === 1
        ? `K at ${figure(kSat_pct, 1)} % is not above ${top} %`
        : `K at ${figure(kSat_pct, 1)} % is above ${top} %: no build-up, and the crop line counts ${figure(line.share, 2)} (1 at ${top} %, 0 at ${typed(plan.zeroAt_pct)} %)`,
    unit: 'lb K2O/ac',
    working: Number.isNaN(kSat_pct) || carried === null ? null : known(line.crop_lbK2OPerAc * line.share),
    carried,
    source: 'the range and its limits: common practice, no source; the straight line: ours',
  };
}
