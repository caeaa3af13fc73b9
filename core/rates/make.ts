import { caution, type Problem } from '../base/problem.ts';
import { FACTORS, supplyFactor } from '../soil/chemistry.ts';
import type { GroundSettings } from '../soil/history.ts';
import type { SoilSettings } from '../soil/settings.ts';
import type { SoilOut } from '../soil/types.ts';
import type { SurfacesOut } from '../surfaces/types.ts';
import type { Zone, ZonesOut } from '../zones/types.ts';
import { type Account, paidFor, type Settled, settle } from './account.ts';
import { alternativesOf } from './alternatives.ts';
import { goalsByLayer, planOfZone } from './choices.ts';
import { creditsOf, type Sampling } from './credits.ts';
import { guideCautions } from './follow.ts';
import type { Governs } from './governing.ts';
import { groupZones, regrouped } from './group.ts';
import { type Ground, totalOf, workLedger } from './ledger.ts';
import { leftBy } from './left.ts';
import { moneyLine } from './money.ts';
import { needByCell, shortAcres } from './need.ts';
import { overrideLine, overrideOf } from './override.ts';
import { movesOf, nextYear, pathOf, pathStopped } from './path.ts';
import { planProblems } from './plan-problems.ts';
import { withProducts } from './product.ts';
import { sampledDepth, zoneReading } from './reading.ts';
import { responseProblems, returnOf, returnsOf, withK2O_ppm } from './response.ts';
import { secondShort } from './second.ts';
import type { Override, RatesSettings } from './settings.ts';
import { shareBudget } from './share.ts';
import { spendingOf } from './spending.ts';
import { costOf_perAc, k2oOf, k2oPerPass, perPass_lbPerAc, productRates, productsOf } from './spread.ts';
import { ALWAYS } from './statements.ts';
import { type Stop, stopsOf } from './stops.ts';
import { typed } from './text.ts';
import { rateTotals } from './totals.ts';
import type { PassRate, RatesOut, ZoneRate } from './types.ts';
import { watch } from './watch.ts';
import { aboutCorn, type Fed } from './watch-crop.ts';
import { historyOfZones, shareWhere, type ZoneGround } from './zone-history.ts';

export interface RatesInput {
  readonly zones: ZonesOut;
  readonly surfaces: SurfacesOut;
  readonly samples: Pick<SoilOut, 'samples' | 'extractant'>;
  readonly soil: SoilSettings;
  readonly rates: RatesSettings;
  /** History of the field and of drawn areas. */
  readonly ground: GroundSettings;
}

/** Share of a zone that an area must cover for the second product to be spread on all of it. */
const MOST_OF_A_ZONE = 0.5;

/**
 * Every zone's account, rate and passes, and the plan's totals, in the zones' order.
 *
 * A zone whose rate may not be given has `withheld` with the reason, no passes, and its ledger as far as it could be worked. A hand-typed
 * rate stands in its place, unless the product's grade or the machine is impossible. Problems of the whole plan:
 * `rates-governs-not-told`, `rates-depths-differ`, `rates-saturation-order`, `rates-override-no-zone`, `rates-override-moved`, `rates-choice-no-zone`,
 * `rates-credit-nowhere`, `rates-kept-out-by-hand`, `rates-then-crop`, `rates-area-unusable`, `rates-yield-layer-missing`, `rates-yield-layer-thin`, `rates-yield-layer-unit`, those of `shareBudget`,
 * `groupZones`, `responseProblems`, `spendingOf` and `aboutCorn`; of a zone: those of `stopsOf` and `watch`, `rates-by-hand`, `rates-guide-caution`, `rates-path-stops`, `rates-second-short`. A zone turned off gets 0, whatever is not known of it. Linear in cells and zones.
 */
