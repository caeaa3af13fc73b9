import { caution, note, type Problem } from '../base/problem.ts';
import { CALCAREOUS_PH } from '../soil/chemistry.ts';
import type { Zone, ZoneStat } from '../zones/types.ts';
import type { CropUse } from './crop.ts';
import { type Ground, totalOf, type Worked } from './ledger.ts';
import { isMachineRate } from './machine.ts';
import type { ByHand } from './override.ts';
import { hasSeasonPass } from './passes.ts';
import { chlorideIn } from './product.ts';
import type { RatesSettings } from './settings.ts';
import { cecOverstated } from './target-saturation.ts';
import { figure, typed } from './text.ts';
import type { PassRate, ZoneRate } from './types.ts';

/** lb of product in one pass that ask for a reason, and that ask for a strong one. Common practice, no source. */
const HEAVY_PASS_LBPERAC = 500;
const VERY_HEAVY_PASS_LBPERAC = 1400;
/** lb K2O/ac above which corn yielded less in North Dakota trials. */
const CORN_LESS_ABOVE_LBK2OPERAC = 120;
/** Change by the machine that is worth a word: both must be passed. Common practice, no source. */
const CHANGE_LBPERAC = 10;
const CHANGE_SHARE = 0.25;
/** Acres under which a part of a zone is not worth a sentence. */
const WORTH_SAYING_AC = 0.05;

/** A zone's result as far as the cautions look at it. */
export interface Watched {
  readonly zone: Pick<Zone, 'key' | 'letter' | 'acres' | 'far_ac' | 'stats'>;
  readonly ground: Ground;
  readonly worked: Worked;
  readonly answers: ZoneRate['answers'];
  readonly passes: readonly PassRate[];
  readonly k2o_lbPerAc: number | null;
  readonly byHand: ByHand | null;
  readonly withheld: boolean;
}

/**
 * What a person should look at in a zone that has its rate, cautions and notes only, each with the zone's letter:
 * `rates-saturation-note`, `-caution`, `-strong`; `rates-cec-overstated`, `rates-extractant-not-told`; `rates-no-cec-caps`;
 * `rates-far-part`, `rates-part-known`; `rates-no-uptake`; `rates-readings-apart`; `rates-light-no-season`; `rates-cap-under-least`;
 * `rates-heavy-pass`, `rates-very-heavy-pass`; `rates-chloride`; `rates-corn-over-120`; `rates-override-range`, `rates-override-cap`;
 * `rates-undone` (more than a quarter of what was asked), `rates-machine-changes` (more than 25 % and 10 lb/ac).
 */
export function watch(of: Watched, plan: RatesSettings): readonly Problem[] {
  const at = { zone: of.zone.letter };
  const problems = [
    ...aboutSaturation(of, plan, at),
    ...aboutReading(of, plan, at),
    ...(of.withheld
      ? []
      : [...aboutCrop(of, plan, at), ...aboutPasses(of, at), ...aboutLeft(of, at), ...aboutHand(of, plan, at)]),
  ];
  return problems.map((problem) => ({ ...problem, stage: 'rates' }));
}

type At = { readonly zone: string };

function aboutSaturation({ ground, zone }: Watched, plan: RatesSettings, at: At): Problem[] {
  const share = ground.reading.kSat_pct;
  const is = `K saturation is ${figure(share, 1)} % in zone ${zone.letter}`;
  if (share >= plan.strong_pct)
    return [
      caution(
        'rates-saturation-strong',
        `${is}, ${typed(plan.strong_pct)} % or more: this much K hinders the uptake of Mg and Ca.`,
        'Put on no K; where the ground is grazed or cut for feed, have the forage tested for grass tetany.',
        at,
      ),
    ];
  if (share >= plan.caution_pct)
    return [
      caution(
        'rates-saturation-caution',
        `${is}, ${typed(plan.caution_pct)} % or more: Mg and Ca uptake may suffer.`,
        'Ask where the K comes from, such as manure, and draw it down.',
        at,
      ),
    ];
  if (share >= plan.note_pct)
    return [
      note(
        'rates-saturation-note',
        `${is}, ${typed(plan.note_pct)} % or more, which also counts for a pass in season.`,
        'Watch Mg in the leaf, and test again.',
        at,
      ),
    ];
  return [];
}

