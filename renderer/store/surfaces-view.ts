import { create } from 'zustand';
import type { MeasuredId } from '../../core/surfaces/settings.ts';
import type { AnyLayerId } from '../../core/surfaces/types.ts';
import type { ErrorMeasure } from '../charts/error-plot.ts';

/** What is looked at in the surfaces panel. Nothing here belongs to the plan. */
export interface SurfacesView {
  readonly quantity: MeasuredId;
  readonly measure: ErrorMeasure;
  /** Plots shown as tables, by the panel's tab. */
  readonly asTable: ReadonlySet<string>;
  /** The two layers held against one another; null takes the first that there are. */
  readonly pair: readonly [AnyLayerId | null, AnyLayerId | null];
}

export const useSurfacesView = create<SurfacesView>()(() => ({
  quantity: 'k_ppm',
  measure: 'rmse',
  asTable: new Set(),
  pair: [null, null],
}));

export function toggleTable(tab: string): void {
  const asTable = new Set(useSurfacesView.getState().asTable);
  if (!asTable.delete(tab)) asTable.add(tab);
  useSurfacesView.setState({ asTable });
}
