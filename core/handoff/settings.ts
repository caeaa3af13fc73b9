import { z } from 'zod';
import { M_PER_FT } from '../base/units.ts';

/** Cells along the way the machine drives. Lengths in metres. */
export const cellSettingsSchema = z.object({
  /** Way of driving, degrees clockwise from north; null takes the longest edge of the field. */
  heading_deg: z.number().min(0).lt(360).nullable().default(null),
  /** Across the way: what the spreader covers in one run. 60 ft: common practice, no source. */
  swath_m: z
    .number()
    .min(2)
    .max(100)
    .default(60 * M_PER_FT),
  /** Along the way. */
  length_m: z
    .number()
    .min(2)
    .max(500)
    .default(60 * M_PER_FT),
  /** A cut cell smaller than this share of a whole one is joined to the neighbour it shares most edge with. */
  least_share: z.number().min(0).max(0.9).default(0.25),
  /** Most the rate may change from one cell to the next along the way, lb/ac of product; null sets no limit. */
  ramp_lbPerAc: z.number().positive().nullable().default(null),
  /** Cells of the same rates that touch become one record. */
  joinEqual: z.boolean().default(false),
});
export type CellSettings = z.infer<typeof cellSettingsSchema>;

export const handoffSettingsSchema = z.object({
  /** Base of the file names; null makes one of the plan's name. */
  baseName: z
    .string()
    .regex(
      /^[A-Za-z][A-Za-z0-9_-]{0,39}$/,
      'a letter of A to Z first, then letters, digits, - or _, at most 40 characters',
    )
    .nullable()
    .default(null),
  /** File names of at most 8 capital letters and digits, for controllers that take no longer ones. */
  shortNames: z.boolean().default(false),
  /** What a record is: a zone as it lies, or a cell along the way of driving. */
  shape: z.enum(['zones', 'cells']).default('zones'),
  cells: cellSettingsSchema.prefault({}),
  /** One record per part of a zone (read by every controller), or one multipart record per zone. */
  parts: z.enum(['apart', 'together']).default('apart'),
  rateUnit: z.enum(['lb/ac', 'kg/ha']).default('lb/ac'),
  /** Several passes: a set of files each, or a rate column each in one set. */
  passes: z.enum(['files', 'columns']).default('files'),
  /** Several products, likewise. */
  products: z.enum(['columns', 'files']).default('columns'),
  /** What a withheld zone becomes: it blocks the export until decided. */
  withheld: z.enum(['blocks', 'written 0']).default('blocks'),
  /** Zones held back by their role. */
  holdBack: z.enum(['written 0', 'left out']).default('written 0'),
  /** Rates of the first product where the machine is outside every polygon, and where it has lost its position, lb/ac. */
  outside_lbPerAc: z.number().nonnegative().default(0),
  noPosition_lbPerAc: z.number().nonnegative().default(0),
  /** Which files are written. The text about the columns and the manifest always are. */
  files: z
    .object({
      geojson: z.boolean().default(true),
      shapefile: z.boolean().default(true),
      /** The parts of the shapefile beside its zip. */
      loose: z.boolean().default(true),
      /** ISO 11783-10. */
      taskData: z.boolean().default(true),
      /** Zone table and ledger as CSV. */
      tables: z.boolean().default(true),
      /** Surfaces and rates as GeoTIFF. */
      rasters: z.boolean().default(true),
      sheet: z.boolean().default(true),
    })
    .prefault({}),
  /** What the controller takes; null is no limit. */
  limits: z
    .object({
      mostRecords: z.number().int().positive().nullable().default(null),
      mostRates: z.number().int().positive().nullable().default(null),
      least_ac: z.number().positive().nullable().default(null),
    })
    .prefault({}),
  /** Short tons that the spreader or tender holds, for the load plan; null makes none. */
  hopper_tons: z.number().positive().nullable().default(null),
  sheet: z
    .object({
      paper: z.enum(['Letter', 'A4']).default('Letter'),
      /** Grower, farm, field number: whatever shall stand under the name. */
      heading: z.string().trim().max(120).default(''),
      /** Words to the applicator. */
      remarks: z.string().trim().max(600).default(''),
    })
    .prefault({}),
});
export type HandoffSettings = z.infer<typeof handoffSettingsSchema>;
