import { fail, ok, type Problem, type Result } from '../base/problem.ts';
import { difference } from '../geo/clip.ts';
import type { MultiPolygon } from '../geo/types.ts';
import type { ProductChoice, RatesSettings } from '../rates/settings.ts';
import type { RatesOut } from '../rates/types.ts';
import { cellPrescriptions } from './cells/make.ts';
import { withFewRates } from './few-rates.ts';
import { addTotals, type Loads } from './pieces.ts';
import type { HandoffSettings } from './settings.ts';
import type { CellsOut, Prescription } from './types.ts';

/** What records are made of. */
export interface ShapeInput {
  readonly settings: HandoffSettings;
  readonly ground: MultiPolygon;
  /** Zones that are in no file. */
  readonly leftOut: MultiPolygon;
  readonly machine: RatesSettings['machine'];
  readonly rates: RatesOut;
  readonly loads: Loads & { readonly products: readonly Pick<ProductChoice, 'k2o_pct'>[] };
}

/** The prescriptions with the records that the settings ask for; `cells` is null for zones as they lie. */
export interface Records {
  readonly prescriptions: readonly Prescription[];
  readonly cells: CellsOut | null;
}

/**
 * Zones as they lie, or cells along the way of driving with no more different rates than the controller takes.
 * Problems: those of `cellPrescriptions` and `withFewRates`.
 */
export function recordsOf(zones: readonly Prescription[], input: ShapeInput): Result<Records> {
  const { settings, ground, leftOut, machine, rates, loads } = input;
  if (settings.shape === 'zones') return ok({ prescriptions: zones, cells: null });
  const cut = cellPrescriptions(zones, {
    ground: leftOut.length > 0 ? difference(ground, leftOut) : ground,
    settings: settings.cells,
    alike: settings.passes === 'columns' ? 'over all passes' : 'per pass',
    machine,
    loads,
  });
  if (!cut.ok) return fail(...cut.problems);
  const { prescriptions, cells } = cut.value;
  if (machine.distinctRates === null) return ok({ prescriptions, cells }, cut.problems);
  const few = withFewRates(prescriptions, rates, machine.distinctRates, loads);
  const change_lb = pounds(few.prescriptions) - pounds(prescriptions);
  // The grouping says itself where it could not keep to the number.
  const problems: Problem[] = cut.problems.filter(({ code }) => code !== 'handoff-cells-rates');
  return ok({ prescriptions: few.prescriptions, cells: { ...cells, change_lb: cells.change_lb + change_lb } }, [
    ...problems,
    ...few.problems,
  ]);
}

const pounds = (prescriptions: readonly Prescription[]): number =>
  addTotals(prescriptions.map(({ totals }) => totals)).product_lb;
