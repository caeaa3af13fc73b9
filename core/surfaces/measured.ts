import type { SoilSample } from '../soil/types.ts';
import { MEASURED_IDS, type MeasuredId, type SurfacesSettings } from './settings.ts';

/** What a sample holds of each quantity that can be interpolated; NaN where it was not measured. */
export const MEASURED = {
  k_ppm: (sample) => sample.k_ppm,
  cec_meq: (sample) => sample.cec_meq,
  ca_ppm: (sample) => sample.ca_ppm,
  mg_ppm: (sample) => sample.mg_ppm,
  na_ppm: (sample) => sample.na_ppm,
  ph: (sample) => sample.ph,
  kSat_pct: (sample) => sample.saturation.k_pct,
} as const satisfies Record<MeasuredId, (sample: SoilSample) => number>;

/** Quantities taken from the samples themselves, in their order: K saturation only where the plan asks for it. */
export const measuredIds = ({ saturation }: Pick<SurfacesSettings, 'saturation'>): readonly MeasuredId[] =>
  MEASURED_IDS.filter((id) => id !== 'kSat_pct' || saturation === 'interpolated itself');
