import { toTons } from '../base/units.ts';
import type { RatesSettings } from './settings.ts';
import type { RateTotals, ZoneRate } from './types.ts';

/**
 * Sums over the zones: acres x rate. Withheld zones count in `acres` and `withheld_ac` and in nothing else; those that
 * are kept out (`keptOut`, keys of zones) in `keptOut_ac` alone, since they are no ground to spread on. A pass's acres are those
 * it spreads on. `exact_lb` is before the machine's least rate and step (a hand-typed rate counts as typed).
 */
export function rateTotals(
  zones: readonly ZoneRate[],
  passes: RatesSettings['passes'],
  keptOut: ReadonlySet<string>,
): RateTotals {
  let acres = 0;
  let product_lb = 0;
  let exact_lb = 0;
  let k2o_lb = 0;
  let undone_lbK2O = 0;
  let cost = 0;
  let withheld_ac = 0;
  let keptOut_ac = 0;
  const byPass = passes.map((pass) => ({ name: pass.name, acres: 0, product_lb: 0 }));
  for (const zone of zones) {
    if (keptOut.has(zone.key)) {
      keptOut_ac += zone.acres;
      continue;
    }
    acres += zone.acres;
    if (zone.withheld) {
      withheld_ac += zone.acres;
      continue;
    }
    product_lb += zone.acres * (zone.rate_lbPerAc ?? 0);
    exact_lb += zone.acres * (zone.exact_lbPerAc ?? 0);
    k2o_lb += zone.acres * (zone.k2o_lbPerAc ?? 0);
    undone_lbK2O += zone.acres * zone.undone_lbK2OPerAc;
    cost += zone.acres * (zone.cost_perAc ?? 0);
    zone.passes.forEach((pass, index) => {
      const sum = byPass[index];
      if (!sum || pass.rate_lbPerAc === 0) return;
      sum.acres += zone.acres;
      sum.product_lb += zone.acres * pass.rate_lbPerAc;
    });
  }
  return {
    acres,
    product_lb,
    product_tons: toTons(product_lb),
    exact_lb,
    k2o_lb,
    undone_lbK2O,
    cost,
    byPass,
    withheld_ac,
    keptOut_ac,
  };
}
