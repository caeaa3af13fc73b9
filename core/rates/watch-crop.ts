import { caution, note, type Problem } from '../base/problem.ts';
import { listed } from '../surfaces/coverage.ts';
import type { CropUse } from './crop.ts';
import type { Worked } from './ledger.ts';
import { chloride_pct, saysChloride } from './product.ts';
import type { RatesSettings } from './settings.ts';
import { productsOf } from './spread.ts';
import { figure, typed } from './text.ts';
import type { At, Watched } from './watch.ts';

/** lb K2O/ac above which corn yielded less in North Dakota trials. */
const CORN_LESS_ABOVE_LBK2OPERAC = 120;
/** A shortfall under this part of the step that it sets off is small. Ours. */
const SMALL_SHARE = 0.25;

/** What the crop, its figures and the product give to mind. */
export function aboutCrop(
  { zone, worked, answers, products, byHand }: Watched,
  plan: RatesSettings,
  at: At,
): Problem[] {
  const found: Problem[] = [];
  const { use, governing } = worked;
  if (typeof use === 'string') return found;
  const short = governing.takes_lbK2OPerAc > 0;
  if (short && !worked.followed && use.uptake_lbK2OPerAc === null && !use.crop.wholePlant)
    found.push(
      note(
        'rates-no-uptake',
        `Zone ${zone.letter} is short, and no uptake figure for ${use.crop.name.toLowerCase()} was found: the crop line is removal and build-up alone.`,
        'Type an uptake figure if you have one.',
        { ...at, setting: 'rates.uptake_lbK2OPerUnit' },
      ),
    );
  found.push(
    ...(worked.followed || byHand ? [] : justShort(worked, use, plan, zone.letter, at)),
    ...oddGoal(use, at, zone.letter),
  );
  const { ppmAlone, saturationAlone } = answers;
  if (
    short &&
    plan.follows === null &&
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
  const named = productsOf(plan).filter(
    (of, index) => saysChloride(of) && !(chloride_pct(of) > 0) && (products[index]?.k2o_lbPerAc ?? 0) > 0,
  );
  if (use.crop.chlorideSensitive && named.length > 0)
    found.push(
      caution(
        'rates-chloride',
        `${use.crop.name} suffers from chloride, and ${named.map(({ name }) => name).join(' and ')} ${named.length === 1 ? 'is' : 'are'} a chloride by name or salt, though none is said to be in it: what zone ${zone.letter} gets of it is not known.`,
        "Give the chloride on the product's label, or choose a sulfate product (Mississippi State University Extension; University of Nebraska-Lincoln Extension).",
        { ...at, setting: 'rates.product' },
      ),
    );
  const salty = products.filter((one) => one.brings.cl > 0);
  const chloride = salty.reduce((all, one) => all + one.brings.cl, 0);
  if (use.crop.chlorideSensitive && chloride > 0)
    found.push(
      caution(
        'rates-chloride',
        `${use.crop.name} suffers from chloride, and ${salty.map((one) => one.product).join(' and ')} ${salty.length === 1 ? 'puts' : 'put'} on ${figure(chloride)} lb/ac of it in zone ${zone.letter}. Tobacco, grapes, citrus and tree fruit, which are not in the crop list, suffer too.`,
        'Choose a sulfate product (Mississippi State University Extension; University of Nebraska-Lincoln Extension).',
        { ...at, setting: 'rates.product' },
      ),
    );
  return found;
}

/** A zone that has its rate, as the caution of corn looks at it. */
export interface Fed {
  readonly letter: string;
  readonly worked: Worked;
  readonly plan: RatesSettings;
  readonly byHand: boolean;
  readonly k2o_lbPerAc: number;
}

const CORN: readonly string[] = ['corn', 'corn-silage'];

/**
 * `rates-corn-over-120`: corn, for silage too, that gets more K2O than lowered its yield in North Dakota. One caution of the plan for each remedy, with
 * the letters of its zones. Source: North Dakota corn, ndcorn.org (seen in the source).
 */
export function aboutCorn(zones: readonly Fed[]): readonly Problem[] {
  const found = zones.flatMap((zone) => {
    const { use } = zone.worked;
    if (typeof use === 'string' || !CORN.includes(use.crop.id) || zone.k2o_lbPerAc <= CORN_LESS_ABOVE_LBK2OPERAC)
      return [];
    const { remedy, setting } = zone.byHand ? TYPED : cornRemedy(zone.worked, use, zone.plan);
    return [{ ...zone, crop: use.crop.name.toLowerCase(), remedy, setting }];
  });
  return [...new Set(found.map(({ remedy }) => remedy))].flatMap((remedy) => {
    const alike = found.filter((one) => one.remedy === remedy);
    const first = alike[0];
    if (!first) return [];
    const letters = alike.map(({ letter }) => letter);
    const pounds = alike.map(({ k2o_lbPerAc }) => figure(k2o_lbPerAc));
    const [least, most] = [
      figure(Math.min(...alike.map((one) => one.k2o_lbPerAc))),
      figure(Math.max(...alike.map((one) => one.k2o_lbPerAc))),
    ];
    const who = letters.length === 1 ? `Zone ${letters[0]} gets` : `Zones ${listed(letters)} get`;
    const at = letters.length === 1 ? { zone: first.letter } : {};
    return [
      {
        ...caution(
          'rates-corn-over-120',
          `${who} ${pounds.length === 1 || least === most ? least : `${least} to ${most}`} lb K2O/ac for ${first.crop}; in North Dakota more than ${CORN_LESS_ABOVE_LBK2OPERAC} in a year lowered the yield of corn (North Dakota corn, ndcorn.org).`,
          remedy,
          { ...at, setting: first.setting },
        ),
        stage: 'rates',
      },
    ];
  });
}

interface Remedy {
  readonly remedy: string;
  readonly setting: string;
}
const TYPED: Remedy = {
  remedy: 'Look at the rate typed by hand: it alone sets what is given there.',
  setting: 'rates.overrides',
};

/** What brings a high rate down: the guide that is followed, else whichever of build-up, uptake and removal asks for it. */
function cornRemedy({ governing, followed }: Worked, use: CropUse, plan: RatesSettings): Remedy {
  if (followed?.ok)
    return {
      remedy: `Look at ${followed.name}, which sets this rate, or follow another guide.`,
      setting: 'rates.follows',
    };
  const { removal_lbK2OPerAc: removal, uptake_lbK2OPerAc: uptake } = use;
  const beyond = Math.max(0, (uptake ?? 0) - removal);
  const short = governing.takes_lbK2OPerAc > 0;
  // with ever more years what is asked for comes down to the larger of removal and uptake, and no further
  const least = removal + beyond;
  if (short && governing.takes_lbK2OPerAc / plan.buildUp_years > beyond)
    return {
      remedy:
        least <= CORN_LESS_ABOVE_LBK2OPERAC
          ? 'Spread the build-up over more years, unless the ground is known to take it.'
          : `More years of build-up bring it down to ${figure(least)} lb K2O/ac, the ${beyond > 0 ? 'uptake' : 'removal'} in use, and no further: look at that figure too.`,
      setting: 'rates.buildUp_years',
    };
  if (short && beyond > 0)
    return {
      remedy: `Look at the uptake in use, ${figure(uptake ?? 0)} lb K2O/ac of which ${figure(removal)} leave: more years of build-up change nothing.`,
      setting: 'rates.uptake_lbK2OPerUnit',
    };
  return {
    remedy: `Look at the removal in use, ${figure(removal)} lb K2O/ac with the ${use.crop.wholePlant ? 'whole plant' : plan.harvest}: more years of build-up change nothing.`,
    setting: 'rates.removal_lbK2OPerUnit',
  };
}

/** A shortfall that is small beside the uptake which being short calls for: the rate jumps there, and it is said that this is the rule. */
function justShort({ governing }: Worked, use: CropUse, plan: RatesSettings, letter: string, at: At): Problem[] {
  const takes = governing.takes_lbK2OPerAc;
  const beyond = Math.max(0, (use.uptake_lbK2OPerAc ?? 0) - use.removal_lbK2OPerAc);
  if (!(takes > 0) || takes >= beyond * SMALL_SHARE || takes / plan.buildUp_years >= beyond) return [];
  return [
    note(
      'rates-just-short',
      `Zone ${letter} lacks ${figure(takes, 1)} lb K2O/ac of its target, and being short at all it is given ${figure(beyond, 1)} beyond removal: a step of the rule, by which the whole uptake must be in reach of a crop on short ground.`,
      'A test does not tell so small a gap from none: lower the floor of this zone if you hold that it is met.',
      { ...at, setting: 'rates.zones' },
    ),
  ];
}

/** A yield goal outside what the crop is likely to bear anywhere. */
function oddGoal(use: CropUse, at: At, letter: string): Problem[] {
  const { least, most } = use.crop.likelyYield;
  if (use.yieldGoal >= least && use.yieldGoal <= most) return [];
  return [
    caution(
      'rates-yield-goal-odd',
      `A goal of ${typed(use.yieldGoal)} ${use.crop.yieldUnit} of ${use.crop.name.toLowerCase()} in zone ${letter} is outside ${typed(least)} to ${typed(most)}: it may be a slip, or in another unit.`,
      'Look at the yield goal and its unit.',
      { ...at, setting: 'rates.yieldGoal' },
    ),
  ];
}

/** What credits give to mind, also where no rate is given. */
export function aboutCredits({ zone, ground, fieldWide, worked }: Watched, plan: RatesSettings, at: At): Problem[] {
  const found: Problem[] = [];
  const setting = { ...at, setting: 'rates.credits' };
  for (const { name } of ground.credits.filter((one) => one.undated))
    found.push(
      caution(
        'rates-credit-undated',
        `Nobody told whether ${name} came after the sample was taken, so it is not counted.`,
        'Give its day and the day of sampling, or say whether it came after the sample.',
        { setting: 'rates.credits' },
      ),
    );
  const over = worked.credited.carriedOver_lbK2OPerAc;
  if (over > 0)
    found.push(
      note(
        'rates-credit-over',
        `The credits of zone ${zone.letter} are ${figure(over, 1)} lb K2O/ac more than it asks for this year: they count next year.`,
        'Enter them again as a credit next year, unless the ground is sampled by then.',
        setting,
      ),
    );
  const manured = plan.credits.some((one) => one.kind === 'manure');
  if (ground.history.manure === 'most years' && !manured)
    found.push(
      note(
        'rates-manure-no-credit',
        `${fieldWide ? 'The field' : `Zone ${zone.letter}`} is manured most years, and no manure is entered as a credit.`,
        'Enter what manure came after the sample, or what will come this season.',
        fieldWide ? { setting: 'rates.credits' } : setting,
      ),
    );
  return found;
}
