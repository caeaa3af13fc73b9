import type { GroundHistory } from '../soil/history.ts';
import type { SoilSettings } from '../soil/settings.ts';
import { type Credited, credited, creditsLine, type ZoneCredit } from './credits.ts';
import { aboveRangeLine, buildUpLine, type CropUse, cropLine, cropUse, cropUseLine, type NoCrop } from './crop.ts';
import { type Followed, followed, followedLines } from './follow.ts';
import { type Governing, type Governs, governingTarget, governsLine } from './governing.ts';
import { capLine, heldBy, heldText, holdingClassOf } from './holding.ts';
import { undoneBy } from './left.ts';
import type { Machine } from './machine.ts';
import { type PassCap, passCaps, passesLine } from './passes.ts';
import { seedRow } from './placement.ts';
import { k2oIn, productFaults, productFor } from './product.ts';
import { productsLine } from './products-line.ts';
import type { HoldingClass, ProductChoice, RatesSettings } from './settings.ts';
import { k2oOf, perPass_lbPerAc, perProduct_lbPerAc, productsOf, type SpreadGround, spreadOf } from './spread.ts';
import { depthText, supply, supplyLine } from './supply.ts';
import { targetPpmLine } from './target-ppm.ts';
import { cecOverstated, targetSaturationLine } from './target-saturation.ts';
import { figure, known, typed } from './text.ts';
import type { LedgerLine, ZoneReading } from './types.ts';

/** A zone's ground as the ledger reads it. */
export interface Ground {
  readonly reading: ZoneReading;
  /** lb K/ac per ppm at the sampled depth. */
  readonly supply_factor: number;
  /** ppm of K in one meq/100 g, by the plan's factor set. */
  readonly kPpmPerMeq: number;
  /** What the lab used: it decides whether CEC reads too high. */
  readonly extractant: SoilSettings['extractant'];
  /** What the K stands for, where a person had it converted: the one that guides go by. */
  readonly kExtractant: SoilSettings['extractant'];
  readonly convention: SoilSettings['convention'];
  readonly history: GroundHistory;
  /** Credits as they count here. */
  readonly credits: readonly ZoneCredit[];
  /** True: nothing is spread here, by choice. */
  readonly off: boolean;
  /** What the zone does otherwise than the plan, and where its yield goal comes from, in words; empty where as the plan. */
  readonly own: string;
  readonly goalFrom: string;
  /** Whether the plan's second product is for this ground. */
  readonly secondHere: boolean;
  /** What the budget leaves the zone; null where there is none. */
  readonly money: Money | null;
}

/** K2O that a budget pays on some ground, and by which rule. */
export interface Money {
  readonly k2o_lbPerAc: number;
  readonly how: string;
}

/** Lines 1 to 12 and the figures that go on from them. */
export interface Worked {
  readonly lines: readonly LedgerLine[];
  readonly governing: Governing;
  readonly use: CropUse | NoCrop;
  readonly holding: HoldingClass;
  /** Name of the class that CEC alone would put the ground in. */
  readonly byCec: string;
  /** Of the first product. */
  readonly caps: readonly PassCap[];
  /** What the guide says that the plan follows; null where it follows none. */
  readonly followed: Followed | null;
  /** How any K2O would be spread here. */
  readonly spread: SpreadGround;
  /** lb K2O/ac handed to the passes: after credits, cap and budget. */
  readonly toSpread_lbK2OPerAc: number;
  /** lb K2O/ac of lines 6 and 7: what is asked for before credits and caps. */
  readonly asked_lbK2OPerAc: number;
  readonly credited: Credited;
  /** lb K2O/ac this year: the carried figures added up in line order. NaN where a line could not be worked. */
  readonly k2o_lbPerAc: number;
  /** lb of product before least rate and step; null where it could not be worked. */
  readonly exact_lbPerAc: number | null;
  /** lb of all products as the machine spreads them, one per pass; null where it could not be worked. */
  readonly rates_lbPerAc: readonly number[] | null;
  /** The same by product: one list a product, one rate a pass. */
  readonly products_lbPerAc: readonly (readonly number[])[] | null;
  /** lb K2O/ac in those products; NaN where it could not be worked. */
  readonly given_lbK2OPerAc: number;
  /** lb K2O/ac of lines 6 to 8 less what is given; 0 where as much is given, or nothing could be worked. */
  readonly undone_lbK2OPerAc: number;
  readonly removalYears: number | null;
  /** What stood before the limit on different rates moved the rate: lb of all products, and their lb K2O; null where it did not. */
  readonly grouped: { readonly before_lbPerAc: number; readonly given_lbK2OPerAc: number } | null;
}

