import type { GroundHistory } from '../soil/history.ts';
import type { SoilSettings } from '../soil/settings.ts';
import { type Credited, credited, creditsLine, type ZoneCredit } from './credits.ts';
import { aboveRangeLine, buildUpLine, type CropUse, cropLine, cropUse, cropUseLine, type NoCrop } from './crop.ts';
import { type Governing, type Governs, governingTarget, governsLine } from './governing.ts';
import { capLine, heldBy, heldText, holdingClassOf } from './holding.ts';
import { leastStep_lbPerAc, type Machine } from './machine.ts';
import { nothingSpread, type PassCap, passCaps, passesLine, roundPasses, splitPasses } from './passes.ts';
import { seedRow } from './placement.ts';
import { gradeLimit_pct, k2oIn, productFor, productLine } from './product.ts';
import type { HoldingClass, RatesSettings } from './settings.ts';
import { depthText, supply, supplyLine } from './supply.ts';
import { targetPpmLine } from './target-ppm.ts';
import { cecOverstated, targetSaturationLine } from './target-saturation.ts';
import { figure, typed } from './text.ts';
import type { LedgerLine, ZoneReading } from './types.ts';

/** A zone's ground as the ledger reads it. */
export interface Ground {
  readonly reading: ZoneReading;
  /** lb K/ac per ppm at the sampled depth. */
  readonly supply_factor: number;
  /** ppm of K in one meq/100 g, by the plan's factor set. */
  readonly kPpmPerMeq: number;
  readonly extractant: SoilSettings['extractant'];
  readonly convention: SoilSettings['convention'];
  readonly history: GroundHistory;
  /** Credits as they count here. */
  readonly credits: readonly ZoneCredit[];
  /** True: nothing is spread here, by choice. */
  readonly off: boolean;
  /** What the zone does otherwise than the plan, and where its yield goal comes from, in words; empty where as the plan. */
  readonly own: string;
  readonly goalFrom: string;
}

/** Lines 1 to 12 and the figures that go on from them. */
export interface Worked {
  readonly lines: readonly LedgerLine[];
  readonly governing: Governing;
  readonly use: CropUse | NoCrop;
  readonly holding: HoldingClass;
  /** Name of the class that CEC alone would put the ground in. */
  readonly byCec: string;
  readonly caps: readonly PassCap[];
  /** lb K2O/ac of lines 6 and 7: what is asked for before credits and caps. */
  readonly asked_lbK2OPerAc: number;
  readonly credited: Credited;
  /** lb K2O/ac this year: the carried figures added up in line order. NaN where a line could not be worked. */
  readonly k2o_lbPerAc: number;
  /** lb of product before least rate and step; null where it could not be worked. */
  readonly exact_lbPerAc: number | null;
  /** lb of product as the machine spreads it, one per pass; null where it could not be worked. */
  readonly rates_lbPerAc: readonly number[] | null;
  /** lb K2O that the caps, and the machine by more than a step a pass, left out; 0 where nothing could be worked. */
  readonly undone_lbK2OPerAc: number;
  readonly removalYears: number | null;
}

/**
 * Works one zone's account from soil supply to the machine's rate, with the target that shall govern handed in, so that each reading
 * alone goes through the very same lines. Never throws on what a person left out: lines that lack something say so and carry null.
 * Whether the rate may be given at all is asked elsewhere.
 */
export function workLedger(ground: Ground, plan: RatesSettings, governs: Governs): Worked {
  const { reading, supply_factor, kPpmPerMeq } = ground;
  const grade_pct = plan.product.k2o_pct;
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
  const asked = carriedSum(lines);
  const credit = credited(ground.credits, asked);
  lines.push(creditsLine(ground.credits, credit));
  lines.push(capLine(carriedSum(lines), holding, heldText(holding, reading.cec_meq, ground.history)));

  const row = seedRow(plan.crop, ground.history.texture, holding);
  const caps = passCaps(plan.passes, holding, plan.product, plan.machine, row);
  const beforePasses = carriedSum(lines);
  const toSpread = productFor(beforePasses, grade_pct);
  const split = Number.isNaN(beforePasses)
    ? null
    : ground.off
      ? nothingSpread(toSpread, caps)
      : splitPasses(toSpread, caps, holding.light, leastStep_lbPerAc(plan.machine));
  lines.push(passesLine(split, caps, grade_pct, holding.light, plan.machine, ground.off));

  const k2o = carriedSum(lines);
  lines.push(productLine(k2o, plan.product));
  const possible = split !== null && gradeLimit_pct(plan.product) === null;
  const yearCap = holding.perYear_lbK2OPerAc === null ? Infinity : productFor(holding.perYear_lbK2OPerAc, grade_pct);
  const rates = possible ? roundPasses(split, caps, yearCap, plan.machine) : null;
  const exact = possible ? productFor(k2o, grade_pct) : null;
  lines.push(machineLine(rates, exact, plan.machine, grade_pct, caps));

  const left = (key: LedgerLine['key']): number => 0 - (lines.find((one) => one.key === key)?.carried ?? 0);
  return {
    lines,
    governing,
    use,
    holding,
    byCec: holdingClassOf(reading.cec_meq, plan.holding).name,
    caps,
    asked_lbK2OPerAc: asked,
    credited: credit,
    k2o_lbPerAc: k2o,
    exact_lbPerAc: exact,
    rates_lbPerAc: rates,
    undone_lbK2OPerAc: left('cap') + left('passes') + k2oIn(machineLeft_lbPerAc(rates, exact, plan.machine), grade_pct),
    removalYears: have.removalYears,
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

/** lb of product an acre that the machine leaves out, its least rate being more than is asked; 0 within a step a pass. */
function machineLeft_lbPerAc(rates: readonly number[] | null, exact: number | null, machine: Machine): number {
  if (!rates || exact === null) return 0;
  const left = exact - totalOf(rates);
  return left > machine.step_lbPerAc * rates.length ? left : 0;
}

/** Line 12: what the machine makes of it. */
function machineLine(
  rates: readonly number[] | null,
  exact: number | null,
  machine: Machine,
  grade_pct: number,
  caps: readonly PassCap[],
): LedgerLine {
  const how = [
    `least ${typed(machine.least_lbPerAc)}, most ${typed(machine.most_lbPerAc)}, step ${typed(machine.step_lbPerAc)} lb/ac; down at a cap; under half the least 0, else the least`,
  ];
  const rate = rates ? totalOf(rates) : null;
  if (rates && rate !== null && exact !== null) {
    const change = k2oIn(rate - exact, grade_pct);
    if (rates.length > 1)
      how.push(rates.map((one, index) => `${caps[index]?.pass.name ?? ''} ${typed(one)}`).join(', '));
    how.push(
      `${figure(exact, 1)} becomes ${typed(rate)}: ${figure(k2oIn(rate, grade_pct), 1)} lb K2O, ${change < 0 ? '' : '+'}${figure(change, 1)}`,
    );
    const left = machineLeft_lbPerAc(rates, exact, machine);
    if (left > 0) how.push(`${figure(k2oIn(left, grade_pct), 1)} lb K2O left undone`);
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
