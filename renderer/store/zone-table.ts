import { create } from 'zustand';
import type { AnyLayerId } from '../../core/surfaces/types.ts';

/** A column of the table of zones. */
export type ZoneColumn = 'letter' | 'samples' | 'share' | 'acres' | AnyLayerId;

/** What the table of zones shows, and by which column it is sorted. Nothing here belongs to the plan. */
export interface ZoneTableState {
  readonly stat: 'mean' | 'median' | 'cv_pct' | 'min' | 'max';
  readonly layers: readonly AnyLayerId[];
  readonly sort: { readonly by: ZoneColumn; readonly falling: boolean };
}

export const useZoneTable = create<ZoneTableState>()(() => ({
  stat: 'mean',
  layers: ['k_ppm', 'kSat_pct', 'cec_meq'],
  sort: { by: 'letter', falling: false },
}));
