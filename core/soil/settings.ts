import { z } from 'zod';

/** Quantities of the soil that a column may hold, read as numbers. */
export const QUANTITIES = [
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
] as const;

/** What a column holds. */
export const COLUMN_ROLES = [
  'unused',
  'sampleId',
  'lng',
  'lat',
  ...QUANTITIES,
  'depth',
  'depthTop',
  'date',
  'density',
] as const;
export type ColumnRole = (typeof COLUMN_ROLES)[number];

export const COLUMN_UNITS = [
  'ppm',
  'mg/kg',
  'g/kg',
  'mg/100 g',
  'mg/L',
  'lb/ac',
  'kg/ha',
  'meq/100 g',
  'cmol/kg',
  'mmolc/kg',
  'mmol/kg',
  '%',
  'in',
  'cm',
  'mm',
  'dm',
  'm',
  'ft',
  'deg',
  'g/cm3',
  'none',
] as const;
export type ColumnUnit = (typeof COLUMN_UNITS)[number];

export const EXTRACTANTS = ['Mehlich-3', 'ammonium acetate', 'field-moist', 'other', 'not told'] as const;

/** One column of a table as the plan reads it. */
export const columnUseSchema = z.object({
  column: z.string(),
  is: z.enum(COLUMN_ROLES),
  unit: z.enum(COLUMN_UNITS),
  /** The figure counts the oxide (K2O, CaO, MgO) instead of the element. Absent: the element. */
  oxide: z.boolean().optional(),
  /** Depth that a figure in lb/ac or kg/ha counts, where it is another than the depth sampled. */
  of_in: z.number().positive().max(48).optional(),
  /** A person told it, or confirmed the guess in spite of its doubt. Absent: nobody did. */
  confirmed: z.boolean().optional(),
});
export type ColumnUse = z.infer<typeof columnUseSchema>;

/** Which files hold the points and the lab values, and how they are read. */
export const soilSettingsSchema = z.object({
  /** Paths of the plan's inputs that together are the sample points; empty when the lab file carries its own places. */
  pointFiles: z.array(z.string()).default([]),
  /** Paths of the inputs with the lab values: a table, points or zone polygons. */
  sampleFiles: z.array(z.string()).default([]),
  /** Sheet of a workbook, or table of a zip, that holds the lab values; null takes the one with the most rows, of equal ones the latest year's. */
  sampleTable: z.string().nullable().default(null),
  /** CRS told by the user where a file names none. */
  crs: z.string().nullable().default(null),
  pointColumns: z.array(columnUseSchema).default([]),
  sampleColumns: z.array(columnUseSchema).default([]),
  /** Depth sampled, where no column says. */
  depth_in: z.number().positive().max(48).default(6),
  extractant: z.enum(EXTRACTANTS).default('not told'),
  /** K of the lab turned into what another extraction would give: only by a person's choice, with the region it was found in. */
  conversion: z
    .object({
      to: z.enum(['Mehlich-3', 'ammonium acetate']),
      /** K by `to` for each ppm of K by the lab's extractant. */
      factor: z.number().min(0.3).max(3),
      region: z.string().trim().min(1, 'A conversion between extractants names the region it was found in.'),
    })
    .nullable()
    .default(null),
  /** g/cm3 of the dried, ground soil that a lab scoops: what turns mg/L into ppm. Null until told. */
  scooped_gPerCm3: z.number().min(0.3).max(2).nullable().default(null),
  /** Which tests count where a file holds several: a year, and a depth as the file tells it; null takes the latest and the shallowest. */
  year: z.number().int().min(1950).max(2200).nullable().default(null),
  depthTold: z.string().nullable().default(null),
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
  /** At this soil pH and above no acidity is counted, whatever the buffer says; null counts it as the form gives it. */
  noAcidityFrom_ph: z.number().min(5).max(9).nullable().default(null),
  /** The lab's saturation where it has one, or always worked out from the cations and CEC. */
  saturation: z.enum(['lab, else worked out', 'worked out']).default('worked out'),
  /** Points of percent by which the lab's saturation may differ from the one worked out before it is listed. */
  tolerance_pct: z.number().min(0.05).max(20).default(0.5),
  /** A value told only as "below the limit". */
  belowLimit: z.enum(['half the limit', 'the limit', 'set aside']).default('half the limit'),
  /** A value told only as "above the limit". */
  aboveLimit: z.enum(['the limit', 'set aside']).default('the limit'),
  /** "n.d." and "trace". */
  notDetected: z.enum(['not measured', 'zero', 'set aside']).default('not measured'),
  /** Ids that a person said are the same sample, though they are written differently. */
  sameIds: z
    .array(z.object({ lab: z.string().trim().min(1), point: z.string().trim().min(1) }))
    .max(2000)
    .default([]),
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
