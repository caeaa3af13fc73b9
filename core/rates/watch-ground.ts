import { caution, note, type Problem } from '../base/problem.ts';
import { CALCAREOUS_PH } from '../soil/chemistry.ts';
import type { ZoneStat } from '../zones/types.ts';
import { isSand } from './holding.ts';
import type { RatesSettings } from './settings.ts';
import { productsOf } from './spread.ts';
import { cecOverstated } from './target-saturation.ts';
import { figure, typed } from './text.ts';
import type { At, Watched } from './watch.ts';

/** Acres under which a part of a zone is not worth a sentence. */
const WORTH_SAYING_AC = 0.05;
/** Slope from which what is spread may run off. Common practice, no source. */
const SLOPE_PCT = 5;

/** Whether it is the saturation target that asks for something. */
const saturationGoverns = ({ governing }: Watched['worked']): boolean =>
  governing.by === 'saturation' && governing.takes_lbK2OPerAc > 0;

/** What is doubtful about the zone's reading. */
export function aboutReading({ zone, ground, worked }: Watched, plan: RatesSettings, at: At): Problem[] {
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
  else if (
    (ground.extractant === 'not told' || ground.extractant === 'field-moist') &&
    ph > CALCAREOUS_PH &&
    plan.governs !== 'ppm'
  )
    found.push(
      (saturationGoverns(worked) ? caution : note)(
        'rates-extractant-not-told',
        `Soil pH is ${figure(ph, 1)} in zone ${zone.letter} and ${ground.extractant === 'not told' ? 'the extractant is not told' : 'what the cations were extracted with is not told'}: by Mehlich-3, CEC reads too high there.`,
        'Say which extractant the lab used.',
        { ...at, setting: 'soil.extractant' },
      ),
    );
  else if (ground.extractant === 'Mehlich-3' && Number.isNaN(ph) && saturationGoverns(worked))
    found.push(
      caution(
        'rates-lime-not-known',
        `Saturation governs in zone ${zone.letter}, and soil pH is not known there: on limed or calcareous ground Mehlich-3 dissolves lime and CEC reads too high.`,
        'Give the soil pH, or let ppm govern.',
        at,
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

/** Names the products that bring P, blended or second ones too; empty where none does. */
function phosphorus(plan: RatesSettings): string {
  const holding = productsOf(plan).filter(({ p2o5_pct }) => p2o5_pct > 0);
  if (holding.length === 0) return '';
  const names = holding.map(({ name }) => name).join(' and ');
  return `; ${names} ${holding.length === 1 ? 'holds' : 'hold'} P, for which no such leniency counts`;
}

const IN_WORDS = {
  manure: 'manure',
  water: 'water',
  texture: 'texture',
  grazed: 'grazing',
  slope_pct: 'slope',
  sampledOn: 'the day of sampling',
  spreading: 'when it is spread',
} as const;

/** What the ground's history gives to mind where something is spread. */
export function aboutGround(
  { zone, ground, mixed, fieldWide, worked, passes }: Watched,
  plan: RatesSettings,
  at: At,
): Problem[] {
  const found: Problem[] = [];
  const { history } = ground;
  const setting = { ...at, setting: 'ground.history' };
  const told = fieldWide ? { setting: 'ground.history' } : setting;
  const it = fieldWide ? 'The field' : `Zone ${zone.letter}`;
  const parts = mixed.filter((one) => one.ac > WORTH_SAYING_AC);
  if (parts.length > 0)
    found.push(
      note(
        'rates-history-mixed',
        `Zone ${zone.letter} is not of one history: ${parts.map((one) => `${IN_WORDS[one.what]} is another on ${figure(one.ac, 1)} ac`).join(', ')}. What is told of most of its ground counts.`,
        'Keep that ground apart in zones of its own if it matters.',
        { ...at, setting: 'ground.areas' },
      ),
    );
  if (!passes.some((one) => one.rate_lbPerAc > 0)) return found;
  if (isSand(history.texture) && worked.byCec !== worked.holding.name)
    found.push(
      note(
        'rates-sand',
        `Zone ${zone.letter} is ${history.texture}, so the caps of ${worked.holding.name} ground hold, though its CEC would make it ${worked.byCec}.`,
        'Look at texture and CEC: one of them may be wrong.',
        setting,
      ),
    );
  if (history.spreading === 'winter, frozen or snow-covered')
    found.push(
      caution(
        'rates-frozen',
        `${it} is to be spread while frozen or snow-covered: K that runs off is lost money, and at most flat ground under residue is fit for it (Penn State Extension 2018)${phosphorus(plan)}.`,
        `Spread when the ground is open${history.slope_pct === null ? ', and say how steep it is' : ''}.`,
        told,
      ),
    );
  if (history.slope_pct !== null && history.slope_pct >= SLOPE_PCT)
    found.push(
      caution(
        'rates-slope',
        `${it} slopes by ${typed(history.slope_pct)} %: what lies on top may run off with the next rain.`,
        'Spread under residue or work it in, and keep away from water.',
        told,
      ),
    );
  return found;
}
