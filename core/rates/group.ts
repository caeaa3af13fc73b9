import { caution, type Problem } from '../base/problem.ts';
import { type Groupable, groupRates } from './distinct.ts';
import { totalOf, type Worked } from './ledger.ts';
import { undoneBy } from './left.ts';
import { productFor } from './product.ts';
import type { RatesSettings } from './settings.ts';
import { k2oOf, perPass_lbPerAc, productsOf } from './spread.ts';
import { figure, typed } from './text.ts';

/** A zone with its rates as the machine would spread them one by one. */
export interface Grouping {
  readonly key: string;
  readonly acres: number;
  readonly worked: Worked;
  /** One list a product, one rate a pass. */
  readonly rates_lbPerAc: readonly (readonly number[])[];
  /** True for rates that may not be changed. */
  readonly fixed: boolean;
  /** True for ground above the range: it is never raised, and left without where no rate as low as its own is kept. */
  readonly aboveRange: boolean;
}

/**
 * Rates of all zones with no more different ones above 0 than the controller takes, pass by pass and product by product, by zone key; only
 * zones that changed are in it. Groups are found by `groupRates`. Where a budget is set or the plan has two products no zone is raised,
 * so that neither the money nor a shared cap is passed; else a zone may rise to what its pass and its year hold. Ground above the range never rises,
 * and what asks for nothing gets nothing. Problems, in a pass where nothing is then put together: `rates-distinct-by-hand` (typed rates alone are more than
 * the controller takes), `rates-distinct-not-met` (they are so few and so high that other ground would have to rise over what it may get).
 */
export function groupZones(
  zones: readonly Grouping[],
  plan: RatesSettings,
): { readonly rates: ReadonlyMap<string, readonly (readonly number[])[]>; readonly problems: readonly Problem[] } {
  const changed = new Map<string, readonly (readonly number[])[]>();
  const problems: Problem[] = [];
  const most = plan.machine.distinctRates;
  if (most === null) return { rates: changed, problems };
  const products = productsOf(plan);
  const raise = plan.budget === null && products.length === 1;
  const ratesNow = (zone: Grouping) => changed.get(zone.key) ?? zone.rates_lbPerAc;
  products.forEach((product, index) => {
    plan.passes.forEach((pass, at) => {
      const rateOf = (zone: Grouping): number => ratesNow(zone)[index]?.[at] ?? 0;
      const spreading = zones.filter((zone) => rateOf(zone) > 0);
      const items = spreading.map((zone): Groupable => {
        const rate = rateOf(zone);
        const yearLeft = zone.worked.spread.yearCap_lbK2OPerAc - k2oOf(ratesNow(zone), products);
        const room = Math.min(
          zone.worked.caps[at]?.cap_lbPerAc ?? rate,
          rate + productFor(Math.max(0, yearLeft), product.k2o_pct),
        );
        return {
          key: zone.key,
          acres: zone.acres,
          rate_lbPerAc: rate,
          most_lbPerAc: raise && !zone.aboveRange ? Math.max(rate, room) : rate,
          fixed: zone.fixed,
          mayLeave: zone.aboveRange && !zone.fixed,
        };
      });
      const grouped = groupRates(items, most);
      if (grouped === null) {
        const byHand = new Set(items.flatMap((item) => (item.fixed ? [item.rate_lbPerAc] : [])));
        problems.push(byHand.size > most ? tooManyByHand(pass.name, most) : notMet(pass.name, most));
        return;
      }
      for (const zone of spreading) {
        const now = grouped.rates.get(zone.key) ?? rateOf(zone);
        if (now === rateOf(zone)) continue;
        changed.set(
          zone.key,
          ratesNow(zone).map((rates, of) => (of === index ? rates.map((rate, on) => (on === at ? now : rate)) : rates)),
        );
      }
    });
  });
  return { rates: changed, problems };
}

const tooManyByHand = (pass: string, most: number): Problem => ({
  ...caution(
    'rates-distinct-by-hand',
    `Rates typed by hand alone are more different ones ${pass} than the ${most} that the controller takes, so none are put together there.`,
    'Type fewer different rates, or raise the number of rates.',
    { setting: 'rates.machine.distinctRates' },
  ),
  stage: 'rates',
});

const notMet = (pass: string, most: number): Problem => ({
  ...caution(
    'rates-distinct-not-met',
    `With the rates typed by hand, no choice of ${most} different ${most === 1 ? 'rate' : 'rates'} ${pass} leaves every other zone at or under what it may get, so none are put together there: the controller has more rates to set than it takes.`,
    'Type lower rates, or raise the number of rates.',
    { setting: 'rates.machine.distinctRates' },
  ),
  stage: 'rates',
});

/** The account of a zone whose rates were put together with others': its machine line says so, and K2O left undone is worked out again. */
export function regrouped(worked: Worked, rates_lbPerAc: readonly (readonly number[])[], plan: RatesSettings): Worked {
  const perPass = perPass_lbPerAc(rates_lbPerAc);
  const total = totalOf(perPass);
  const before = worked.rates_lbPerAc ? totalOf(worked.rates_lbPerAc) : Number.NaN;
  const given = k2oOf(rates_lbPerAc, productsOf(plan));
  const lines = worked.lines.map((line) =>
    line.key === 'machine'
      ? {
          ...line,
          how: `${line.how}; to keep to ${typed(plan.machine.distinctRates ?? 0)} different rates a pass ${typed(before)} becomes ${typed(total)}: ${figure(given, 1)} lb K2O`,
          working: total,
        }
      : line,
  );
  return {
    ...worked,
    lines,
    rates_lbPerAc: perPass,
    products_lbPerAc: rates_lbPerAc,
    given_lbK2OPerAc: given,
    undone_lbK2OPerAc: undoneBy(worked, given),
    grouped: { before_lbPerAc: before, given_lbK2OPerAc: worked.given_lbK2OPerAc },
  };
}