export function makeRates(input: RatesInput): RatesOut {
  const { zones, surfaces, soil } = input;
  const plan = withProducts(input.rates);
  const depth = sampledDepth(input.samples, soil);
  const histories = historyOfZones(zones, surfaces.grid, input.ground);
  const goals = goalsByLayer(plan, zones, surfaces);
  const asking = zones.zones.map((zone) =>
    accountOf(
      zone,
      { ...input, rates: plan },
      depth.depth_in,
      histories.byLabel,
      goals.byLabel.get(zone.label) ?? null,
    ),
  );
  const shared = shareBudget(
    asking.map((one) => {
      const { rates_lbPerAc, byHand } = settle(one, null);
      return {
        ...one,
        key: one.zone.key,
        letter: one.zone.letter,
        acres: one.zone.acres,
        fixed_lbPerAc: byHand ? rates_lbPerAc : null,
        rated: rates_lbPerAc !== null,
      };
    }),
    plan.budget,
  );
  const paid = asking.map((one) => paidFor(one, shared.money.get(one.zone.key) ?? null));
  const grouped = groupZones(
    paid.flatMap((one) => {
      const { rates_lbPerAc, byHand } = settle(one, shared.blocked);
      const { zone, worked } = one;
      const aboveRange = one.ground.reading.kSat_pct > one.plan.rangeTop_pct;
      return rates_lbPerAc
        ? [{ key: zone.key, acres: zone.acres, worked, rates_lbPerAc, fixed: byHand !== null, aboveRange }]
        : [];
    }),
    plan,
  );
  const accounts = paid.map((one) => {
    const rates_lbPerAc = grouped.rates.get(one.zone.key);
    return rates_lbPerAc ? { ...one, worked: regrouped(one.worked, rates_lbPerAc, one.plan) } : one;
  });
  const planAt = new Map(accounts.map((one) => [one.zone.label, one.plan]));
  const need = needByCell(surfaces, soil, (cell) => planAt.get(zones.labels[cell] ?? 0) ?? plan, depth.depth_in);
  const short = shortAcres(
    zones.labels,
    need,
    surfaces.grid.cover_m2,
    new Map(accounts.map((one) => [one.zone.label, one.worked.governing.takes_lbK2OPerAc])),
  );
  const rated = accounts.map((one) => zoneRate(one, settle(one, shared.blocked), short.get(one.zone.label) ?? 0));
  const withRate = accounts.flatMap((account) => {
    const { rates_lbPerAc } = settle(account, shared.blocked);
    return rates_lbPerAc ? [{ account, rates_lbPerAc }] : [];
  });
  const keptOut = new Set(zones.zones.filter(({ role }) => role === 'keep out').map(({ key }) => key));
  const spending = spendingOf(
    withRate.map((one) => one.account),
    plan,
  );
  return {
    zones: rated,
    totals: rateTotals(rated, plan.passes, keptOut),
    budget: shared.ways,
    alternatives: alternativesOf(withRate, plan, { labels: zones.labels, surfaces }),
    spending: spending.paths,
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
      ...typedOnKeptOut(plan, zones.zones),
      ...shared.problems,
      ...grouped.problems,
      ...responseProblems(plan.response),
      ...spending.problems,
      ...aboutCorn(withRate.flatMap(({ account }) => fedOf(account, rated))),
    ],
  };
}

/** A zone with its rate, as the caution of corn looks at it. */
function fedOf({ zone, plan, worked }: Account, rated: readonly ZoneRate[]): readonly Fed[] {
  const rate = rated.find(({ key }) => key === zone.key);
  return rate && rate.k2o_lbPerAc !== null
    ? [{ letter: zone.letter, worked, plan, byHand: rate.override !== null, k2o_lbPerAc: rate.k2o_lbPerAc }]
    : [];
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
  const { plan: asked, off, own, goalFrom } = planOfZone(rates, zone.key, layerGoal);
  // What is kept out is in no file, so a rate typed for it would be counted and never spread.
  const plan = zone.role === 'keep out' ? { ...asked, overrides: [] } : asked;
  const kPpmPerMeq = FACTORS[soil.factors].k;
  const sampling: Sampling = { on: known.history.sampledOn, years: yearsOf(samples) };
  const ground: Ground = {
    reading: zoneReading(zone, plan.reading, kPpmPerMeq, depth_in),
    supply_factor: supplyFactor(depth_in, soil),
    kPpmPerMeq,
    extractant: soil.extractant,
    kExtractant: samples.extractant,
    convention: soil.convention,
    history: known.history,
    credits: creditsOf(rates.credits, zone.key, known.shares, sampling),
    off: off || zone.role !== 'spread',
    own,
    goalFrom,
    secondHere: plan.second !== null && shareWhere(plan.second.where, zone.key, known.shares) >= MOST_OF_A_ZONE,
    money: null,
  };
  return { zone, plan, ground, known, worked: workLedger(ground, plan, plan.governs) };
}

/** A rate typed for a zone that is kept out: the role holds, and that is told. */
const typedOnKeptOut = ({ overrides }: RatesSettings, zones: readonly Zone[]): readonly Problem[] =>
  zones
    .filter(({ role, key }) => role === 'keep out' && overrideOf(overrides, key))
    .map(({ letter }) =>
      caution(
        'rates-kept-out-by-hand',
        `A rate was typed for zone ${letter}, which is to keep out, by its role: it is in no file, and the typed rate is not used.`,
        'Take the typed rate out, or make it a zone to spread.',
        { zone: letter, setting: 'zones.roles' },
      ),
    );

