import { z } from 'zod';

/** What a column holds. */
export const COLUMN_ROLES = [
  'unused',
  'sampleId',
  'lng',
  'lat',
  'k',
  'ca',
  'mg',
  'na',
  'h',
  'ph',
  'bufferPh',
  'cec',
  'kSat',
  'caSat',
  'mgSat',
  'naSat',
  'hSat',
  'organicMatter',
  'depth',
] as const;
export type ColumnRole = (typeof COLUMN_ROLES)[number];

export const COLUMN_UNITS = ['ppm', 'lb/ac', 'meq/100 g', '%', 'in', 'cm', 'deg', 'none'] as const;
export type ColumnUnit = (typeof COLUMN_UNITS)[number];

/** One column of a table as the plan reads it. */
export const columnUseSchema = z.object({
  column: z.string(),
  is: z.enum(COLUMN_ROLES),
  unit: z.enum(COLUMN_UNITS),
});
export type ColumnUse = z.infer<typeof columnUseSchema>;

/** Which files hold the points and the lab values, and how they are read. */
export const soilSettingsSchema = z.object({
  /** Paths of the plan's inputs that together are the sample points; empty when the lab file carries its own places. */
  pointFiles: z.array(z.string()).default([]),
  /** Paths of the inputs with the lab values: a table, points or zone polygons. */
  sampleFiles: z.array(z.string()).default([]),
  /** CRS told by the user where a file names none. */
  crs: z.string().nullable().default(null),
  pointColumns: z.array(columnUseSchema).default([]),
  sampleColumns: z.array(columnUseSchema).default([]),
  /** Depth sampled, where no column says. */
  depth_in: z.number().positive().max(48).default(6),
  extractant: z.enum(['Mehlich-3', 'ammonium acetate', 'other', 'not told']).default('not told'),
  convention: z.enum(['x2 per 6 in.', 'furrow slice', 'bulk density']).default('x2 per 6 in.'),
  bulkDensity_gPerCm3: z.number().min(0.1).max(2.2).default(1.3),
  /** Factors from meq to ppm: exact atomic weights, or 390/200/120/230 as labs round them. */
  factors: z.enum(['exact', 'rounded']).default('exact'),
  /** Where CEC comes from: the lab's column where it has a value, or always by summation. */
  cec: z.enum(['lab, else summation', 'summation']).default('lab, else summation'),
  acidity: z
    .discriminatedUnion('form', [
      z.object({ form: z.literal('12 x (7 - buffer pH)') }),
      z.object({ form: z.literal('8 x (8 - buffer pH)') }),
      z.object({
        form: z.literal('factor x (start - buffer pH)'),
        factor: z.number().positive(),
        start: z.number().min(5).max(9),
      }),
      z.object({ form: z.literal('no acidity') }),
    ])
    .default({ form: '12 x (7 - buffer pH)' }),
  /** A value told only as "below the limit". */
  belowLimit: z.enum(['half the limit', 'the limit', 'set aside']).default('half the limit'),
  /** A person's word on single rows, which overrides the reading's own judgement. */
  decisions: z
    .array(
      z.object({
        file: z.string(),
        row: z.number().int(),
        keep: z.boolean(),
        why: z.string(),
        who: z.string().default(''),
        when: z.string().default(''),
      }),
    )
    .default([]),
});
export type SoilSettings = z.infer<typeof soilSettingsSchema>;
