import { LB_PER_SHORT_TON } from '../base/units.ts';
import { MOST_CL_PCT, SALTS } from './products.ts';
import type { ProductChoice, RatesSettings, SingleProduct } from './settings.ts';
import { figure, known, typed } from './text.ts';
import type { LedgerLine, ProductRate } from './types.ts';

export type PlanProduct = ProductChoice;

/** lb of product that carry `k2o` lb of K2O: K2O / (grade / 100). 90 lb K2O = 150 lb of 0-0-60. */
export const productFor = (k2o_lbPerAc: number, grade_pct: number): number => k2o_lbPerAc / (grade_pct / 100);
/** lb of K2O in `rate` lb of product. */
export const k2oIn = (rate_lbPerAc: number, grade_pct: number): number => rate_lbPerAc * (grade_pct / 100);

/** A grade may say this much more than chemistry allows: labels are rounded. */
const GRADE_SLACK_PCT = 0.01;
/** The parts of a blend may miss 100 % by this much. */
const PARTS_SLACK_PCT = 0.05;

type Graded = Pick<PlanProduct, 'k2o_pct' | 'salt'> & Partial<Pick<PlanProduct, 'blend'>>;

const overLimit = (of: Pick<SingleProduct, 'k2o_pct' | 'salt'>): number | null => {
  if (of.salt === null) return null;
  const most = SALTS[of.salt].mostK2O_pct;
  return of.k2o_pct > most + GRADE_SLACK_PCT ? most : null;
};

/**
 * The grade's limit where it says more K2O than the salt can hold; null where the grade is possible. A hundredth is left for rounding.
 * Of a blend each part is held to its own salt's limit, and the first that lies above gives the answer.
 */
export function gradeLimit_pct(product: Graded): number | null {
  const parts = product.blend ?? [];
  if (parts.length === 0) return overLimit(product);
  return parts.map((part) => overLimit(part.product)).find((limit) => limit !== null) ?? null;
}

/** Chloride of a product, %: the label's where it is told, else that of its salt as sold; 0 for a part without K. */
export const chloride_pct = (product: Pick<SingleProduct, 'cl_pct' | 'salt'>): number =>
  product.cl_pct ?? (product.salt === null ? 0 : SALTS[product.salt].cl_pct);

/** True where the salt, or the name of a product or of a part with K in it, says that it is a chloride. */
export const saysChloride = (product: PlanProduct): boolean =>
  (product.blend.length > 0 ? product.blend.map((part) => part.product) : [product]).some(
    ({ name, salt, k2o_pct }) => k2o_pct > 0 && (salt === 'chloride' || /\b(chloride|muriate)\b/i.test(name)),
  );

/** A label's chloride may lie this much above what chemistry allows: labels are rounded. */
const CL_SLACK_PCT = 0.05;

/** Chloride put on, lb/ac. */
export const chlorideIn = (rate_lbPerAc: number, salt: PlanProduct['salt']): number =>
  (rate_lbPerAc * SALTS[salt].cl_pct) / 100;

/** What comes with some lb of a product, lb/ac. A blend has to be worked out first (`productOf`). */
export const broughtBy = (rate_lbPerAc: number, product: PlanProduct): ProductRate['brings'] => ({
  n: (rate_lbPerAc * product.n_pct) / 100,
  p2o5: (rate_lbPerAc * product.p2o5_pct) / 100,
  s: (rate_lbPerAc * product.s_pct) / 100,
  mg: (rate_lbPerAc * product.mg_pct) / 100,
  cl: (rate_lbPerAc * chloride_pct(product)) / 100,
});

/**
 * A product with its analysis and price as they count: a straight one as its label says; a blend by its parts,
 * sum of share x figure / 100, with the chloride of each part. Where the parts cannot be a blend (`productFaults`) what was typed is left as it
 * is, and no rate is given from it. Density and name are always as typed.
 */
export function productOf(product: PlanProduct): PlanProduct {
  if (product.blend.length === 0 || blendFaults(product).length > 0) return product;
  const mean = (figureOf: (part: SingleProduct) => number): number =>
    Number(product.blend.reduce((all, part) => all + (part.share_pct / 100) * figureOf(part.product), 0).toFixed(9));
  return {
    ...product,
    n_pct: mean((part) => part.n_pct),
    p2o5_pct: mean((part) => part.p2o5_pct),
    k2o_pct: mean((part) => part.k2o_pct),
    s_pct: mean((part) => part.s_pct),
    mg_pct: mean((part) => part.mg_pct),
    cl_pct: mean(chloride_pct),
    price_perTon: mean((part) => part.price_perTon),
  };
}

