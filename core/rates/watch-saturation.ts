import { caution, note, type Problem } from '../base/problem.ts';
import { FACTORS } from '../soil/chemistry.ts';
import type { RatesSettings } from './settings.ts';
import { figure, typed } from './text.ts';
import type { At, Watched } from './watch.ts';

/** K of twice the ppm floor asks where it comes from. Ours. */
const HIGH_BY_FLOORS = 2;
/** K / (Ca + Mg) of forage, by equivalents, above which grass tetany is a risk: a Manitoba note on data of 1957. */
export const TETANY_RATIO = 2.2;

/**
 * K / (Ca + Mg) of forage by equivalents, from % of dry matter: each share over its weight per charge (39.098, 20.039, 12.153).
 * K 3.0, Ca 0.40, Mg 0.15 % gives 2.375, above the 2.2 where grass tetany becomes a risk (Manitoba note on data of 1957).
 */
export const tetanyRatio = (k_pct: number, ca_pct: number, mg_pct: number): number =>
  k_pct / FACTORS.exact.k / (ca_pct / FACTORS.exact.ca + mg_pct / FACTORS.exact.mg);

/** What high saturation, manure and grazing give to mind. Where every pass of the plan is in season no more than a note is given for saturation. */
export const aboutSaturation = (of: Watched, plan: RatesSettings, at: At): Problem[] => [
  ...byShare(of, plan, at),
  ...byHistory(of, plan, at),
];

function byShare(of: Watched, plan: RatesSettings, at: At): Problem[] {
  const share = of.ground.reading.kSat_pct;
  const { letter } = of.zone;
  const is = `K saturation is ${figure(share, 1)} % in zone ${letter}`;
  const inSeasonOnly = plan.passes.every((pass) => pass.inSeason);
  if (share >= plan.strong_pct && !inSeasonOnly)
    return [
      caution(
        'rates-saturation-strong',
        `${is}, ${typed(plan.strong_pct)} % or more: this much K hinders the uptake of Mg and Ca.`,
        `${drawDown(plan, 'Put on no K', of)}; where the ground is grazed or cut for feed, have the forage tested for grass tetany.`,
        at,
      ),
    ];
  if (share >= plan.caution_pct && !inSeasonOnly)
    return [
      caution(
        'rates-saturation-caution',
        `${is}, ${typed(plan.caution_pct)} % or more: Mg and Ca uptake may suffer.`,
        `Ask where the K comes from, such as manure. ${drawDown(plan, 'Draw it down', of)}.`,
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

/** lb K2O/ac of a drawn-down crop line that are not worth a word. */
const NOTHING_LBK2O = 0.5;

/** What brings K down: between the range's top and where the crop line ends, what the draw-down rule still gives is said. Where a guide sets the rate, the way to it goes past the guide, which knows nothing of saturation. */
function drawDown(plan: RatesSettings, own: string, { ground, worked }: Pick<Watched, 'ground' | 'worked'>): string {
  if (plan.follows !== null)
    return "The guide that is followed sets the rate whatever the saturation: turn this zone off, or let the plan's own targets set it, if K shall come down";
  const still = worked.asked_lbK2OPerAc;
  return still > NOTHING_LBK2O && !ground.off
    ? `The draw-down rule still asks for ${figure(still, 1)} lb K2O/ac here, less than the crop removes, and for none from ${typed(plan.zeroAt_pct)} % on: turn this zone off to put on no K`
    : own;
}

function byHistory(of: Watched, plan: RatesSettings, at: At): Problem[] {
  const { ground, zone, worked } = of;
  const found: Problem[] = [];
  const { kSat_pct: share, k_ppm } = ground.reading;
  const { manure, grazed } = ground.history;
  const above = share > plan.rangeTop_pct;
  const setting = { ...at, setting: 'ground.history' };
  if (above && (manure === 'most years' || manure === 'in earlier years'))
    found.push(
      caution(
        'rates-manured',
        `Zone ${zone.letter} was manured ${manure} and holds K at ${figure(share, 1)} %, above the range${plan.follows === null ? ': nothing is built up there, and the crop line is drawn down' : ', and the guide that is followed knows nothing of it'}.`,
        `${drawDown(plan, 'Leave K out until a test shows that it came down', of)}. Enter what manure still brings as a credit.`,
        setting,
      ),
    );
  else if (manure === 'not told' && k_ppm >= HIGH_BY_FLOORS * plan.floor_ppm)
    found.push(
      note(
        'rates-manure-not-told',
        `K is ${figure(k_ppm)} ppm in zone ${zone.letter}, twice the floor of ${typed(plan.floor_ppm)} or more, and nobody told whether the ground was manured.`,
        'Say what the ground got: CEC cannot tell manured ground from light ground.',
        setting,
      ),
    );
  const forage = typeof worked.use !== 'string' && worked.use.crop.wholePlant;
  if (above && (grazed === 'yes' || (grazed === 'not told' && forage)))
    found.push(
      (grazed === 'yes' ? caution : note)(
        'rates-tetany',
        `Zone ${zone.letter} ${grazed === 'yes' ? 'is grazed or cut for feed' : 'grows a crop that is cut for feed'}, and K is at ${figure(share, 1)} %, above the range: forage rich in K can bring grass tetany.`,
        `${drawDown(plan, 'Put on no K', of)}. Have the forage tested: K / (Ca + Mg) by equivalents above ${typed(TETANY_RATIO)} is a risk (Manitoba note on data of 1957).`,
        setting,
      ),
    );
  return found;
}
