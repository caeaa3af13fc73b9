import { LB_PER_SHORT_TON } from '../base/units.ts';
import type { RatesSettings } from './settings.ts';
import { figure, typed } from './text.ts';
import type { LedgerLine } from './types.ts';

type Prices = Pick<RatesSettings, 'charge_perAcPerPass' | 'product'>;

/** $/ac: product at its price per short ton, and the charge for each pass that spreads. */
export function cost_perAc(rates_lbPerAc: readonly number[], prices: Prices): number {
  const rate = rates_lbPerAc.reduce((all, one) => all + one, 0);
  const spreading = rates_lbPerAc.filter((one) => one > 0).length;
  return (rate / LB_PER_SHORT_TON) * prices.product.price_perTon + spreading * prices.charge_perAcPerPass;
}

/** Line 14: what it costs. What it returns is not said: no published response curve is entered, and none is made up. */
export function moneyLine(rates_lbPerAc: readonly number[] | null, acres: number, prices: Prices): LedgerLine {
  const how: string[] = [];
  let cost = Number.NaN;
  if (!rates_lbPerAc) how.push('no rate, so no cost');
  else {
    cost = cost_perAc(rates_lbPerAc, prices);
    const rate = rates_lbPerAc.reduce((all, one) => all + one, 0);
    const spreading = rates_lbPerAc.filter((one) => one > 0).length;
    how.push(
      `${typed(rate)} lb at $${typed(prices.product.price_perTon)} a ton, ${spreading === 1 ? '1 pass' : `${spreading} passes`} at $${typed(prices.charge_perAcPerPass)}`,
      `${figure(acres, 1)} ac: $${figure(cost * acres)}`,
    );
  }
  how.push('the return is not said, since no response curve is entered');
  return {
    n: 14,
    key: 'money',
    label: 'Cost',
    how: how.join('; '),
    unit: '$/ac',
    working: Number.isNaN(cost) ? null : cost,
    carried: null,
    source: 'prices of the plan',
  };
}
