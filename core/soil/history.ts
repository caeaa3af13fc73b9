import { z } from 'zod';

/** What is known of a piece of ground beside its soil test. `not told` and null mean that nobody said. */
export const groundHistorySchema = z.object({
  manure: z.enum(['not told', 'none', 'in earlier years', 'most years']).default('not told'),
  water: z.enum(['not told', 'rain-fed', 'irrigated']).default('not told'),
  texture: z
    .enum(['not told', 'sand or loamy sand', 'sandy loam', 'loam or silt loam', 'clay loam', 'clay', 'organic soil'])
    .default('not told'),
  /** Whether stock grazes it or eats its forage. */
  grazed: z.enum(['not told', 'no', 'yes']).default('not told'),
  slope_pct: z.number().min(0).max(100).nullable().default(null),
  /** ISO date of sampling; empty where nobody said. */
  sampledOn: z
    .string()
    .regex(/^(\d{4}-\d{2}-\d{2})?$/, 'The day of sampling is written as 2026-11-25, or left empty.')
    .default(''),
  spreading: z
    .enum(['not told', 'fall', 'winter, ground open', 'winter, frozen or snow-covered', 'spring', 'summer'])
    .default('not told'),
});
export type GroundHistory = z.infer<typeof groundHistorySchema>;

const position = z.tuple([z.number().min(-180).max(180), z.number().min(-90).max(90)]);

/** A drawn area with a history of its own; what it leaves untold is as the field's. */
export const historyAreaSchema = z.object({
  id: z.string().regex(/^[a-z0-9-]{1,40}$/),
  name: z.string().trim().min(1).max(80),
  /** Polygons as RFC 7946 coordinates, WGS84. Of areas that overlap the later one counts. */
  polygons: z.array(z.array(z.array(position).min(4)).min(1)).min(1),
  history: groundHistorySchema.prefault({}),
});
export type HistoryArea = z.infer<typeof historyAreaSchema>;

/** History of the whole field and of drawn areas in it. */
export const groundSettingsSchema = z.object({
  history: groundHistorySchema.prefault({}),
  areas: z.array(historyAreaSchema).max(200).default([]),
});
export type GroundSettings = z.infer<typeof groundSettingsSchema>;

/** The history of a piece of an area: the area's own word, else the field's. */
export function historyIn(field: GroundHistory, area: GroundHistory | null): GroundHistory {
  if (!area) return field;
  const told = <T>(own: T, common: T, untold: T): T => (own === untold ? common : own);
  return {
    manure: told(area.manure, field.manure, 'not told'),
    water: told(area.water, field.water, 'not told'),
    texture: told(area.texture, field.texture, 'not told'),
    grazed: told(area.grazed, field.grazed, 'not told'),
    slope_pct: told(area.slope_pct, field.slope_pct, null),
    sampledOn: told(area.sampledOn, field.sampledOn, ''),
    spreading: told(area.spreading, field.spreading, 'not told'),
  };
}
