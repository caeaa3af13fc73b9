import { caution, note, type Problem } from '../base/problem.ts';
import { K2O_PER_K } from '../base/units.ts';
import { type CropSettings, cropUse } from './crop.ts';
import { type Ground, type Worked, workLedger } from './ledger.ts';
import { k2oIn } from './product.ts';
import type { RatesSettings } from './settings.ts';
import { k2oOf, productsOf } from './spread.ts';
import { supply } from './supply.ts';
import { fieldFactor } from './target-ppm.ts';
import { figure } from './text.ts';
import type { PathYear, ZoneRate } from './types.ts';

/** CEC from which and up to which a field factor is published. */
const FACTOR_FROM_MEQ = 10;
const FACTOR_TO_MEQ = 30;

/** lb K2O that move the soil test by one ppm: by stoichiometry, and the least and most of that and the field factor in print. */
export interface Moves {
  readonly lbK2OPerPpm: number;
  readonly least_lbK2OPerPpm: number;
  readonly most_lbK2OPerPpm: number;
}

/**
 * How much K2O moves the test by a ppm on some ground. By stoichiometry: lb K per ppm x 1.2046 (2.41 at 2 lb). In print:
 * 4 x (1 + 0.05 CEC), as printed for the plow layer and CEC 10 to 30; beyond, the nearer end (6 or 10), and both where CEC is not known.
 * The band runs from the smallest to the largest of these. Source: Ohio State University on Tri-State Bulletin E-2567; the band: ours.
 */
export function movesOf(supply_factor: number, cec_meq: number): Moves {
  const lbK2OPerPpm = supply_factor * K2O_PER_K;
  const printed = Number.isNaN(cec_meq)
    ? [fieldFactor(FACTOR_FROM_MEQ), fieldFactor(FACTOR_TO_MEQ)]
    : [fieldFactor(Math.min(FACTOR_TO_MEQ, Math.max(FACTOR_FROM_MEQ, cec_meq)))];
  return {
    lbK2OPerPpm,
    least_lbK2OPerPpm: Math.min(lbK2OPerPpm, ...printed),
    most_lbK2OPerPpm: Math.max(lbK2OPerPpm, ...printed),
  };
}

/** Soil test after a gain or loss of K2O: k + net / lb K2O per ppm, never below 0. */
export const testAfter = (k_ppm: number, net_lbK2OPerAc: number, lbK2OPerPpm: number): number =>
  Math.max(0, k_ppm + net_lbK2OPerAc / lbK2OPerPpm);

/** The crops of the rotation in order, this season's first; it then starts over. */
export const rotationOf = (plan: RatesSettings): readonly CropSettings[] => [plan, ...plan.thenCrops];

/** Years that a path covers: build-up, the years of the land and the whole rotation, whichever is longest. */
export const pathYears = (plan: RatesSettings): number =>
  Math.max(plan.buildUp_years, plan.land_years, 1 + plan.thenCrops.length);

/** The plan of a year to come: that year's crop, and what is left of the build-up years (1 once they are over). */
export function planInYear(plan: RatesSettings, year: number): RatesSettings {
  const rotation = rotationOf(plan);
  const crop = rotation[(year - 1) % rotation.length] ?? plan;
  return {
    ...plan,
    crop: crop.crop,
    yieldGoal: crop.yieldGoal,
    harvest: crop.harvest,
    residueShare_pct: crop.residueShare_pct,
    removal_lbK2OPerUnit: crop.removal_lbK2OPerUnit,
    uptake_lbK2OPerUnit: crop.uptake_lbK2OPerUnit,
    buildUp_years: Math.max(1, plan.buildUp_years - year + 1),
  };
}

