import { caution, type Problem } from '../base/problem.ts';
import type { RatesSettings } from './settings.ts';
import { figure, typed } from './text.ts';
import type { ProductRate } from './types.ts';

/** Part of the S or Mg asked for that a second product may stay under before it is said. Ours. */
const ENOUGH_SHARE = 0.9;

/**
 * `rates-second-short`: a zone that gets less than nine tenths of the lb of S or Mg an acre that the second product shall bring, because K2O,
 * caps or the machine allow no more, or one with a rate typed by hand, which is all of the first product. Nothing else where the product is not for the zone, no rate is given, or it goes by a share of K2O.
 */
export function secondShort(
  plan: Pick<RatesSettings, 'second'>,
  here: boolean,
  products: readonly ProductRate[],
  zone: string,
  byHand = false,
): readonly Problem[] {
  const [first, second] = products;
  if (byHand && plan.second && here && first && second && first.k2o_lbPerAc > 0)
    return [
      {
        ...caution(
          'rates-second-short',
          `Zone ${zone} gets no ${second.product}: the rate typed by hand is all of it ${first.product}${brings(plan.second)}.`,
          `Take the typed rate out, or give ${second.product} there by itself.`,
          { zone, setting: 'rates.overrides' },
        ),
        stage: 'rates',
      },
    ];
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

/** What lacks where none of a second product is given, in words. */
const brings = ({ gives }: NonNullable<RatesSettings['second']>): string =>
  gives.by === 'sulfur'
    ? `, and the ${typed(gives.s_lbPerAc)} lb S/ac lack`
    : gives.by === 'magnesium'
      ? `, and the ${typed(gives.mg_lbPerAc)} lb Mg/ac lack`
      : '';
