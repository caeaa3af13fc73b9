import { create } from 'zustand';
import { STAGES } from '../../core/base/problem.ts';
import type { Plan } from '../../core/plan/schema.ts';
import type { RateTotals } from '../../core/rates/types.ts';
import { firstChanged } from './derive.ts';
import { type ResultsState, useResults } from './results.ts';

/** What the last change of the plan did to its totals. */
export interface RatesChange {
  readonly tons: number;
  readonly cost: number;
}

interface Known {
  readonly plan: Plan;
  readonly totals: Pick<RateTotals, 'product_tons' | 'cost'>;
}

/** The change against the totals known before; the same one stands while nothing that bears on rates has changed. */
export function changeSince(before: Known | null, now: Known, shown: RatesChange | null): RatesChange | null {
  if (before === null) return null;
  const stage = firstChanged(before.plan, now.plan);
  if (stage === null || STAGES.indexOf(stage) > STAGES.indexOf('rates')) return shown;
  return { tons: now.totals.product_tons - before.totals.product_tons, cost: now.totals.cost - before.totals.cost };
}

export const useRatesChange = create<{ readonly change: RatesChange | null; readonly before: Known | null }>()(() => ({
  change: null,
  before: null,
}));

// Results come from the worker whatever panel is open, and the totals before them are gone once they are taken in.
useResults.subscribe(({ out, outFor }: ResultsState, { out: last }: ResultsState) => {
  if (out === last) return;
  if (!out || !outFor) {
    useRatesChange.setState({ change: null, before: null });
    return;
  }
  // Without rates the totals known before stay: what comes next is told against them.
  if (!out.rates) return;
  const { before, change } = useRatesChange.getState();
  const now = { plan: outFor, totals: out.rates.totals };
  useRatesChange.setState({ before: now, change: changeSince(before, now, change) });
});
