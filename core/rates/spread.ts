import { leastStep_lbPerAc, toMachine } from './machine.ts';
import { nothingSpread, type PassCap, passCaps, roomFor, roundPasses, type Split, splitPasses } from './passes.ts';
import type { SeedRow } from './placement.ts';
import { broughtBy, k2oIn, productCost, productFor } from './product.ts';
import type { HoldingClass, ProductChoice, RatesSettings } from './settings.ts';
import { figure, typed } from './text.ts';
import type { ProductRate } from './types.ts';

/** What both products of a plan give of a year's K2O, lb/ac, before any cap a pass and the machine. */
export interface Mix {
  readonly first_lbPerAc: number;
  readonly second_lbPerAc: number;
  /** K2O of both together, % of their weight; that of the first product where the second gives nothing. */
  readonly grade_pct: number;
  /** How the second product's share was found, in words; empty where the plan has none here. */
  readonly how: string;
}

type Products = Pick<RatesSettings, 'product' | 'second'>;

/**
 * Shares a year's K2O between the plan's products.
 *
 * The second gives its share of the K2O, or as much as brings the lb of S or Mg asked for; never more than all of the K2O, since ground that
 * asks for no K gets none for the sake of S or Mg: what then lacks is told. The first gives the rest. Where the second product is
 * not spread (`here` false), has none of the nutrient, or K2O is not known, the first is all. Products as worked out by `productOf`.
 */
export function mixOf(k2o_lbPerAc: number, { product, second }: Products, here: boolean): Mix {
  const all = productFor(k2o_lbPerAc, product.k2o_pct);
  const single = { first_lbPerAc: all, second_lbPerAc: 0, grade_pct: product.k2o_pct };
  if (second === null) return { ...single, how: '' };
  const name = second.product.name;
  if (!here) return { ...single, how: `no ${name} here` };
  if (Number.isNaN(k2o_lbPerAc)) return { ...single, how: '' };
  const { gives } = second;
  const most = productFor(k2o_lbPerAc, second.product.k2o_pct);
  let asked: number;
  let how: string;
  if (gives.by === 'share of K2O') {
    asked = (most * gives.share_pct) / 100;
    how = `${typed(gives.share_pct)} % of the K2O from ${name}`;
  } else {
    const [of, lb, pct] =
      gives.by === 'sulfur'
        ? (['S', gives.s_lbPerAc, second.product.s_pct] as const)
        : (['Mg', gives.mg_lbPerAc, second.product.mg_pct] as const);
    if (!(pct > 0)) return { ...single, how: `${name} holds no ${of}, so none of it is spread` };
    asked = lb / (pct / 100);
    how = `${typed(lb)} lb ${of} / ${typed(pct / 100)} = ${figure(asked, 1)} lb of ${name}`;
    if (asked > most)
      how += `, cut to the ${figure(most, 1)} that hold this year's K2O: ${figure(lb - (most * pct) / 100, 1)} lb ${of} lack`;
  }
  const second_lbPerAc = Math.min(asked, most);
  if (!(second_lbPerAc > 0)) return { ...single, how };
  const first_lbPerAc = Math.max(
    0,
    productFor(k2o_lbPerAc - k2oIn(second_lbPerAc, second.product.k2o_pct), product.k2o_pct),
  );
  const grade_pct = (100 * k2o_lbPerAc) / (first_lbPerAc + second_lbPerAc);
  return { first_lbPerAc, second_lbPerAc, grade_pct, how };
}

/** The caps of each pass for both products together, in lb of the mix, each kind of limit worked on the mix; 0 where either product alone could not be spread. */
function mixCaps(mix: Mix, { plan, caps, secondCaps, holding, row }: SpreadGround): readonly PassCap[] {
  const [first, second] = [mix.first_lbPerAc, mix.second_lbPerAc];
  const n_pct = (first * plan.product.n_pct + second * (plan.second?.product.n_pct ?? 0)) / (first + second);
  const together = { n_pct, k2o_pct: mix.grade_pct };
  return passCaps(plan.passes, holding, together, plan.machine, row).map((one, index) =>
    (caps[index]?.cap_lbPerAc ?? 0) > 0 && (secondCaps[index]?.cap_lbPerAc ?? 0) > 0
      ? one
      : { ...one, cap_lbPerAc: 0, underLeast: true },
  );
}

/** What does not change with the K2O that is to be spread on some ground. */
export interface SpreadGround {
  readonly plan: Pick<RatesSettings, 'product' | 'second' | 'machine' | 'passes'>;
  readonly holding: HoldingClass;
  readonly row: SeedRow;
  /** Caps of each pass by product, as the first and as the second product alone would meet them. */
  readonly caps: readonly PassCap[];
  readonly secondCaps: readonly PassCap[];
  /** True: nothing is spread here, by choice. */
  readonly off: boolean;
  /** Whether the second product is for this ground. */
  readonly secondHere: boolean;
  /** Most K2O a year, lb/ac; Infinity where there is no cap. */
  readonly yearCap_lbK2OPerAc: number;
}