/**
 * Works one zone's account from soil supply to the machine's rate, with the target that shall govern handed in, so that each reading
 * alone goes through the very same lines. Never throws on what a person left out: lines that lack something say so and carry null.
 * Whether the rate may be given at all is asked elsewhere.
 */
export function workLedger(ground: Ground, plan: RatesSettings, governs: Governs): Worked {
  const { reading, supply_factor, kPpmPerMeq } = ground;
  const overstated = cecOverstated(ground.extractant, reading.ph);
  const governing = governingTarget(reading, plan, governs, supply_factor, kPpmPerMeq, ground.extractant);
  const takes = governing.takes_lbK2OPerAc;
  const holding = heldBy(reading.cec_meq, ground.history, plan.holding);
  const use = cropUse(plan, ground.goalFrom);
  const removal = typeof use === 'string' ? null : use.removal_lbK2OPerAc;
  const have = supply(reading.k_ppm, governing.target_ppm, supply_factor, removal, holding.light);
  const lines: LedgerLine[] = [
    supplyLine(reading.k_ppm, supply_factor, have, holding.light, depthText(reading.depth_in, ground.convention)),
    targetPpmLine(plan, reading, supply_factor, kPpmPerMeq),
    targetSaturationLine(plan, reading, supply_factor, kPpmPerMeq, overstated),
    governsLine(governing, governs, plan.governsTold, overstated, ground.own),
  ];

  const asks = cropLine(
    typeof use === 'string' ? { removal_lbK2OPerAc: Number.NaN, uptake_lbK2OPerAc: null } : use,
    takes,
    reading.kSat_pct,
    plan,
  );
  lines.push(buildUpLine(takes, asks, plan.buildUp_years));
  lines.push(typeof use === 'string' ? noCropLine(use) : cropUseLine(use, asks, takes));
  lines.push(aboveRangeLine(reading.kSat_pct, asks, plan));
  const said = followed(plan.follows, {
    reading,
    extractant: ground.kExtractant,
    depth_in: reading.depth_in,
    crop: plan.crop,
    yieldGoal: plan.yieldGoal,
    harvest: plan.harvest,
    supply_factor,
  });
  if (said) lines.splice(0, lines.length, ...followedLines(lines, said));
  const asked = carriedSum(lines);
  const credit = credited(ground.credits, asked);
  lines.push(creditsLine(ground.credits, credit));
  lines.push(capLine(carriedSum(lines), holding, heldText(holding, reading.cec_meq, ground.history)));
  if (ground.money) lines.push(budgetLine(carriedSum(lines), ground.money));

  const row = seedRow(plan.crop, ground.history.texture, holding);
  const capsOf = (product: ProductChoice): readonly PassCap[] =>
    passCaps(plan.passes, holding, product, plan.machine, row);
  const spreading: SpreadGround = {
    plan,
    caps: capsOf(plan.product),
    secondCaps: plan.second === null ? [] : capsOf(plan.second.product),
    holding,
    row,
    off: ground.off,
    secondHere: ground.secondHere,
    yearCap_lbK2OPerAc: holding.perYear_lbK2OPerAc ?? Infinity,
  };
  const toSpread = carriedSum(lines);
  const spread = spreadOf(toSpread, spreading);
  const { grade_pct } = spread.mix;
  lines.push(passesLine(spread.split, spread.caps, grade_pct, holding.light, plan.machine, ground.off));

  const k2o = carriedSum(lines);
  lines.push(productsLine(k2o, plan, spread.mix));
  const products = productsOf(plan);
  const possible = spread.split !== null && products.every((product) => productFaults(product).length === 0);
  const rates = possible ? spread.rates_lbPerAc : null;
  const given = rates ? k2oOf(rates, products) : Number.NaN;
  const exact = possible ? productFor(k2o, grade_pct) : null;
  lines.push(machineLine(rates, exact, k2o, plan.machine, products, spreading.caps));

  return {
    lines,
    governing,
    use,
    holding,
    byCec: holdingClassOf(reading.cec_meq, plan.holding).name,
    caps: spreading.caps,
    followed: said,
    spread: spreading,
    toSpread_lbK2OPerAc: toSpread,
    asked_lbK2OPerAc: asked,
    credited: credit,
    k2o_lbPerAc: k2o,
    exact_lbPerAc: exact,
    rates_lbPerAc: rates ? perPass_lbPerAc(rates) : null,
    products_lbPerAc: rates,
    given_lbK2OPerAc: given,
    undone_lbK2OPerAc: undoneBy({ asked_lbK2OPerAc: asked, credited: credit }, given),
    removalYears: have.removalYears,
    grouped: null,
  };
}

