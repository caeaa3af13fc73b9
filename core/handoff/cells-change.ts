import { caution, note, type Problem } from '../base/problem.ts';
import { KG_PER_LB } from '../base/units.ts';
import type { RatesSettings } from '../rates/settings.ts';
import type { RatesOut } from '../rates/types.ts';
import type { HandoffSettings } from './settings.ts';
import type { HandoffOut, Prescription } from './types.ts';

/** Files with another weight than the zones, by more than this part of it, ask to be looked at. Ours. */
const MUCH_SHARE = 0.02;
/** Less than half a pound over the field is no change. */
const LEAST_LB = 0.5;

/** What is in the files against what the zones ask. */
export interface CellsChange {
  /** What changed it, as the beginning of a sentence: `Cells and the limit on change`. */
  readonly what: string;
  /** Product that the zones ask, rounded for the machine, all passes and products, lb. */
  readonly zones_lb: number;
  /** Files less zones, lb. */
  readonly change_lb: number;
}

/** Settings that the change is told by. */
type ChangeSettings = Pick<HandoffSettings, 'shape' | 'cells' | 'rateUnit'>;

/** What cutting the zones into cells does to the product as a whole; null where zones are written as they lie. */
export function cellsChange(
  files: Pick<HandoffOut['totals'], 'product_lb'>,
  rates: Pick<RatesOut, 'totals'>,
  settings: ChangeSettings,
  machine: RatesSettings['machine'],
): CellsChange | null {
  if (settings.shape === 'zones') return null;
  const zones_lb = rates.totals.product_lb;
  const parts = [
    'cells',
    ...(machine.distinctRates === null ? [] : ['few rates']),
    ...(settings.cells.ramp_lbPerAc === null ? [] : ['the limit on change']),
  ];
  const last = parts.pop() ?? '';
  const what = parts.length === 0 ? last : `${parts.join(', ')} and ${last}`;
  return { what: `${what.charAt(0).toUpperCase()}${what.slice(1)}`, zones_lb, change_lb: files.product_lb - zones_lb };
}

/** The change as the one line that every total beside the files has: `Cells and the limit on change take 579 lb`. */
export function changeWords({ what, change_lb }: CellsChange, rateUnit: HandoffSettings['rateUnit']): string {
  const metric = rateUnit === 'kg/ha';
  if (Math.abs(change_lb) < LEAST_LB) return `${what} change nothing in all`;
  const amount = Math.abs(change_lb) * (metric ? KG_PER_LB : 1);
  return `${what} ${change_lb < 0 ? 'take' : 'add'} ${amount.toFixed(0).replace(/\B(?=(\d{3})+$)/g, ',')} ${metric ? 'kg' : 'lb'}`;
}

/**
 * Problems: `handoff-cells-change` (the files hold another weight than the zones ask): a note, a caution above 2 %. None where zones are
 * written as they lie, or the weights are the same.
 */
export function changeProblems(change: CellsChange | null, settings: ChangeSettings): readonly Problem[] {
  if (change === null || Math.abs(change.change_lb) < LEAST_LB) return [];
  const share = Math.abs(change.change_lb) / Math.max(1, change.zones_lb);
  const much = share > MUCH_SHARE;
  const message = `${changeWords(change, settings.rateUnit)}, ${(share * 100).toFixed(1)} % of what the zones ask: totals and cost are of the files, rates by zone are what the zones ask.`;
  return [
    (much ? caution : note)(
      'handoff-cells-change',
      message,
      much
        ? 'Shorter cells or a higher limit on change keep nearer to the zones; look at the map of rates before spreading.'
        : 'Nothing to do: load by the files.',
      { setting: settings.cells.ramp_lbPerAc === null ? 'handoff.shape' : 'handoff.cells.ramp_lbPerAc' },
    ),
  ];
}

/** K2O in what the files spread, all passes and products, lb. */
export const k2oInFiles_lb = (prescriptions: readonly Pick<Prescription, 'pieces'>[]): number =>
  prescriptions.reduce(
    (sum, { pieces }) => pieces.reduce((own, { acres, k2o_lbPerAc }) => own + acres * k2o_lbPerAc, sum),
    0,
  );
