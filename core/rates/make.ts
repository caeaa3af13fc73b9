import { caution, type Problem } from '../base/problem.ts';
import { FACTORS, supplyFactor } from '../soil/chemistry.ts';
import type { GroundSettings } from '../soil/history.ts';
import type { SoilSettings } from '../soil/settings.ts';
import type { SoilOut } from '../soil/types.ts';
import type { SurfacesOut } from '../surfaces/types.ts';
import type { Zone, ZonesOut } from '../zones/types.ts';
import { goalsByLayer, planOfZone } from './choices.ts';
import { creditsOf, type Sampling } from './credits.ts';
import type { Governs } from './governing.ts';
import { type Ground, totalOf, type Worked, workLedger } from './ledger.ts';
import { cost_perAc, moneyLine } from './money.ts';
import { needByCell, shortAcres } from './need.ts';
import { overrideLine, overrideOf, splitByHand } from './override.ts';
import { nextYear, pathOf } from './path.ts';
import { planProblems } from './plan-problems.ts';
import { k2oIn } from './product.ts';
import { sampledDepth, zoneReading } from './reading.ts';
import type { Override, RatesSettings } from './settings.ts';
import { ALWAYS } from './statements.ts';
import { type Stop, stopsOf } from './stops.ts';
import { typed } from './text.ts';
import { rateTotals } from './totals.ts';
import type { PassRate, RatesOut, ZoneRate } from './types.ts';
import { watch } from './watch.ts';
import { historyOfZones, type ZoneGround } from './zone-history.ts';

export interface RatesInput {
  readonly zones: ZonesOut;
  readonly surfaces: SurfacesOut;
  readonly samples: Pick<SoilOut, 'samples'>;
  readonly soil: SoilSettings;
  readonly rates: RatesSettings;
  /** History of the field and of drawn areas. */
  readonly ground: GroundSettings;
}

/** A zone with its own plan, ground and account. */
interface Account {
  readonly zone: Zone;
  readonly plan: RatesSettings;
  readonly ground: Ground;
  readonly known: ZoneGround;
  readonly worked: Worked;
}

/**
 * Every zone's account, rate and passes, and the plan's totals, in the zones' order.
 *
 * A zone whose rate may not be given has `withheld` with the reason, no passes, and its ledger as far as it could be worked. A hand-typed
 * rate stands in its place, unless the product's grade or the machine is impossible. Problems of the whole plan:
 * `rates-governs-not-told`, `rates-depths-differ`, `rates-saturation-order`, `rates-override-no-zone`, `rates-choice-no-zone`,
 * `rates-credit-nowhere`, `rates-then-crop`, `rates-area-unusable`, `rates-yield-layer-missing`, `rates-yield-layer-thin`; of a zone: those of
 * `stopsOf` and `watch`, and `rates-by-hand`. A zone turned off gets 0, whatever is not known of it. Linear in cells and zones.
 */
export function makeRates(input: RatesInput): RatesOut {
  const { zones, surfaces, rates: plan, soil } = input;
  const depth = sampledDepth(input.samples, soil);
  const histories = historyOfZones(zones, surfaces.grid, input.ground);
  const goals = goalsByLayer(plan, zones, surfaces);
  const accounts = zones.zones.map((zone) =>
    accountOf(zone, input, depth.depth_in, histories.byLabel, goals.byLabel.get(zone.label) ?? null),
  );
  const planAt = new Map(accounts.map((one) => [one.zone.label, one.plan]));
  const need = needByCell(surfaces, soil, (cell) => planAt.get(zones.labels[cell] ?? 0) ?? plan, depth.depth_in);
  const short = shortAcres(
    zones.labels,
    need,
    surfaces.grid.cover_m2,
    new Map(accounts.map((one) => [one.zone.label, one.worked.governing.takes_lbK2OPerAc])),
  );
  const rated = accounts.map((one) => zoneRate(one, short.get(one.zone.label) ?? 0));
  return {
    zones: rated,
    totals: rateTotals(rated, plan.passes),
    budget: null,
    alternatives: [],
    spending: null,
    cautions: ALWAYS,
    problems: [
      ...planProblems(
        plan,
        zones.zones,
        depth.depths_in,
        depth.depth_in,
        input.ground.areas.map((area) => area.id),
      ),
      ...histories.problems,
      ...goals.problems,
    ],
  };
}

function accountOf(
  zone: Zone,
  { rates, soil, samples }: RatesInput,
  depth_in: number,
  histories: ReadonlyMap<number, ZoneGround>,
  layerGoal: number | null,
): Account {
  const known = histories.get(zone.label);
  if (!known) throw new Error(`no history of zone ${zone.key}`);
  const { plan, off, own, goalFrom } = planOfZone(rates, zone.key, layerGoal);
  const kPpmPerMeq = FACTORS[soil.factors].k;
  const sampling: Sampling = { on: known.history.sampledOn, years: yearsOf(samples) };
  const ground: Ground = {
    reading: zoneReading(zone, plan.reading, kPpmPerMeq, depth_in),
    supply_factor: supplyFactor(depth_in, soil),
    kPpmPerMeq,
    extractant: soil.extractant,
    convention: soil.convention,
    history: known.history,
    credits: creditsOf(rates.credits, zone.key, known.shares, sampling),
    off,
    own,
    goalFrom,
  };
  return { zone, plan, ground, known, worked: workLedger(ground, plan, plan.governs) };
}