/** A year's K2O as products in passes. */
export interface Spread {
  readonly mix: Mix;
  /** Of both products together, lb. */
  readonly caps: readonly PassCap[];
  /** Of both products together, lb; null where the K2O is not known. */
  readonly split: Split | null;
  /** One list a product, one rate a pass, as the machine spreads them; null where the K2O is not known. */
  readonly rates_lbPerAc: readonly (readonly number[])[] | null;
}

/**
 * Spreads a year's K2O: shares it between the products, splits it over the passes by their caps, and rounds each product in each pass to
 * what the machine can set. Both products keep their proportion, except that the second goes whole into one pass, or misses its share by a step of the machine,
 * where both together then come nearer to the K2O; the first makes up for what rounding the second leaves.
 * With one product more K2O asked for is never less K2O given. With two that does not always hold, since each product is held to the machine's least rate and
 * step by itself. Of 40,000 pairs that ask for 2 to 7 lb more and less (steps and least rates of 5 and 50 lb, 0-0-60 with 0-0-22 or 0-0-50) 0.35 % gave
 * the one that asks for more less, at worst by 30 lb, a step of 50 lb of 0-0-60; with steps and least rates of 5 lb none did.
 */
export function spreadOf(k2o_lbPerAc: number, ground: SpreadGround): Spread {
  const { plan, off } = ground;
  const mix = mixOf(k2o_lbPerAc, plan, ground.secondHere);
  const both = mix.second_lbPerAc > 0;
  const caps = both ? mixCaps(mix, ground) : ground.caps;
  if (Number.isNaN(k2o_lbPerAc)) return { mix, caps, split: null, rates_lbPerAc: null };
  const total = mix.first_lbPerAc + mix.second_lbPerAc;
  const split = off
    ? nothingSpread(total, caps)
    : splitPasses(total, caps, ground.holding.light, leastStep_lbPerAc(plan.machine));
  const none = caps.map(() => 0);
  if (!both) {
    const yearCap = productFor(ground.yearCap_lbK2OPerAc, plan.product.k2o_pct);
    const rates = roundPasses(split, caps, yearCap, plan.machine);
    return { mix, caps, split, rates_lbPerAc: plan.second === null ? [rates] : [rates, none] };
  }
  return { mix, caps, split, rates_lbPerAc: roundMix(split, mix, ground) };
}

/** Rates of one way to lay both products over the passes, and how far they are from what was asked, lb K2O/ac. */
interface Laid {
  readonly rates_lbPerAc: readonly (readonly number[])[];
  readonly off_lbK2OPerAc: number;
}

/** Steps of the machine by which the second product may miss what it shall give, so that both together come nearer to the K2O. */
const STEPS_OFF = [0, -1, 1] as const;
/** What a pound of K2O too much or little in the second product counts beside one in both together. Ours. */
const SECOND_COUNTS = 0.25;

/** The way that comes nearest to the K2O; of equals the one in proportion, then the second product in the earliest pass. */
function roundMix(split: Split, mix: Mix, ground: SpreadGround): readonly (readonly number[])[] {
  const total = mix.first_lbPerAc + mix.second_lbPerAc;
  const spread = sum(split.parts_lbPerAc);
  const second_lbPerAc = total > 0 ? (spread * mix.second_lbPerAc) / total : 0;
  const proportion = split.parts_lbPerAc.map((part) => (spread > 0 ? part / spread : 0));
  const wholes = split.order
    .filter((index) => (split.parts_lbPerAc[index] ?? 0) > 0)
    .map((index) => split.parts_lbPerAc.map((_, at) => (at === index ? 1 : 0)));
  const ways = STEPS_OFF.flatMap((steps) => {
    const lb = Math.max(0, second_lbPerAc + steps * ground.plan.machine.step_lbPerAc);
    return [proportion, ...wholes].map((shares) => {
      const parts = shares.map((share) => lb * share);
      return layMix(split, parts, { first_lbPerAc: spread - second_lbPerAc, second_lbPerAc }, ground);
    });
  });
  return ways.reduce((best, way) => (way.off_lbK2OPerAc < best.off_lbK2OPerAc - 1e-6 ? way : best)).rates_lbPerAc;
}

/**
 * Rounds the second product pass by pass as told, and the first into what room that leaves, with what the second is off made up for. What rounding
 * one pass leaves goes on to the next.
 */
