import { z } from 'zod';

export const surfacesSettingsSchema = z.object({
  cell_m: z.number().min(1).max(100).default(10),
  power: z.number().min(0.5).max(6).default(2),
  /** Nearest samples used per cell; 0 uses all. */
  neighbours: z.number().int().min(0).max(64).default(12),
  /** A cell farther than this from its nearest sample is marked as far. */
  far_m: z.number().min(10).max(2000).default(150),
});
export type SurfacesSettings = z.infer<typeof surfacesSettingsSchema>;
