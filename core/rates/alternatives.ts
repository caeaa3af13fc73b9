import { LB_PER_SHORT_TON, squareMetres, toAcres } from '../base/units.ts';
import { groundHistorySchema } from '../soil/history.ts';
import type { SurfacesOut } from '../surfaces/types.ts';
import type { Account } from './account.ts';
import { credited } from './credits.ts';
import { cropLine } from './crop.ts';
import { followed } from './follow.ts';
import { governingTarget, type TargetReading } from './governing.ts';
import { heldBy, overYear_lbK2OPerAc } from './holding.ts';
import { type Ground, workLedger } from './ledger.ts';
import { k2oIn } from './product.ts';
import type { HoldingClass, RatesSettings } from './settings.ts';
import { costOf_perAc, k2oOf, perPass_lbPerAc, productsOf, spreadOf } from './spread.ts';
import { figure, typed } from './text.ts';
import type { Alternative } from './types.ts';

/** A zone that has its rate. */
export interface Rated {
  readonly account: Account;
  /** One list a product, one rate a pass. */
  readonly rates_lbPerAc: readonly (readonly number[])[];
}

/** The ground that the comparison is made over. */
export interface Cells {
  readonly labels: Int16Array;
  readonly surfaces: Pick<SurfacesOut, 'layers' | 'grid'>;
}

/**
 * K2O that the plan's own targets ask for on each cell this year, lb/ac: lines 2 to 9 of the ledger on the cell's own reading, with its zone's
 * choices, crop, credits and history, and the year's cap of its own holding class; or the followed guide's rate there. Passes, machine and
 * budget are left out. NaN outside the rated zones and where it is not known. In cell order. Linear in the cells.
 */
export function asksPerCell(rated: readonly Rated[], { labels, surfaces }: Cells): Float64Array {
  const { k_ppm, cec_meq, ph } = surfaces.layers;
  const byLabel = new Map(rated.map(({ account }) => [account.zone.label, askerOf(account)]));
  const asks = new Float64Array(labels.length).fill(Number.NaN);
  for (let cell = 0; cell < labels.length; cell++) {
    const ask = byLabel.get(labels[cell] ?? 0);
    if (!ask) continue;
    asks[cell] = ask({
      k_ppm: k_ppm?.[cell] ?? Number.NaN,
      cec_meq: cec_meq?.[cell] ?? Number.NaN,
      ph: ph?.[cell] ?? Number.NaN,
    });
  }
  return asks;
}

/** What one zone's choices ask for on any reading. The year's cap is looked up once between two limits of CEC, since cells are many. */
function askerOf({ plan, ground, worked }: Account): (reading: TargetReading) => number {
  const { supply_factor, kPpmPerMeq, extractant, kExtractant } = ground;
  const { use } = worked;
  const { crop, yieldGoal, harvest } = plan;
  const depth_in = ground.reading.depth_in;
  const limits = plan.holding.flatMap((one) => (one.under_meq === null ? [] : [one.under_meq]));
  const classes = new Map<number, HoldingClass>();
  const heldAt = (cec_meq: number): HoldingClass => {
    const below = Number.isNaN(cec_meq) ? -1 : limits.reduce((count, limit) => count + (cec_meq < limit ? 1 : 0), 0);
    const found = classes.get(below) ?? heldBy(cec_meq, ground.history, plan.holding);
    classes.set(below, found);
    return found;
  };
  const asked = (reading: TargetReading): number => {
    if (plan.follows !== null) {
      const said = followed(plan.follows, {
        reading,
        extractant: kExtractant,
        depth_in,
        crop,
        yieldGoal,
        harvest,
        supply_factor,
      });
      return said?.ok ? said.k2o_lbPerAc : Number.NaN;
    }
    if (typeof use === 'string') return Number.NaN;
    const { takes_lbK2OPerAc } = governingTarget(reading, plan, plan.governs, supply_factor, kPpmPerMeq, extractant);
    const line = cropLine(use, takes_lbK2OPerAc, (100 * reading.k_ppm) / kPpmPerMeq / reading.cec_meq, plan);
    return line.crop_lbK2OPerAc + line.aboveRange_lbK2OPerAc;
  };
  return (reading) => {
    const all = asked(reading);
    const rest = all - credited(ground.credits, all).used_lbK2OPerAc;
    return rest - overYear_lbK2OPerAc(rest, heldAt(reading.cec_meq));
  };
}