/**
 * The years ahead of one zone with this plan kept up.
 *
 * Year 1 is what the plan gives now. Each later year goes through the whole ledger again on the soil that the years before left
 * (by stoichiometry), with that year's crop of the rotation, the same targets and caps, and the build-up still missing spread over
 * what is left of the build-up years; a shortfall under a step of the machine a pass counts as met. At a year's end the test has moved by (spread + credited - removed) / lb K2O per ppm: by stoichiometry
 * for `k_ppm`, and for the low and high by whichever of stoichiometry and the field factor in print gives less or more, over all years together. Removal draws
 * it down by the same factors. K credited beyond what a year asks for is kept apart and counts the year after; no other
 * credits are counted after year 1, and a budget is of year 1 alone. CEC stays, and no leaching is counted: on
 * light ground, which holds no bank, what is shown above the target is the most that may be left. Empty where no rate is given, or a crop of the rotation cannot be worked; empty with
 * `stopped` where a later year cannot be worked although its crop can, as where a followed guide gives no rate on the soil of then.
 * Cost: one ledger a year. Source: ours.
 */
export function pathOf(
  ground: Ground,
  plan: RatesSettings,
  worked: Worked,
  spread_lbK2OPerAc: number | null,
): { readonly years: readonly PathYear[]; readonly stopped: Stopped | null } {
  const nothing = { years: [], stopped: null };
  const { reading, supply_factor, kPpmPerMeq } = ground;
  if (spread_lbK2OPerAc === null || Number.isNaN(reading.k_ppm)) return nothing;
  const moves = movesOf(supply_factor, reading.cec_meq);
  const share = (k_ppm: number): number => (100 * k_ppm) / kPpmPerMeq / reading.cec_meq;
  const years: PathYear[] = [];
  let k_ppm = reading.k_ppm;
  let net = 0;
  let surplus = 0;
  for (let year = 1; year <= pathYears(plan); year++) {
    const planNow = planInYear(plan, year);
    const use = year === 1 ? worked.use : cropUse(planNow);
    if (typeof use === 'string') return nothing;
    const now = year === 1 ? worked : workLater(groundInYear(ground, k_ppm, share(k_ppm), surplus), planNow);
    const spread = year === 1 ? spread_lbK2OPerAc : spreadBy(now, plan);
    if (spread === null || Number.isNaN(spread) || Number.isNaN(now.credited.used_lbK2OPerAc))
      return { years: [], stopped: { year, k_ppm, crop: use.crop.name, why: whyStopped(now) } };
    surplus = now.credited.carriedOver_lbK2OPerAc;
    const change = spread + now.credited.used_lbK2OPerAc - use.removal_lbK2OPerAc;
    k_ppm = testAfter(k_ppm, change, moves.lbK2OPerPpm);
    net += change;
    const ends = [
      k_ppm,
      testAfter(reading.k_ppm, net, moves.least_lbK2OPerPpm),
      testAfter(reading.k_ppm, net, moves.most_lbK2OPerPpm),
    ];
    const low = Math.min(...ends);
    const high = Math.max(...ends);
    years.push({
      year,
      crop: use.crop.name,
      applied_lbK2OPerAc: spread,
      credited_lbK2OPerAc: now.credited.used_lbK2OPerAc,
      removed_lbK2OPerAc: use.removal_lbK2OPerAc,
      k_ppm,
      kLow_ppm: low,
      kHigh_ppm: high,
      kSat_pct: share(k_ppm),
      kSatLow_pct: share(low),
      kSatHigh_pct: share(high),
    });
  }
  return { years, stopped: null };
}

/** The year that could not be worked, its soil test and crop, and why. */
export interface Stopped {
  readonly year: number;
  readonly k_ppm: number;
  readonly crop: string;
  readonly why: string;
}

const whyStopped = ({ followed }: Worked): string =>
  followed && !followed.ok ? followed.message : 'A figure that its account needs is not known.';

/** `rates-path-stops`, a note: why the years ahead of a zone are not shown. */
export const pathStopped = ({ year, k_ppm, crop, why }: Stopped, letter: string): Problem => ({
  ...note(
    'rates-path-stops',
    `The years ahead of zone ${letter} are not shown: year ${year}, ${crop.toLowerCase()} at ${figure(k_ppm)} ppm, cannot be worked. ${why}`,
    "Follow another guide, or let the plan's own targets set the rate, to see them.",
    { zone: letter, setting: 'rates.follows' },
  ),
  stage: 'rates',
});

