import { returnText } from './response.ts';
import type { RatesSettings } from './settings.ts';
import { costOf_perAc, perPass_lbPerAc, perProduct_lbPerAc, productsOf } from './spread.ts';
import { figure, typed } from './text.ts';
import type { LedgerLine, ZoneRate } from './types.ts';

type Prices = Pick<
  RatesSettings,
  'charge_perAcPerPass' | 'product' | 'second' | 'response' | 'cropPrice_perUnit' | 'yieldGoal'
>;

/**
 * Line 14: what it costs, and what the response curve says it returns this season, as a band. Without a curve, or without the price
 * of the crop, no return is said and none is made up. `products_lbPerAc`: one list a product, one rate a pass.
 */
export function moneyLine(
  products_lbPerAc: readonly (readonly number[])[] | null,
  acres: number,
  plan: Prices,
  returns: ZoneRate['return_perAc'],
): LedgerLine {
  const how: string[] = [];
  let cost = Number.NaN;
  if (!products_lbPerAc) how.push('no rate, so no cost');
  else {
    const products = productsOf(plan);
    cost = costOf_perAc(products_lbPerAc, products, plan.charge_perAcPerPass);
    const spreading = perPass_lbPerAc(products_lbPerAc).filter((one) => one > 0).length;
    const named = perProduct_lbPerAc(products_lbPerAc).map(
      (lb, index) =>
        `${typed(lb)} lb${products.length > 1 ? ` of ${products[index]?.name ?? ''}` : ''} at $${typed(products[index]?.price_perTon ?? 0)} a ton`,
    );
    how.push(
      `${named.join(', ')}, ${spreading === 1 ? '1 pass' : `${spreading} passes`} at $${typed(plan.charge_perAcPerPass)}`,
      `${figure(acres, 1)} ac: $${figure(cost * acres)}`,
    );
  }
  how.push(returnText(returns, plan));
  return {
    n: 14,
    key: 'money',
    label: 'Cost',
    how: how.join('; '),
    unit: '$/ac',
    working: Number.isNaN(cost) ? null : cost,
    carried: null,
    source: returns === null ? 'prices of the plan' : `prices of the plan; response: ${returns.source}`,
  };
}
