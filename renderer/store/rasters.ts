import { create } from 'zustand';
import type { Problem } from '../../core/base/problem.ts';
import type { NamedBytes } from '../../core/formats/types.ts';

/** A raster on its way into the plan that could not be read as it is. */
export interface WaitingRaster {
  readonly file: NamedBytes;
  readonly problems: readonly Problem[];
}

/** Rasters beside the plan: what is being read, what waits for an answer, and what is known of the files. */
export interface RastersState {
  /** Name of the file that is being read; null when none is. */
  readonly reading: string | null;
  readonly waiting: readonly WaitingRaster[];
  /** Bands by the input's path. */
  readonly bands: Readonly<Record<string, number>>;
}

export const NO_RASTERS: RastersState = { reading: null, waiting: [], bands: {} };
export const useRasters = create<RastersState>()(() => NO_RASTERS);
