import { z } from 'zod';
import { handoffSettingsSchema } from '../handoff/settings.ts';
import { ratesSettingsSchema } from '../rates/settings.ts';
import { groundSettingsSchema } from '../soil/history.ts';
import { soilSettingsSchema } from '../soil/settings.ts';
import { surfacesSettingsSchema } from '../surfaces/settings.ts';
import { zonesSettingsSchema } from '../zones/settings.ts';

export const PLAN_VERSION = 2;

/** A file that belongs to the plan. `path` is below the plan's folder, with forward slashes. */
export const planInputSchema = z.object({
  path: z
    .string()
    .min(1)
    .max(400)
    .refine((path) => isInnerPath(path), 'must stay inside the plan folder'),
  /** Name the file came with. */
  name: z.string().min(1).max(255),
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  size: z.number().int().nonnegative(),
});
export type PlanInput = z.infer<typeof planInputSchema>;

const position = z.tuple([z.number().min(-180).max(180), z.number().min(-90).max(90)]);

/** What a distance is kept from; places are WGS84 longitude and latitude. */
const setbackGround = z.discriminatedUnion('from', [
  z.object({ from: z.literal('files'), files: z.array(z.string()).min(1) }),
  z.object({ from: z.literal('point'), at: position }),
  z.object({ from: z.literal('line'), line: z.array(position).min(2).max(20_000) }),
  z.object({ from: z.literal('polygon'), rings: z.array(z.array(position).min(4)).min(1) }),
]);

export const SETBACK_KINDS = ['well', 'stream or ditch', 'pond or wetland', 'house or yard', 'other'] as const;

/** Ground about a well, a stream, a house that is not to be spread: the person gives the distance, the local code decides it. */
export const setbackSchema = z.object({
  id: z.string().regex(/^[a-z0-9-]{1,40}$/),
  name: z.string().trim().min(1).max(80),
  kind: z.enum(SETBACK_KINDS).default('other'),
  ground: setbackGround,
  distance_m: z.number().min(0).max(2000),
});
export type Setback = z.infer<typeof setbackSchema>;

export const fieldSettingsSchema = z.object({
  boundaryFiles: z.array(z.string()).default([]),
  /** Polygons not to be spread. */
  keepOutFiles: z.array(z.string()).default([]),
  setbacks: z.array(setbackSchema).max(500).default([]),
  crs: z.string().nullable().default(null),
});
export type FieldSettings = z.infer<typeof fieldSettingsSchema>;

/** A raster that the user brought: one band of a GeoTIFF among the inputs. */
export const ownRasterSchema = z.object({
  id: z.string().regex(/^[a-z0-9-]{1,40}$/),
  file: z.string(),
  /** From 1. */
  band: z.number().int().positive().default(1),
  name: z.string().min(1).max(80),
  unit: z.string().max(20).default(''),
  /** CRS told where the file names none. */
  crs: z.string().nullable().default(null),
  /** What is said of pixels that hold an evident fill, such as -9999, which the file does not name as no-data. */
  fill: z.enum(['unsaid', 'no data', 'a value']).default('unsaid'),
});
export type OwnRaster = z.infer<typeof ownRasterSchema>;

/** The one truth: every choice a person made. Whatever is derived can be thrown away and made again. */
export const planSchema = z.object({
  format: z.literal('pearlash-plan'),
  version: z.literal(PLAN_VERSION),
  name: z.string().min(1).max(200),
  inputs: z.array(planInputSchema).default([]),
  field: fieldSettingsSchema.prefault({}),
  ground: groundSettingsSchema.prefault({}),
  soil: soilSettingsSchema.prefault({}),
  surfaces: surfacesSettingsSchema.prefault({}),
  rasters: z.array(ownRasterSchema).max(20).default([]),
  zones: zonesSettingsSchema.prefault({}),
  rates: ratesSettingsSchema.prefault({}),
  handoff: handoffSettingsSchema.prefault({}),
});
export type Plan = z.infer<typeof planSchema>;

/** True for a relative path with forward slashes that cannot leave its folder. */
export function isInnerPath(path: string): boolean {
  if (path.includes('\\') || path.includes('\0') || path.startsWith('/') || /^[A-Za-z]:/.test(path)) return false;
  return path.split('/').every((part) => part !== '' && part !== '.' && part !== '..');
}

/** A plan with every default filled in and nothing in it. */
export const emptyPlan = (name: string): Plan =>
  planSchema.parse({ format: 'pearlash-plan', version: PLAN_VERSION, name });
