import { LB_PER_SHORT_TON } from '../base/units.ts';
import { rateOf } from './sets.ts';
import type { LoadLine, Prescription } from './types.ts';

/** Tons under this are no load: two pounds. */
const LEAST_TONS = 0.001;

/**
 * How each product of each pass is carried to the field: whole loads of the hopper, what the last one holds, and the acres of one full load at the
 * pass's mean rate where it spreads, at most those that the pass spreads. Nothing for a product that a pass does not spread; empty where nobody said what a load holds.
 */
export function loadLines(prescriptions: readonly Prescription[], hopper_tons: number | null): LoadLine[] {
  if (hopper_tons === null) return [];
  return prescriptions.flatMap(({ pass, pieces, totals }) =>
    totals.byProduct.flatMap(({ product, product_lb, product_tons: tons }, index): LoadLine[] => {
      if (!(tons > 0)) return [];
      const spread_ac = pieces.reduce((sum, piece) => sum + (rateOf(piece, index) > 0 ? piece.acres : 0), 0);
      const full = Math.floor((tons + LEAST_TONS) / hopper_tons);
      const rest = tons - full * hopper_tons;
      const last_tons = rest > LEAST_TONS ? rest : 0;
      const acresPerLoad = Math.min(spread_ac, (hopper_tons * LB_PER_SHORT_TON * spread_ac) / product_lb);
      return [{ pass, product, tons, hopper_tons, full, last_tons, acresPerLoad }];
    }),
  );
}