function layMix(
  split: Split,
  parts_lbPerAc: readonly number[],
  asked: Pick<Mix, 'first_lbPerAc' | 'second_lbPerAc'>,
  { plan, caps, secondCaps, yearCap_lbK2OPerAc }: SpreadGround,
): Laid {
  const [first, second]: [number[], number[]] = [caps.map(() => 0), caps.map(() => 0)];
  const grade_pct = plan.second?.product.k2o_pct ?? 0;
  let yearLeft = yearCap_lbK2OPerAc;
  /** Fills `rates`, beginning with some lb already owed; what is owed at the end. */
  const lay = (
    rates: number[],
    parts: readonly number[],
    of_pct: number,
    cap: (pass: number) => number,
    already_lbPerAc: number,
  ): number => {
    let owed = already_lbPerAc;
    for (const pass of split.order) {
      const part = parts[pass] ?? 0;
      if (!(part > 0)) continue;
      const rate = toMachine(part + owed, Math.min(cap(pass), productFor(yearLeft, of_pct)), plan.machine);
      rates[pass] = rate;
      owed += part - rate;
      yearLeft -= k2oIn(rate, of_pct);
    }
    return owed;
  };
  const secondCap = (pass: number): number => secondCaps[pass]?.cap_lbPerAc ?? 0;
  const room = (pass: number): number => {
    const cap = caps[pass];
    if (!cap || cap.cap_lbPerAc === 0) return 0;
    const taken = second[pass] ?? 0;
    const k2o = k2oIn(taken, grade_pct);
    const n = k2oIn(taken, plan.second?.product.n_pct ?? 0);
    return roomFor(cap.limits, plan.product, { k2o, product: taken, nAndK2O: n + k2o });
  };
  lay(second, parts_lbPerAc, grade_pct, secondCap, 0);
  const secondOff_lbK2O = k2oIn(asked.second_lbPerAc - sum(second), grade_pct);
  const own = split.parts_lbPerAc.map((part, pass) => Math.max(0, part - (parts_lbPerAc[pass] ?? 0)));
  const scale = sum(own) > 0 ? asked.first_lbPerAc / sum(own) : 0;
  const owed = lay(
    first,
    own.map((part) => part * scale),
    plan.product.k2o_pct,
    room,
    productFor(secondOff_lbK2O, plan.product.k2o_pct),
  );
  return {
    rates_lbPerAc: [first, second],
    off_lbK2OPerAc: Math.abs(k2oIn(owed, plan.product.k2o_pct)) + SECOND_COUNTS * Math.abs(secondOff_lbK2O),
  };
}

const sum = (values: readonly number[]): number => values.reduce((all, one) => all + one, 0);
/** A sum of machine rates, without the dust of adding steps such as 0.1. */
const tidySum = (values: readonly number[]): number => Number(sum(values).toFixed(6));

/** lb of each product over all passes. */
export const perProduct_lbPerAc = (rates_lbPerAc: Spread['rates_lbPerAc']): readonly number[] =>
  (rates_lbPerAc ?? []).map(tidySum);

/** lb of all products in each pass. */
export const perPass_lbPerAc = (rates_lbPerAc: readonly (readonly number[])[]): readonly number[] =>
  (rates_lbPerAc[0] ?? []).map((_, pass) => tidySum(rates_lbPerAc.map((product) => product[pass] ?? 0)));

/** The plan's products in the order of their rates: the first, then the second where there is one. */
export const productsOf = ({ product, second }: Products): readonly ProductChoice[] =>
  second === null ? [product] : [product, second.product];

/** lb K2O/ac of all products in each pass. */
export const k2oPerPass = (
  rates_lbPerAc: readonly (readonly number[])[],
  products: readonly ProductChoice[],
): readonly number[] =>
  (rates_lbPerAc[0] ?? []).map((_, pass) =>
    sum(products.map((product, index) => k2oIn(rates_lbPerAc[index]?.[pass] ?? 0, product.k2o_pct))),
  );

/** lb K2O/ac of all products over all passes. */
export const k2oOf = (rates_lbPerAc: readonly (readonly number[])[], products: readonly ProductChoice[]): number =>
  sum(products.map((product, index) => k2oIn(tidySum(rates_lbPerAc[index] ?? []), product.k2o_pct)));

/** What each product gives a zone: rates, K2O, its own money (the charge for passes is not in it) and what comes with it. */
export const productRates = (
  rates_lbPerAc: readonly (readonly number[])[],
  products: readonly ProductChoice[],
): readonly ProductRate[] =>
  products.map((product, index) => {
    const rates = rates_lbPerAc[index] ?? [];
    const total = tidySum(rates);
    return {
      product: product.name,
      rates_lbPerAc: rates,
      k2o_lbPerAc: k2oIn(total, product.k2o_pct),
      cost_perAc: productCost(total, product),
      brings: broughtBy(total, product),
    };
  });

/** $/ac: each product at its price per short ton, and the charge once for each pass that spreads, whatever is in it. */
export const costOf_perAc = (
  rates_lbPerAc: readonly (readonly number[])[],
  products: readonly ProductChoice[],
  charge_perAcPerPass: number,
): number =>
  sum(products.map((product, index) => productCost(tidySum(rates_lbPerAc[index] ?? []), product))) +
  perPass_lbPerAc(rates_lbPerAc).filter((rate) => rate > 0).length * charge_perAcPerPass;