/** The account of a later year. What is short of the target by less than the machine's steps can tell was reached: it counts as met. */
function workLater(ground: Ground, plan: RatesSettings): Worked {
  const worked = workLedger(ground, plan, plan.governs);
  const { takes_lbK2OPerAc: takes, target_ppm } = worked.governing;
  const untold = k2oIn(plan.machine.step_lbPerAc * plan.passes.length, plan.product.k2o_pct);
  if (worked.followed || !(takes > 0 && takes <= untold)) return worked;
  const met = { ...ground.reading, k_ppm: target_ppm };
  return workLedger({ ...ground, reading: met }, plan, plan.governs);
}

const spreadBy = (worked: Worked, plan: RatesSettings): number | null =>
  worked.products_lbPerAc ? k2oOf(worked.products_lbPerAc, productsOf(plan)) : null;

/** The ground of a later year: its K then, of the credits only the surplus of the year before, and no budget, which is this year's. */
function groundInYear(ground: Ground, k_ppm: number, kSat_pct: number, surplus_lbK2OPerAc: number): Ground {
  const left = {
    name: 'surplus of the year before',
    counts_lbK2OPerAc: surplus_lbK2OPerAc,
    how: `surplus of the year before = ${figure(surplus_lbK2OPerAc, 1)}`,
    undated: false,
  };
  return {
    ...ground,
    reading: { ...ground.reading, k_ppm, kSat_pct },
    credits: surplus_lbK2OPerAc > 0 ? [left] : [],
    money: null,
    goalFrom: '',
  };
}

/**
 * The soil at this season's end if nothing is put on, and after this plan, by stoichiometry, with the years of this crop's removal that
 * then lie above the governing target (0 on light ground, null where they cannot be said). Credits that count this year are in both; what they bring beyond what is asked for is in neither, and named. Null where K, crop or
 * rate is not known.
 */
export function nextYear(ground: Ground, worked: Worked, spread_lbK2OPerAc: number | null): ZoneRate['next'] {
  const { use, governing, holding } = worked;
  const { k_ppm, cec_meq } = ground.reading;
  const used = worked.credited.used_lbK2OPerAc;
  if (typeof use === 'string' || spread_lbK2OPerAc === null || Number.isNaN(k_ppm) || Number.isNaN(used)) return null;
  const removal = use.removal_lbK2OPerAc;
  const { lbK2OPerPpm } = movesOf(ground.supply_factor, cec_meq);
  const after = (spread: number) => {
    const then_ppm = testAfter(k_ppm, spread + used - removal, lbK2OPerPpm);
    const have = supply(then_ppm, governing.target_ppm, ground.supply_factor, removal, holding.light);
    return { k_ppm: then_ppm, removalYears: have.removalYears };
  };
  return {
    none: after(0),
    plan: after(spread_lbK2OPerAc),
    carriedOver_lbK2OPerAc: worked.credited.carriedOver_lbK2OPerAc,
  };
}

/** Later crops of the rotation that no line can be worked for: `rates-then-crop`, one a crop. The years ahead are then not shown. */
export function laterCropsAmiss(plan: Pick<RatesSettings, 'thenCrops'>): readonly Problem[] {
  return plan.thenCrops.flatMap((crop, index) => {
    const use = cropUse(crop);
    if (typeof use !== 'string') return [];
    return [
      caution(
        'rates-then-crop',
        use === 'no residue figure'
          ? `The residue of ${crop.crop}, crop ${index + 2} of the rotation, leaves the field, and no figure for it was found: the years ahead are not shown.`
          : `There is no crop "${crop.crop}" in the list, crop ${index + 2} of the rotation: the years ahead are not shown.`,
        use === 'no residue figure' ? 'Type the removal with the residue in it.' : 'Choose a crop of the list.',
        { setting: 'rates.thenCrops' },
      ),
    ];
  });
}
