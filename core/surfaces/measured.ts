import type { SoilSample } from '../soil/types.ts';
import type { LayerId } from './types.ts';

/** Layers that are interpolated, each from the samples that have it. The others are worked out cell by cell. */
export const MEASURED = {
  k_ppm: (sample) => sample.k_ppm,
  cec_meq: (sample) => sample.cec_meq,
  ca_ppm: (sample) => sample.ca_ppm,
  mg_ppm: (sample) => sample.mg_ppm,
  na_ppm: (sample) => sample.na_ppm,
  ph: (sample) => sample.ph,
} as const satisfies Partial<Record<LayerId, (sample: SoilSample) => number>>;
export type MeasuredLayer = keyof typeof MEASURED;
export const MEASURED_LAYERS = Object.keys(MEASURED) as MeasuredLayer[]; // the keys of a literal