function aboutReading({ zone, ground, worked }: Watched, plan: RatesSettings, at: At): Problem[] {
  const found: Problem[] = [];
  const { ph, cec_meq } = ground.reading;
  if (cecOverstated(ground.extractant, ph) && plan.governs === 'larger' && plan.calcareousReason.trim() === '')
    found.push(
      caution(
        'rates-cec-overstated',
        `Soil pH is ${figure(ph, 1)} in zone ${zone.letter}: Mehlich-3 dissolves lime there and CEC reads too high, so ppm governs.`,
        'Have the cations tested by ammonium acetate, or give the reason why saturation shall govern.',
        { ...at, setting: 'rates.calcareousReason' },
      ),
    );
  else if (ground.extractant === 'not told' && ph > CALCAREOUS_PH && plan.governs !== 'ppm')
    found.push(
      note(
        'rates-extractant-not-told',
        `Soil pH is ${figure(ph, 1)} in zone ${zone.letter} and the extractant is not told: by Mehlich-3, CEC reads too high there.`,
        'Say which extractant the lab used.',
        { ...at, setting: 'soil.extractant' },
      ),
    );
  if (Number.isNaN(cec_meq) && plan.governs === 'ppm')
    found.push(
      caution(
        'rates-no-cec-caps',
        `CEC is not known in zone ${zone.letter}: the caps of ${worked.holding.name} ground hold, and high saturation would not be seen.`,
        'Give the CEC, or Ca, Mg and buffer pH to sum it from.',
        at,
      ),
    );
  if (zone.far_ac > WORTH_SAYING_AC && zone.far_ac <= zone.acres / 2)
    found.push(
      caution(
        'rates-far-part',
        `${figure(zone.far_ac, 1)} of the ${figure(zone.acres, 1)} ac of zone ${zone.letter} are far from any sample and get the zone's rate.`,
        'Add a sample there, or look at the ground.',
        { ...at, setting: 'surfaces.far_m' },
      ),
    );
  const stats: readonly (readonly [string, ZoneStat | undefined])[] = [
    ['K', zone.stats.k_ppm],
    ['CEC', zone.stats.cec_meq],
  ];
  for (const [name, stat] of stats) {
    if (stat && Number.isFinite(stat.mean) && zone.acres - stat.known_ac > WORTH_SAYING_AC)
      found.push(
        caution(
          'rates-part-known',
          `${name} is known on ${figure(stat.known_ac, 1)} of the ${figure(zone.acres, 1)} ac of zone ${zone.letter}; the rest gets the same rate.`,
          'Add samples with the missing value.',
          at,
        ),
      );
  }
  return found;
}

