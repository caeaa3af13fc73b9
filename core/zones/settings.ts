import { z } from 'zod';
import { type AnyLayerId, LAYER_IDS } from '../surfaces/types.ts';

/** A layer of the program, or one that the user brought (`own.<id>`). */
const anyLayer = z.custom<AnyLayerId>(
  (value) =>
    typeof value === 'string' &&
    ((LAYER_IDS as readonly string[]).includes(value) || /^own\.[a-z0-9-]{1,40}$/.test(value)),
  `must be one of ${LAYER_IDS.join(', ')}, or own. and the id of a raster`,
);

const classesOf = z.object({
  layer: anyLayer,
  /** Ascending limits; a value on a limit belongs to the class above it. */
  breaks: z.array(z.number()).min(1).max(12),
});
export type ClassesOf = z.infer<typeof classesOf>;

/** Key of a zone that was drawn or cut by hand begins with this. */
export const HAND_KEY = 'h';
const handId = z.string().regex(/^[a-z0-9]{1,12}$/);
const position = z.tuple([z.number().min(-180).max(180), z.number().min(-90).max(90)]);
const line = z.array(position).min(2).max(20_000);

/** One change of the zones by hand, in the order in which they were made. Places are WGS84 longitude and latitude. */
const zoneEdit = z.discriminatedUnion('does', [
  /** A zone of its own where the polygon lies; its key is `h` and the id. Rings as RFC 7946, the outer one first. */
  z.object({ does: z.literal('draw'), id: handId, rings: z.array(z.array(position).min(4)).min(1) }),
  /** Along the line, what it cuts off a zone becomes one of its own; the largest piece keeps the key. */
  z.object({ does: z.literal('cut'), id: handId, zone: z.string(), line }),
  /** Zones become one, under the key of `into`. */
  z.object({ does: z.literal('join'), zones: z.array(z.string()).min(1), into: z.string() }),
  /** Cells whose middle lies within half the width of the line go over to a zone. */
  z.object({
    does: z.literal('paint'),
    into: z.string(),
    line: z.array(position).min(1).max(20_000),
    width_m: z.number().min(1).max(500),
  }),
]);
export type ZoneEdit = z.infer<typeof zoneEdit>;

export const ZONE_ROLES = ['spread', 'hold back', 'keep out'] as const;
export type ZoneRole = (typeof ZONE_ROLES)[number];

export const zonesSettingsSchema = z.object({
  /** Classes of a surface, clusters of several, polygons of a file, or the polygons of zone composites as they are. */
  method: z.enum(['classes', 'clusters', 'polygons', 'composites']).default('classes'),
  by: classesOf.default({ layer: 'k2oNeed_lbPerAc', breaks: [1, 150, 300] }),
  /** Where the limits of `by` come from: as they stand there, or worked out from the layer. */
  limits: z.enum(['as typed', 'equal area', 'natural breaks', 'floors and range']).default('as typed'),
  /** Classes that equal area and natural breaks make. */
  classes: z.number().int().min(2).max(8).default(4),
  /** Further layers whose classes keep ground apart: light soil, and ground above the saturation range. */
  apart: z
    .array(classesOf)
    .max(2)
    .default([
      { layer: 'cec_meq', breaks: [8] },
      { layer: 'kSat_pct', breaks: [8] },
    ]),
  /** k-means on standardised layers. */
  clusters: z
    .object({
      layers: z.array(anyLayer).min(1).max(8),
      k: z.number().int().min(2).max(8),
      seed: z.number().int().min(0).max(2_147_483_647),
    })
    .default({ layers: ['k_ppm', 'kSat_pct', 'cec_meq'], k: 4, seed: 1 }),
  /** Polygons of a file among the inputs: sampled zones, or units of a soil survey. */
  polygons: z
    .object({
      files: z.array(z.string()),
      /** Column whose value names a zone: records of one value are one zone; null makes each record its own. */
      column: z.string().nullable(),
      crs: z.string().nullable(),
      /** Key of the zone that ground without a polygon goes to; null leaves it without a class. */
      bareTo: z.string().nullable(),
    })
    .default({ files: [], column: null, crs: null, bareTo: null }),
  /** Parts under this join a neighbour. */
  least_ac: z.number().min(0).max(100).default(2.5),
  /** Which neighbour: the one with the longest shared border, or the one whose mean is nearest. */
  joins: z.enum(['longest border', 'nearest value']).default('longest border'),
  /** Parts narrower than this are opened away; null leaves them. */
  open_m: z.number().min(1).max(200).nullable().default(null),
  smooth: z.boolean().default(true),
  edits: z.array(zoneEdit).max(2000).default([]),
  /** What zones are for, by key; `spread` where nothing is told. */
  roles: z.record(z.string(), z.enum(ZONE_ROLES)).default({}),
  /** Names by zone key. */
  names: z.record(z.string(), z.string()).default({}),
});
export type ZonesSettings = z.infer<typeof zonesSettingsSchema>;