/** The plan with both products as they count; the same plan where there is no blend. */
export function withProducts(plan: RatesSettings): RatesSettings {
  const product = productOf(plan.product);
  const second = plan.second === null ? null : { ...plan.second, product: productOf(plan.second.product) };
  return product === plan.product && (second?.product ?? null) === (plan.second?.product ?? null)
    ? plan
    : { ...plan, product, second };
}

/** A reason why no rate can be given of a product. */
export interface ProductFault {
  readonly code: string;
  readonly message: string;
  readonly remedy: string;
}

/**
 * Words and grades by which a product says that it is no dry one: 10-34-0 and 11-37-0 are ammonium polyphosphate in solution. `Solution grade` is a
 * dry salt that dissolves well.
 */
const LIQUID = new RegExp(
  [
    String.raw`\b(liquid|fluid|suspension|slurry|flowable|aqueous|gallons?|gal|uan)\b`,
    String.raw`\b(solution\b|soln\b|sol\.)(?!\.?\s*grade)`,
    String.raw`\bthiosul(f|ph)ate\b|\bpotassium acetate\b`,
    String.raw`(?<![\d-])(10-34-0|11-37-0|3-18-18|6-24-6|2-6-12|0-0-25-17)(?![\d])`,
  ].join('|'),
  'i',
);
/** An analysis may add up to this much more than 100 %: labels are rounded. */
const SUM_SLACK_PCT = 0.5;

/** N, P2O5, K2O, S and Mg together, %. Chloride is left out: K2O counts an oxygen that the chloride does not hold. */
const analysisSum_pct = (of: Pick<SingleProduct, 'n_pct' | 'p2o5_pct' | 'k2o_pct' | 's_pct' | 'mg_pct'>): number =>
  of.n_pct + of.p2o5_pct + of.k2o_pct + of.s_pct + of.mg_pct;

/**
 * Why no rate can be given of a product; empty where it can. By code: `rates-liquid` (its name says so: liquids are out of scope),
 * `rates-grade-over-limit` (more K2O than its salt, or a part's, can hold), `rates-chloride-over-limit` (more chloride than pure potassium chloride holds), `rates-blend-parts` (not adding up to 100 %),
 * `rates-analysis-over-100` (N, P2O5, K2O, S and Mg add up to more than all of it), `rates-blend-salt` (a part with K2O and no salt named), `rates-blend-no-k2o`.
 */
export function productFaults(product: PlanProduct): readonly ProductFault[] {
  const found: ProductFault[] = [];
  const names = [product.name, ...product.blend.map((part) => part.product.name)];
  const liquid = names.find((name) => LIQUID.test(name));
  if (liquid !== undefined)
    found.push({
      code: 'rates-liquid',
      message: `${liquid} is named as a liquid, and rates are worked out for dry products only: a liquid is told in gallons, not in pounds an acre.`,
      remedy: 'Choose a dry product, or plan the liquid elsewhere.',
    });
  const parts = product.blend.length > 0 ? product.blend.map((part) => part.product) : [product];
  for (const part of parts) {
    const sum = analysisSum_pct(part);
    if (sum > 100 + SUM_SLACK_PCT)
      found.push({
        code: 'rates-analysis-over-100',
        message: `The analysis of ${part.name}${part === product ? '' : `, a part of ${product.name},`} adds up to ${figure(sum, 1)} %: more than there can be of it.`,
        remedy: "Give the analysis on the product's label.",
      });
    if (part.salt !== null && (part.cl_pct ?? 0) > MOST_CL_PCT + CL_SLACK_PCT)
      found.push({
        code: 'rates-chloride-over-limit',
        message: `${part.name}${part === product ? '' : `, a part of ${product.name},`} is said to hold ${typed(part.cl_pct ?? 0)} % chloride, and pure potassium chloride holds ${figure(MOST_CL_PCT, 2)} %.`,
        remedy: "Give the chloride on the product's label.",
      });
    const limit = overLimit(part);
    if (limit === null || part.salt === null) continue;
    found.push({
      code: 'rates-grade-over-limit',
      message: `${part.name}${part === product ? '' : `, a part of ${product.name},`} is said to hold ${typed(part.k2o_pct)} % K2O, and ${SALTS[part.salt].name} cannot hold more than ${figure(limit, 2)} %.`,
      remedy: "Give the grade on the product's label, or choose the salt it is made of.",
    });
  }
  return [...found, ...blendFaults(product)];
}