/** First and last year of the tests; null where one of them is not told. */
function yearsOf({ samples }: RatesInput['samples']): Sampling['years'] {
  const years: number[] = [];
  for (const { year } of samples) {
    if (year === null) return null;
    years.push(year);
  }
  return years.length === 0 ? null : { first: Math.min(...years), last: Math.max(...years) };
}

function zoneRate({ zone, plan, ground, known, worked }: Account, settled: Settled, short_ac: number): ZoneRate {
  const { override, off, stops, refused, withheld, byHand, rates_lbPerAc: rates } = settled;
  const products = productsOf(plan);
  const perPass = rates ? perPass_lbPerAc(rates) : null;
  const rate = perPass ? (override?.rate_lbPerAc ?? totalOf(perPass)) : null;
  const k2o = rates ? k2oOf(rates, products) : null;
  const k2oIn = rates ? k2oPerPass(rates, products) : [];
  const passes: readonly PassRate[] = (perPass ?? []).map((rate_lbPerAc, index) => ({
    name: plan.passes[index]?.name ?? '',
    inSeason: plan.passes[index]?.inSeason ?? false,
    rate_lbPerAc,
    k2o_lbPerAc: k2oIn[index] ?? 0,
  }));
  const byProduct = rates ? productRates(rates, products) : [];
  const { lbK2OPerPpm } = movesOf(ground.supply_factor, ground.reading.cec_meq);
  const found_ppm = withK2O_ppm(ground.reading.k_ppm, worked.credited.all_lbK2OPerAc, { lbK2OPerPpm });
  const returns = k2o === null ? null : returnOf(returnsOf(plan, lbK2OPerPpm), found_ppm, k2o);
  const path = pathOf(ground, plan, worked, k2o);
  const answers = {
    ppmAlone: answerOf(zone, ground, plan, 'ppm'),
    saturationAlone: answerOf(zone, ground, plan, 'saturation'),
    thisPlan: rate,
  };
  const workedRate = stops.length === 0 && worked.rates_lbPerAc ? totalOf(worked.rates_lbPerAc) : null;
  /** Where a rate was typed, or none may be given, nothing counts as left out. */
  const given = withheld || override ? { ...worked, lines: [], undone_lbK2OPerAc: 0, grouped: null } : worked;
  const seen = {
    zone,
    ground,
    mixed: known.mixed,
    fieldWide: known.fieldWide,
    worked,
    answers,
    passes,
    products: byProduct,
    k2o_lbPerAc: k2o,
    byHand,
    withheld: withheld !== null,
  };
  return {
    key: zone.key,
    letter: zone.letter,
    acres: zone.acres,
    reading: ground.reading,
    lines: [...worked.lines, overrideLine(override, workedRate, products), moneyLine(rates, zone.acres, plan, returns)],
    answers,
    governing: worked.governing.takes_lbK2OPerAc > 0 ? worked.governing.by : 'none',
    passes,
    products: byProduct,
    path: path.years,
    next: nextYear(ground, worked, k2o),
    carriedOver_lbK2OPerAc: worked.credited.carriedOver_lbK2OPerAc,
    history: known.history,
    rate_lbPerAc: rate,
    exact_lbPerAc: withheld ? null : off ? 0 : (override?.rate_lbPerAc ?? worked.exact_lbPerAc),
    k2o_lbPerAc: k2o,
    undone_lbK2OPerAc: given.undone_lbK2OPerAc,
    leftBy: leftBy(given, off),
    removalYearsAboveFloor: worked.removalYears,
    short_ac,
    cost_perAc: rates ? costOf_perAc(rates, products, plan.charge_perAcPerPass) : null,
    return_perAc: returns,
    override: override ? handed(override) : null,
    withheld,
    problems: [
      ...refused.slice(1).map((one) => one.problem),
      ...liftedBy(override, withheld, stops, zone),
      ...watch(seen, plan),
      ...(path.stopped ? [pathStopped(path.stopped, zone.letter)] : []),
      ...guideCautions(override ? null : worked.followed),
      ...secondShort(plan, ground.secondHere, byProduct, zone.letter, override !== null),
    ],
  };
}

/**
 * What one reading alone would ask for, through the whole ledger; null where it may give no rate. A hand-typed rate, a guide that the plan
 * follows, the budget and the number of rates are left out: they say nothing of the reading.
 */
function answerOf(zone: Zone, of: Ground, planned: RatesSettings, governs: Governs): number | null {
  const ground = { ...of, money: null };
  const plan = { ...planned, follows: null };
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