/** The second line 9, where a budget is set: what the money does not reach to. */
function budgetLine(before_lbK2OPerAc: number, { k2o_lbPerAc, how }: Money): LedgerLine {
  const over = Math.max(0, before_lbK2OPerAc - k2o_lbPerAc);
  return {
    n: 9,
    key: 'budget',
    label: 'Budget',
    how: `${how}; ${over > 0 ? `it pays ${figure(k2o_lbPerAc, 1)} of ${figure(before_lbK2OPerAc, 1)}, ${figure(over, 1)} left undone` : 'it pays all of it'}`,
    unit: 'lb K2O/ac',
    working: known(Math.min(k2o_lbPerAc, before_lbK2OPerAc)),
    carried: known(0 - over),
    source: 'the choice of the plan',
  };
}

/** The carried figures added up in line order; NaN where lines 6 to 10 hold one that could not be worked. */
export function carriedSum(lines: readonly LedgerLine[]): number {
  let sum = 0;
  for (const one of lines) {
    if (one.n < 6 || one.n > 10) continue;
    if (one.carried === null) return Number.NaN;
    sum += one.carried;
  }
  return sum;
}

const NO_CROP: Readonly<Record<NoCrop, string>> = {
  'no crop': 'no crop is chosen',
  'unknown crop': 'the crop is not in the list',
  'no yield goal': 'no yield goal is given',
  'no residue figure': 'the residue leaves too, and no figure for it was found',
};
const noCropLine = (why: NoCrop): LedgerLine => ({
  n: 6,
  key: 'crop',
  label: 'Crop',
  how: NO_CROP[why],
  unit: 'lb K2O/ac',
  working: null,
  carried: null,
});

/** lb K2O/ac that the machine leaves out, its least rate being more than is asked; 0 within a step a pass and product. */
function machineLeft_lbK2O(
  rates: Worked['products_lbPerAc'],
  k2o_lbPerAc: number,
  machine: Machine,
  products: readonly ProductChoice[],
): number {
  if (!rates) return 0;
  const left = k2o_lbPerAc - k2oOf(rates, products);
  const steps = rates.reduce(
    (all, passes, index) => all + k2oIn(machine.step_lbPerAc * passes.length, products[index]?.k2o_pct ?? 0),
    0,
  );
  return left > steps ? left : 0;
}

/** Line 12: what the machine makes of it. */
function machineLine(
  rates: Worked['products_lbPerAc'],
  exact: number | null,
  k2o_lbPerAc: number,
  machine: Machine,
  products: readonly ProductChoice[],
  caps: readonly PassCap[],
): LedgerLine {
  const how = [
    `least ${typed(machine.least_lbPerAc)}, most ${typed(machine.most_lbPerAc)}, step ${typed(machine.step_lbPerAc)} lb/ac; down at a cap; under half the least 0, else the least`,
  ];
  const perPass = rates ? perPass_lbPerAc(rates) : null;
  const rate = perPass ? totalOf(perPass) : null;
  if (rates && perPass && rate !== null && exact !== null) {
    const given = k2oOf(rates, products);
    const change = given - k2o_lbPerAc;
    if (perPass.length > 1)
      how.push(perPass.map((one, index) => `${caps[index]?.pass.name ?? ''} ${typed(one)}`).join(', '));
    if (rates.length > 1)
      how.push(
        perProduct_lbPerAc(rates)
          .map((one, index) => `${typed(one)} of ${products[index]?.name ?? ''}`)
          .join(', '),
      );
    how.push(
      `${figure(exact, 1)} becomes ${typed(rate)}: ${figure(given, 1)} lb K2O, ${change < 0 ? '' : '+'}${figure(change, 1)}`,
    );
    const left = machineLeft_lbK2O(rates, k2o_lbPerAc, machine, products);
    if (left > 0) how.push(`${figure(left, 1)} lb K2O left undone`);
  }
  return {
    n: 12,
    key: 'machine',
    label: 'Machine',
    how: how.join('; '),
    unit: 'lb/ac',
    working: rate,
    carried: null,
    source: 'the machine of the plan',
  };
}

/** Rates of all passes together, without the dust of adding steps such as 0.1. */
export const totalOf = (rates_lbPerAc: readonly number[]): number =>
  Number(rates_lbPerAc.reduce((all, one) => all + one, 0).toFixed(6));