function blendFaults({ name, blend }: PlanProduct): readonly ProductFault[] {
  if (blend.length === 0) return [];
  const found: ProductFault[] = [];
  const shares = blend.reduce((all, part) => all + part.share_pct, 0);
  if (Math.abs(shares - 100) > PARTS_SLACK_PCT)
    found.push({
      code: 'rates-blend-parts',
      message: `The parts of ${name} add up to ${figure(shares, 1)} %, not to 100: ${blend.map((part) => `${part.product.name} ${typed(part.share_pct)} %`).join(', ')}.`,
      remedy: 'Give the parts by weight so that they add up to 100 %.',
    });
  for (const part of blend) {
    if (part.product.k2o_pct > 0 && part.product.salt === null)
      found.push({
        code: 'rates-blend-salt',
        message: `${part.product.name}, a part of ${name}, holds ${typed(part.product.k2o_pct)} % K2O, and its salt is not told.`,
        remedy: 'Say which potassium salt it is.',
      });
  }
  if (!blend.some((part) => part.share_pct > 0 && part.product.k2o_pct > 0))
    found.push({
      code: 'rates-blend-no-k2o',
      message: `No part of ${name} holds K2O.`,
      remedy: 'Add a part that holds potassium, or choose another product.',
    });
  return found;
}

/** Cubic feet of some lb of a product, by the density as it was weighed; null where nobody weighed it. */
export const cubicFeet = (product_lb: number, product: Pick<PlanProduct, 'density_lbPerFt3'>): number | null =>
  product.density_lbPerFt3 === null ? null : product_lb / product.density_lbPerFt3;

/** Line 11: K2O this year as pounds of product, and what else comes with it. */
export function productLine(k2o_lbPerAc: number, product: PlanProduct): LedgerLine {
  const faults = productFaults(product);
  const exact = productFor(k2o_lbPerAc, product.k2o_pct);
  const how: string[] = [];
  if (faults.length > 0) how.push(`${faults[0]?.message ?? ''} No product is worked out`);
  else if (Number.isNaN(k2o_lbPerAc)) how.push('not known without K2O this year');
  else how.push(...productHow(exact, k2o_lbPerAc, product));
  return {
    n: 11,
    key: 'product',
    label: `${product.name}, lb/ac`,
    how: how.join('; '),
    unit: 'lb/ac',
    working: faults.length === 0 ? known(exact) : null,
    carried: null,
    source: sourceOf(product),
  };
}

/** The sum of one product in words: what it is mixed of, K2O over its grade, what comes with it, and how much room it takes. */
export function productHow(exact_lbPerAc: number, k2o_lbPerAc: number, product: PlanProduct): readonly string[] {
  const how: string[] = [];
  if (product.blend.length > 0)
    how.push(
      `blend of ${product.blend.map((part) => `${typed(part.share_pct)} % ${part.product.name}`).join(', ')} by weight: ${figure(product.k2o_pct, 2)} % K2O, $${figure(product.price_perTon, 2)} a ton`,
    );
  how.push(
    `${figure(k2o_lbPerAc, 1)} / ${figure(product.k2o_pct / 100, 3).replace(/0$/, '')} = ${figure(exact_lbPerAc, 1)}`,
  );
  const { n, p2o5, s, mg, cl } = broughtBy(exact_lbPerAc, product);
  const carries = [
    [n, 'N'],
    [p2o5, 'P2O5'],
    [s, 'S'],
    [mg, 'Mg'],
    [cl, 'chloride'],
  ] as const;
  const brings = carries.filter(([lb]) => lb > 0).map(([lb, name]) => `${figure(lb)} lb ${name}`);
  if (brings.length > 0) how.push(`brings ${brings.join(', ')}`);
  const room = cubicFeet(exact_lbPerAc, product);
  if (room !== null && exact_lbPerAc > 0)
    how.push(`${figure(room, 1)} cubic feet at ${typed(product.density_lbPerFt3 ?? 0)} lb each, as weighed`);
  return how;
}

/** Where the grade and the salt's limits come from. */
export function sourceOf(product: PlanProduct): string {
  const salts = product.blend.length > 0 ? product.blend.map((part) => part.product.salt) : [product.salt];
  const parts = product.blend.length > 0 ? product.blend.map((part) => part.product) : [product];
  const fromSalt = parts.flatMap(({ salt, cl_pct }) =>
    salt !== null && cl_pct === null && SALTS[salt].clSource !== null ? [SALTS[salt].clSource] : [],
  );
  const told = parts.some(({ cl_pct }) => cl_pct !== null) ? ['chloride as typed from the label'] : [];
  const sources = new Set([
    ...fromSalt,
    ...told,
    ...salts.flatMap((salt) => (salt === null ? [] : [SALTS[salt].source])),
  ]);
  return `${[...sources].join('; ')}; the grade is the label's`;
}

/** Dollars of some lb of product at its price per short ton. */
export const productCost = (product_lb: number, product: Pick<PlanProduct, 'price_perTon'>): number =>
  (product_lb / LB_PER_SHORT_TON) * product.price_perTon;