/** What a way gives each rated zone, lb K2O/ac, and what that takes. */
interface Way {
  readonly k2o_lbPerAc: (label: number) => number;
  readonly tons: number;
  readonly cost: number;
}

/**
 * The plan beside three simpler ways, over the zones that have a rate: a flat rate of the same tons, a flat rate by the field's mean reading,
 * and each crop's removal alone. Acres over and under are of cells given more, or less, than `asksPerCell` by more than one step of the machine.
 *
 * Same tons: products and money as the plan's, in as many passes as the caps of the passes make of that rate; not rounded, so that the
 * tons stay the same. Field average: the ledger on the acre-weighted means of K, CEC, pH, yield goal and credits, with the plan's own choices and no
 * zone's. Ground that is turned off or held back, and gets nothing by hand either, is in none of the ways. Removal alone: by the zone's goal, through its passes and the machine. Empty where no zone has a rate. Linear in the cells.
 */
export function alternativesOf(all: readonly Rated[], plan: RatesSettings, cells: Cells): readonly Alternative[] {
  const rated = all.filter(({ account, rates_lbPerAc }) => !account.ground.off || totalOf(rates_lbPerAc) > 0);
  if (rated.length === 0) return [];
  const asks = asksPerCell(rated, cells);
  const step = k2oIn(plan.machine.step_lbPerAc, plan.product.k2o_pct);
  const against = (key: Alternative['key'], what: string, way: Way): Alternative => ({
    key,
    what,
    tons: way.tons,
    cost: way.cost,
    ...judge(asks, cells, way, step),
  });
  const own = new Map(rated.map(({ account, rates_lbPerAc }) => [account.zone.label, rates_lbPerAc]));
  const planned = zoneWay(rated, plan, own);
  const acres = acresOf(rated);
  const flat_lbPerAc = (planned.tons * LB_PER_SHORT_TON) / acres;
  const average = averageGround(rated, plan, cells);
  const averageRates = workLedger(average.ground, average.plan, plan.governs).products_lbPerAc;
  const ways = [
    against('plan', 'each zone its own rate', planned),
    against('flat, same tons', `${figure(flat_lbPerAc, 1)} lb/ac everywhere`, sameTons(rated, plan, planned)),
  ];
  if (averageRates)
    ways.push(
      against(
        'flat, field average',
        `${typed(totalOf(averageRates))} lb/ac everywhere, by the field's mean of ${figure(average.ground.reading.k_ppm)} ppm`,
        flatWay(averageRates, acres, plan),
      ),
    );
  const removal = new Map(
    rated.flatMap(({ account: { zone, worked } }) => {
      const use = worked.use;
      const rates = typeof use === 'string' ? null : spreadOf(use.removal_lbK2OPerAc, worked.spread).rates_lbPerAc;
      return rates ? [[zone.label, rates] as const] : [];
    }),
  );
  if (removal.size === rated.length)
    ways.push(
      against('removal only', 'what the crop takes away, whatever the test says', zoneWay(rated, plan, removal)),
    );
  return ways;
}

const totalOf = (rates_lbPerAc: readonly (readonly number[])[]): number =>
  perPass_lbPerAc(rates_lbPerAc).reduce((all, one) => all + one, 0);
const acresOf = (rated: readonly Rated[]): number => rated.reduce((all, { account }) => all + account.zone.acres, 0);

function zoneWay(
  rated: readonly Rated[],
  plan: RatesSettings,
  rates: ReadonlyMap<number, readonly (readonly number[])[]>,
): Way {
  const products = productsOf(plan);
  let lb = 0;
  let cost = 0;
  const given = new Map<number, number>();
  for (const { account } of rated) {
    const of = rates.get(account.zone.label) ?? [];
    lb += account.zone.acres * totalOf(of);
    cost += account.zone.acres * costOf_perAc(of, products, plan.charge_perAcPerPass);
    given.set(account.zone.label, k2oOf(of, products));
  }
  return { k2o_lbPerAc: (label) => given.get(label) ?? Number.NaN, tons: lb / LB_PER_SHORT_TON, cost };
}

function flatWay(rates_lbPerAc: readonly (readonly number[])[], acres: number, plan: RatesSettings): Way {
  const products = productsOf(plan);
  const k2o = k2oOf(rates_lbPerAc, products);
  return {
    k2o_lbPerAc: () => k2o,
    tons: (acres * totalOf(rates_lbPerAc)) / LB_PER_SHORT_TON,
    cost: acres * costOf_perAc(rates_lbPerAc, products, plan.charge_perAcPerPass),
  };
}

