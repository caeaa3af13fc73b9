import { k2oIn, productFaults, productFor, productHow, productLine, sourceOf } from './product.ts';
import type { RatesSettings } from './settings.ts';
import type { Mix } from './spread.ts';
import { known } from './text.ts';
import type { LedgerLine } from './types.ts';

/**
 * Line 11 for one product or two: K2O this year as pounds, how the second product's share was found, and what comes with each.
 * `k2o_lbPerAc` is what the passes hold; both products keep the proportion of the mix.
 */
export function productsLine(
  k2o_lbPerAc: number,
  plan: Pick<RatesSettings, 'product' | 'second'>,
  mix: Mix,
): LedgerLine {
  const line = productLine(k2o_lbPerAc, plan.product);
  const second = plan.second?.product;
  if (!second) return line;
  const fault = [...productFaults(plan.product), ...productFaults(second)][0];
  const label = `${plan.product.name} and ${second.name}, lb/ac`;
  if (fault) return { ...line, label, how: `${fault.message} No product is worked out`, working: null };
  if (Number.isNaN(k2o_lbPerAc)) return { ...line, label };
  const whole = mix.first_lbPerAc + mix.second_lbPerAc;
  const total = productFor(k2o_lbPerAc, mix.grade_pct);
  const of = (part: number): number => (whole > 0 ? (total * part) / whole : 0);
  const parts = [
    { lb: of(mix.first_lbPerAc), product: plan.product },
    { lb: of(mix.second_lbPerAc), product: second },
  ].filter(({ lb }) => lb > 0);
  const how = parts.map(
    ({ lb, product }) => `${product.name}: ${productHow(lb, k2oIn(lb, product.k2o_pct), product).join(', ')}`,
  );
  return {
    ...line,
    label,
    how: [...(mix.how === '' ? [] : [mix.how]), ...how].join('; '),
    working: known(total),
    source: [...new Set([sourceOf(plan.product), sourceOf(second)])].join('; '),
  };
}