function aboutCrop({ zone, worked, answers, passes, k2o_lbPerAc }: Watched, plan: RatesSettings, at: At): Problem[] {
  const found: Problem[] = [];
  const { use, governing } = worked;
  if (typeof use === 'string') return found;
  const short = governing.takes_lbK2OPerAc > 0;
  if (short && use.uptake_lbK2OPerAc === null && !use.crop.wholePlant)
    found.push(
      note(
        'rates-no-uptake',
        `Zone ${zone.letter} is short, and no uptake figure for ${use.crop.name.toLowerCase()} was found: the crop line is removal and build-up alone.`,
        'Type an uptake figure if you have one.',
        { ...at, setting: 'rates.uptake_lbK2OPerUnit' },
      ),
    );
  const { ppmAlone, saturationAlone } = answers;
  if (
    short &&
    governing.by === 'saturation' &&
    ppmAlone !== null &&
    saturationAlone !== null &&
    saturationAlone > 2 * ppmAlone
  )
    found.push(
      caution(
        'rates-readings-apart',
        `Saturation alone asks for ${typed(saturationAlone)} lb/ac in zone ${zone.letter}, ppm alone for ${typed(ppmAlone)}.`,
        'Look at the ledger, and choose which target shall govern.',
        { ...at, setting: 'rates.governs' },
      ),
    );
  const chloride = chlorideIn(
    passes.reduce((all, one) => all + one.rate_lbPerAc, 0),
    plan.product.salt,
  );
  if (use.crop.chlorideSensitive && chloride > 0)
    found.push(
      caution(
        'rates-chloride',
        `${use.crop.name} suffers from chloride, and ${plan.product.name} puts on ${figure(chloride)} lb/ac of it in zone ${zone.letter}.`,
        'Choose a sulfate product (Mississippi State University Extension; University of Nebraska-Lincoln Extension).',
        { ...at, setting: 'rates.product' },
      ),
    );
  if (use.crop.id === 'corn' && k2o_lbPerAc !== null && k2o_lbPerAc > CORN_LESS_ABOVE_LBK2OPERAC)
    found.push(
      note(
        'rates-corn-over-120',
        `Zone ${zone.letter} gets ${figure(k2o_lbPerAc)} lb K2O/ac; in North Dakota more than 120 in a year lowered the yield of corn.`,
        ...cornRemedy(worked, use, plan, at),
      ),
    );
  return found;
}

/** What brings a high rate down: whichever of build-up, uptake and removal asks for it. */
function cornRemedy(
  { governing }: Worked,
  use: CropUse,
  plan: RatesSettings,
  at: At,
): [remedy: string, at: At & { readonly setting: string }] {
  const { removal_lbK2OPerAc: removal, uptake_lbK2OPerAc: uptake } = use;
  const beyond = Math.max(0, (uptake ?? 0) - removal);
  const short = governing.takes_lbK2OPerAc > 0;
  if (short && governing.takes_lbK2OPerAc / plan.buildUp_years > beyond)
    return [
      'Spread the build-up over more years, unless the ground is known to take it.',
      { ...at, setting: 'rates.buildUp_years' },
    ];
  if (short && beyond > 0)
    return [
      `Look at the uptake in use, ${figure(uptake ?? 0)} lb K2O/ac of which ${figure(removal)} leave: more years of build-up change nothing.`,
      { ...at, setting: 'rates.uptake_lbK2OPerUnit' },
    ];
  return [
    `Look at the removal in use, ${figure(removal)} lb K2O/ac with the ${plan.harvest}: more years of build-up change nothing.`,
    { ...at, setting: 'rates.removal_lbK2OPerUnit' },
  ];
}

function aboutLeft({ zone, worked, byHand }: Watched, at: At): Problem[] {
  const { exact_lbPerAc: exact, rates_lbPerAc: rates, undone_lbK2OPerAc: undone } = worked;
  if (byHand || exact === null || !rates) return [];
  const found: Problem[] = [];
  const asked =
    (worked.lines.find((one) => one.key === 'crop')?.carried ?? 0) +
    (worked.lines.find((one) => one.key === 'aboveRange')?.carried ?? 0);
  if (undone > asked / 4)
    found.push(
      caution(
        'rates-undone',
        `${figure(undone, 1)} of the ${figure(asked, 1)} lb K2O/ac asked for in zone ${zone.letter} stay undone this year, on ${figure(zone.acres, 1)} ac.`,
        "Raise the caps, add a pass, or lower the machine's least rate; else put it on next year.",
        { ...at, setting: 'rates.passes' },
      ),
    );
  const rate = totalOf(rates);
  const change = Math.abs(rate - exact);
  if (change > CHANGE_LBPERAC && change > exact * CHANGE_SHARE)
    found.push(
      caution(
        'rates-machine-changes',
        `The machine's least rate and step make ${typed(rate)} lb/ac of the ${figure(exact, 1)} worked out for zone ${zone.letter}.`,
        "Lower the machine's least rate or step, or put zones together.",
        { ...at, setting: 'rates.machine' },
      ),
    );
  return found;
}