/** First and last year of the tests; null where one of them is not told. */
function yearsOf({ samples }: RatesInput['samples']): Sampling['years'] {
  const years: number[] = [];
  for (const { year } of samples) {
    if (year === null) return null;
    years.push(year);
  }
  return years.length === 0 ? null : { first: Math.min(...years), last: Math.max(...years) };
}

function zoneRate({ zone, plan, ground, known, worked }: Account, short_ac: number): ZoneRate {
  const grade_pct = plan.product.k2o_pct;
  const override = overrideOf(plan.overrides, zone.key);
  const off = ground.off && !override;
  const stops = off ? [] : stopsOf(zone, ground, worked, plan, plan.governs);
  const refused = override ? stops.filter((one) => !one.byHand) : stops;
  const withheld = refused[0]?.problem ?? null;
  const byHand = override ? splitByHand(override.rate_lbPerAc, worked.caps, worked.holding.light, plan.machine) : null;
  const given = off ? plan.passes.map(() => 0) : (byHand?.rates_lbPerAc ?? worked.rates_lbPerAc);
  const rates = withheld ? null : given;
  const rate = rates ? (override?.rate_lbPerAc ?? totalOf(rates)) : null;
  const k2o = rate === null ? null : k2oIn(rate, grade_pct);
  const passes: readonly PassRate[] = (rates ?? []).map((rate_lbPerAc, index) => ({
    name: plan.passes[index]?.name ?? '',
    inSeason: plan.passes[index]?.inSeason ?? false,
    rate_lbPerAc,
    k2o_lbPerAc: k2oIn(rate_lbPerAc, grade_pct),
  }));
  const answers = {
    ppmAlone: answerOf(zone, ground, plan, 'ppm'),
    saturationAlone: answerOf(zone, ground, plan, 'saturation'),
    thisPlan: rate,
  };
  const workedRate = stops.length === 0 && worked.rates_lbPerAc ? totalOf(worked.rates_lbPerAc) : null;
  const undone = withheld || override ? 0 : worked.undone_lbK2OPerAc;
  const seen = {
    zone,
    ground,
    mixed: known.mixed,
    worked,
    answers,
    passes,
    k2o_lbPerAc: k2o,
    byHand,
    withheld: withheld !== null,
  };
  return {
    key: zone.key,
    letter: zone.letter,
    acres: zone.acres,
    reading: ground.reading,
    lines: [...worked.lines, overrideLine(override, workedRate, grade_pct), moneyLine(rates, zone.acres, plan)],
    answers,
    governing: worked.governing.takes_lbK2OPerAc > 0 ? worked.governing.by : 'none',
    passes,
    products: [],
    path: pathOf(ground, plan, worked, k2o),
    next: nextYear(ground, worked, k2o),
    carriedOver_lbK2OPerAc: worked.credited.carriedOver_lbK2OPerAc,
    history: known.history,
    rate_lbPerAc: rate,
    exact_lbPerAc: withheld ? null : off ? 0 : (override?.rate_lbPerAc ?? worked.exact_lbPerAc),
    k2o_lbPerAc: k2o,
    undone_lbK2OPerAc: undone,
    removalYearsAboveFloor: worked.removalYears,
    short_ac,
    cost_perAc: rates ? cost_perAc(rates, plan) : null,
    return_perAc: null,
    override: override ? handed(override) : null,
    withheld,
    problems: [
      ...refused.slice(1).map((one) => one.problem),
      ...liftedBy(override, withheld, stops, zone),
      ...watch(seen, plan),
    ],
  };
}

/** What one reading alone would ask for, through the whole ledger; null where it may give no rate. A hand-typed rate is left out. */
function answerOf(zone: Zone, ground: Ground, plan: RatesSettings, governs: Governs): number | null {
  const worked = workLedger(ground, plan, governs);
  if (!worked.rates_lbPerAc || stopsOf(zone, ground, worked, plan, governs).length > 0) return null;
  return totalOf(worked.rates_lbPerAc);
}

const handed = (override: Override): NonNullable<ZoneRate['override']> => ({
  rate_lbPerAc: override.rate_lbPerAc,
  who: override.who,
  when: override.when,
  why: override.why,
});

/** Stops that a hand-typed rate stands over: said, not hidden. */
function liftedBy(override: Override | null, withheld: Problem | null, stops: readonly Stop[], zone: Zone): Problem[] {
  if (!override || withheld) return [];
  return stops.map(({ problem }) => ({
    ...caution(
      'rates-by-hand',
      `No rate could be worked out for zone ${zone.letter}: the ${typed(override.rate_lbPerAc)} lb/ac typed by hand stands. ${problem.message}`,
      problem.remedy,
      { ...problem.at, zone: zone.letter },
    ),
    stage: 'rates',
  }));
}
