import { caution, type Problem } from '../base/problem.ts';
import type { RatesSettings } from './settings.ts';
import { figure, typed } from './text.ts';
import type { ProductRate } from './types.ts';

/** Part of the S or Mg asked for that a second product may stay under before it is said. Ours. */
const ENOUGH_SHARE = 0.9;

/**
 * `rates-second-short`: a zone that gets less than nine tenths of the lb of S or Mg an acre that the second product shall bring, because K2O,
 * caps or the machine allow no more. Nothing where the product is not for the zone, no rate is given, or it goes by a share of K2O.
 */
export function secondShort(
  plan: Pick<RatesSettings, 'second'>,
  here: boolean,
  products: readonly ProductRate[],
  zone: string,
): readonly Problem[] {
  const second = products[1];
  if (!plan.second || !here || !second || plan.second.gives.by === 'share of K2O') return [];
  const { gives } = plan.second;
  const [of, asked, got] =
    gives.by === 'sulfur'
      ? (['S', gives.s_lbPerAc, second.brings.s] as const)
      : (['Mg', gives.mg_lbPerAc, second.brings.mg] as const);
  if (got >= asked * ENOUGH_SHARE) return [];
  return [
    {
      ...caution(
        'rates-second-short',
        `Zone ${zone} gets ${figure(got, 1)} of the ${typed(asked)} lb ${of}/ac that ${second.product} shall bring: this year's K2O, the caps, the budget or the machine's least rate and step allow no more.`,
        `Give the ${of} with a product that holds less K2O, or look at caps and machine.`,
        { zone, setting: 'rates.second' },
      ),
      stage: 'rates',
    },
  ];
}
