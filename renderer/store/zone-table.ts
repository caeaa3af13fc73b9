import { create } from 'zustand';
import type { AnyLayerId } from '../../core/surfaces/types.ts';

/** A column of the table of zones. */
export type ZoneColumn = 'letter' | 'samples' | 'share' | 'acres' | AnyLayerId;

/** What one zoning told apart, kept to set another beside it. */
export interface KeptZoning {
  readonly says: string;
  readonly explained: Readonly<Partial<Record<AnyLayerId, number>>>;
}

/** What the table of zones shows, by which column it is sorted, and how the tools are set. Nothing here belongs to the plan. */
export interface ZoneTableState {
  readonly stat: 'mean' | 'median' | 'cv_pct' | 'min' | 'max';
  readonly layers: readonly AnyLayerId[];
  readonly sort: { readonly by: ZoneColumn; readonly falling: boolean };
  readonly kept: KeptZoning | null;
  readonly brush_m: number;
}

export const useZoneTable = create<ZoneTableState>()(() => ({
  stat: 'mean',
  layers: ['k_ppm', 'kSat_pct', 'cec_meq'],
  sort: { by: 'letter', falling: false },
  kept: null,
  // 100 ft: about a swath.
  brush_m: 30.48,
}));
