import { SALTS } from './products.ts';
import type { RatesSettings } from './settings.ts';
import { figure, known, typed } from './text.ts';
import type { LedgerLine } from './types.ts';

export type PlanProduct = RatesSettings['product'];

/** lb of product that carry `k2o` lb of K2O: K2O / (grade / 100). 90 lb K2O = 150 lb of 0-0-60. */
export const productFor = (k2o_lbPerAc: number, grade_pct: number): number => k2o_lbPerAc / (grade_pct / 100);
/** lb of K2O in `rate` lb of product. */
export const k2oIn = (rate_lbPerAc: number, grade_pct: number): number => rate_lbPerAc * (grade_pct / 100);

/** The grade's limit where it says more K2O than the salt can hold; null where the grade is possible. A hundredth is left for rounding. */
export function gradeLimit_pct(product: Pick<PlanProduct, 'k2o_pct' | 'salt'>): number | null {
  const most = SALTS[product.salt].mostK2O_pct;
  return product.k2o_pct > most + 0.01 ? most : null;
}

/** Chloride put on, lb/ac. */
export const chlorideIn = (rate_lbPerAc: number, salt: PlanProduct['salt']): number =>
  (rate_lbPerAc * SALTS[salt].cl_pct) / 100;

/** Line 11: K2O this year as pounds of product, and what else comes with it. */
export function productLine(k2o_lbPerAc: number, product: PlanProduct): LedgerLine {
  const limit = gradeLimit_pct(product);
  const exact = productFor(k2o_lbPerAc, product.k2o_pct);
  const salt = SALTS[product.salt];
  const how: string[] = [];
  if (limit !== null)
    how.push(
      `${typed(product.k2o_pct)} % K2O is more than ${salt.name} can hold, ${figure(limit, 2)} %: no product is worked out`,
    );
  else if (Number.isNaN(k2o_lbPerAc)) how.push('not known without K2O this year');
  else {
    how.push(`${figure(k2o_lbPerAc, 1)} / ${figure(product.k2o_pct / 100, 3).replace(/0$/, '')} = ${figure(exact, 1)}`);
    const others = [
      [product.n_pct, 'N'],
      [product.p2o5_pct, 'P2O5'],
      [salt.cl_pct, 'chloride'],
    ] as const;
    const carries = others
      .filter(([pct]) => pct > 0 && exact > 0)
      .map(([pct, name]) => `${figure((exact * pct) / 100)} lb ${name}`);
    if (carries.length > 0) how.push(`brings ${carries.join(', ')}`);
  }
  return {
    n: 11,
    key: 'product',
    label: `${product.name}, lb/ac`,
    how: how.join('; '),
    unit: 'lb/ac',
    working: limit === null ? known(exact) : null,
    carried: null,
    source: `${salt.source}; the grade is the label's`,
  };
}
