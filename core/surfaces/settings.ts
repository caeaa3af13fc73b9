import { z } from 'zod';

const power = z.number().min(0.5).max(6);
/** Nearest samples used per cell; 0 uses all. */
const neighbours = z.number().int().min(0).max(64);
/** Samples farther than this from a cell have no say in it; null sets no limit. */
const radius_m = z.number().min(5).max(5000).nullable();

/** Quantities that are interpolated from the samples themselves. */
export const MEASURED_IDS = ['k_ppm', 'cec_meq', 'ca_ppm', 'mg_ppm', 'na_ppm', 'ph', 'kSat_pct'] as const;
export type MeasuredId = (typeof MEASURED_IDS)[number];

/** What one quantity does otherwise than the rest; what is absent follows the common setting. */
const ownWay = z.object({
  power: power.optional(),
  neighbours: neighbours.optional(),
  radius_m: radius_m.optional(),
});
export type OwnWay = z.infer<typeof ownWay>;

export const surfacesSettingsSchema = z.object({
  cell_m: z.number().min(1).max(100).default(10),
  power: power.default(2),
  neighbours: neighbours.default(12),
  radius_m: radius_m.default(null),
  /** Settings of single quantities over the common ones. */
  ways: z.partialRecord(z.enum(MEASURED_IDS), ownWay).default({}),
  /** K saturation of a cell from its own K and CEC, or the samples' saturations interpolated as a quantity of their own. */
  saturation: z.enum(['from K and CEC', 'interpolated itself']).default('from K and CEC'),
  /** A cell farther than this from its nearest sample is marked as far. */
  far_m: z.number().min(10).max(2000).default(150),
});
export type SurfacesSettings = z.infer<typeof surfacesSettingsSchema>;