/** The plan's tons and product money, laid evenly: as many passes as the passes' own caps make of it. */
function sameTons(rated: readonly Rated[], plan: RatesSettings, planned: Way): Way {
  const products = productsOf(plan);
  const acres = acresOf(rated);
  const k2o =
    rated.reduce((all, { account, rates_lbPerAc }) => all + account.zone.acres * k2oOf(rates_lbPerAc, products), 0) /
    acres;
  const money = rated.reduce(
    (all, { account, rates_lbPerAc }) => all + account.zone.acres * costOf_perAc(rates_lbPerAc, products, 0),
    0,
  );
  let left = (planned.tons * LB_PER_SHORT_TON) / acres;
  let passes = 0;
  for (const pass of plan.passes) {
    if (left <= 1e-9) break;
    passes += 1;
    left -= pass.most_lbPerAc;
  }
  return { k2o_lbPerAc: () => k2o, tons: planned.tons, cost: money + acres * passes * plan.charge_perAcPerPass };
}

/** The field as one zone: means over the ground of the rated zones. */
function averageGround(
  rated: readonly Rated[],
  plan: RatesSettings,
  { labels, surfaces }: Cells,
): { readonly ground: Ground; readonly plan: RatesSettings } {
  const one = rated[0];
  if (!one) throw new Error('an average of no zones');
  const inside = new Set(rated.map(({ account }) => account.zone.label));
  const mean = (layer: Float64Array | undefined): number => {
    let sum = 0;
    let area = 0;
    for (let cell = 0; cell < labels.length; cell++) {
      const value = layer?.[cell] ?? Number.NaN;
      if (!inside.has(labels[cell] ?? 0) || Number.isNaN(value)) continue;
      sum += value * (surfaces.grid.cover_m2[cell] ?? 0);
      area += surfaces.grid.cover_m2[cell] ?? 0;
    }
    return sum / area;
  };
  const acres = acresOf(rated);
  const overZones = (value: (account: Account) => number): number =>
    rated.reduce((all, { account }) => all + account.zone.acres * value(account), 0) / acres;
  const { layers } = surfaces;
  const k_ppm = mean(layers.k_ppm);
  const cec_meq = mean(layers.cec_meq);
  const ground: Ground = {
    ...one.account.ground,
    reading: {
      ...one.account.ground.reading,
      k_ppm,
      cec_meq,
      kSat_pct: (100 * k_ppm) / one.account.ground.kPpmPerMeq / cec_meq,
      ph: mean(layers.ph),
    },
    history: groundHistorySchema.parse({}),
    credits: [
      {
        name: 'credits, mean of the field',
        counts_lbK2OPerAc: overZones(({ worked }) => worked.credited.all_lbK2OPerAc),
        how: 'mean of the field',
        undated: false,
      },
    ],
    off: false,
    own: '',
    goalFrom: 'mean of the zones',
    secondHere: overZones(({ ground: { secondHere } }) => (secondHere ? 1 : 0)) >= 0.5,
    money: null,
  };
  const yieldGoal = overZones((account) => account.plan.yieldGoal ?? Number.NaN);
  return { ground, plan: { ...plan, yieldGoal: Number.isNaN(yieldGoal) ? plan.yieldGoal : yieldGoal } };
}

/** Acres and lb K2O by which a way passes, or stays under, what the cells ask for, beyond a step. Cells whose ask is not known count in neither. */
function judge(
  asks_lbPerAc: Float64Array,
  { labels, surfaces }: Cells,
  way: Way,
  step_lbK2OPerAc: number,
): Pick<Alternative, 'over_ac' | 'over_lbK2O' | 'under_ac' | 'under_lbK2O'> {
  let over_ac = 0;
  let over_lbK2O = 0;
  let under_ac = 0;
  let under_lbK2O = 0;
  for (let cell = 0; cell < labels.length; cell++) {
    const off = way.k2o_lbPerAc(labels[cell] ?? 0) - (asks_lbPerAc[cell] ?? Number.NaN);
    if (!(Math.abs(off) > step_lbK2OPerAc + 1e-9)) continue;
    const acres = toAcres(squareMetres(surfaces.grid.cover_m2[cell] ?? 0));
    if (off > 0) {
      over_ac += acres;
      over_lbK2O += acres * off;
    } else {
      under_ac += acres;
      under_lbK2O -= acres * off;
    }
  }
  return { over_ac, over_lbK2O, under_ac, under_lbK2O };
}