function aboutPasses({ zone, worked, passes }: Watched, at: At): Problem[] {
  const found: Problem[] = [];
  const spreads = passes.some((one) => one.rate_lbPerAc > 0);
  if (spreads && worked.holding.light && !hasSeasonPass(worked.caps))
    found.push(
      caution(
        'rates-light-no-season',
        `Zone ${zone.letter} is light ground, and the plan has no pass in season that can spread: K may leach before the crop takes it.`,
        'Add a pass in season.',
        { ...at, setting: 'rates.passes' },
      ),
    );
  for (const cap of worked.caps) {
    if (cap.underLeast && (worked.exact_lbPerAc ?? 0) + worked.undone_lbK2OPerAc > 0)
      found.push(
        caution(
          'rates-cap-under-least',
          `The cap of ${cap.text} ${cap.pass.name} is under what the machine can spread at least in zone ${zone.letter}, so that pass is left out.`,
          "Raise the cap or lower the machine's least rate.",
          { ...at, setting: 'rates.passes' },
        ),
      );
  }
  for (const pass of passes) {
    const heavy = pass.rate_lbPerAc > HEAVY_PASS_LBPERAC;
    const very = pass.rate_lbPerAc > VERY_HEAVY_PASS_LBPERAC;
    if (heavy)
      found.push(
        caution(
          very ? 'rates-very-heavy-pass' : 'rates-heavy-pass',
          `Zone ${zone.letter} gets ${typed(pass.rate_lbPerAc)} lb/ac of product in one pass, ${pass.name}: more than ${figure(very ? VERY_HEAVY_PASS_LBPERAC : HEAVY_PASS_LBPERAC)}.`,
          very
            ? 'Lower the cap of the pass; so much salt at once harms seed and seedlings and is seldom called for.'
            : 'Lower the cap of the pass, or have a reason for it.',
          { ...at, setting: 'rates.passes' },
        ),
      );
  }
  return found;
}

function aboutHand({ zone, worked, passes, byHand }: Watched, plan: RatesSettings, at: At): Problem[] {
  if (!byHand) return [];
  const found: Problem[] = [];
  const setting = { ...at, setting: 'rates.overrides' };
  const odd = passes.filter((one) => !isMachineRate(one.rate_lbPerAc, plan.machine));
  if (odd.length > 0)
    found.push(
      caution(
        'rates-override-range',
        `The rate typed for zone ${zone.letter} gives ${odd.map((one) => `${typed(one.rate_lbPerAc)} lb/ac ${one.name}`).join(' and ')}, which the machine cannot set.`,
        `Type a rate that splits into ${typed(plan.machine.least_lbPerAc)} to ${typed(plan.machine.most_lbPerAc)} lb/ac a pass in steps of ${typed(plan.machine.step_lbPerAc)}.`,
        setting,
      ),
    );
  const k2o = passes.reduce((all, one) => all + one.k2o_lbPerAc, 0);
  const yearCap = worked.holding.perYear_lbK2OPerAc;
  const overYear = yearCap === null ? 0 : k2o - yearCap;
  const hair = 1e-6;
  if (byHand.overCap_lbPerAc > hair || overYear > hair)
    found.push(
      caution(
        'rates-override-cap',
        `The rate typed for zone ${zone.letter} passes ${[
          ...(byHand.overCap_lbPerAc > hair
            ? [`the cap of its pass by ${figure(byHand.overCap_lbPerAc, 1)} lb/ac`]
            : []),
          ...(overYear > hair ? [`the year's cap by ${figure(overYear, 1)} lb K2O/ac`] : []),
        ].join(' and ')}.`,
        'Lower it, or raise the cap.',
        setting,
      ),
    );
  return found;
}
