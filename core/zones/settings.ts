import { z } from 'zod';
import { LAYER_IDS } from '../surfaces/types.ts';

const classesOf = z.object({
  layer: z.enum(LAYER_IDS),
  /** Ascending limits; a value on a limit belongs to the class above it. */
  breaks: z.array(z.number()).min(1).max(12),
});

export const zonesSettingsSchema = z.object({
  /** Classes of a surface, or the polygons of zone composites as they are. */
  method: z.enum(['classes', 'composites']).default('classes'),
  by: classesOf.default({ layer: 'k2oNeed_lbPerAc', breaks: [1, 150, 300] }),
  /** Further layers whose classes keep ground apart: light soil, and ground above the saturation range. */
  apart: z
    .array(classesOf)
    .max(2)
    .default([
      { layer: 'cec_meq', breaks: [8] },
      { layer: 'kSat_pct', breaks: [8] },
    ]),
  /** Parts under this join the neighbour with the longest shared border. */
  least_ac: z.number().min(0).max(100).default(2.5),
  smooth: z.boolean().default(true),
  /** Names by zone key. */
  names: z.record(z.string(), z.string()).default({}),
});
export type ZonesSettings = z.infer<typeof zonesSettingsSchema>;
