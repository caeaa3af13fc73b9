import { z } from 'zod';

/** A cap on K2O a year by what the soil can hold: applies under `under_meq` of CEC; null for all the rest. */
const holdingClass = z.object({
  name: z.string(),
  under_meq: z.number().positive().nullable(),
  perYear_lbK2OPerAc: z.number().positive().nullable(),
  perPass_lbK2OPerAc: z.number().positive().nullable(),
  /** Light ground: K above the floor is not counted as a bank, and one pass stays in season. */
  light: z.boolean(),
});
export type HoldingClass = z.infer<typeof holdingClass>;

export const ratesSettingsSchema = z.object({
  /** Id of a crop in the crop list; null until told. */
  crop: z.string().nullable().default(null),
  /** In the crop's own unit: bu/ac or ton/ac. */
  yieldGoal: z.number().positive().nullable().default(null),
  /** What leaves the field. */
  harvest: z.enum(['grain', 'grain and residue']).default('grain'),
  /** Figures typed over the crop list's, lb K2O per unit of yield; null uses the list's. */
  removal_lbK2OPerUnit: z.number().nonnegative().nullable().default(null),
  uptake_lbK2OPerUnit: z.number().nonnegative().nullable().default(null),
  governs: z.enum(['larger', 'ppm', 'saturation']).default('larger'),
  /** False until a person said which target governs; the output then says that the larger was taken. */
  governsTold: z.boolean().default(false),
  /** Reason typed where saturation shall govern although CEC is overstated. */
  calcareousReason: z.string().default(''),
  floor_ppm: z.number().positive().default(150),
  floor_pct: z.number().positive().max(50).default(4),
  rangeTop_pct: z.number().positive().max(60).default(8),
  /** Saturation at which the crop line has come down to 0 above the range. */
  zeroAt_pct: z.number().positive().max(80).default(12),
  note_pct: z.number().positive().default(10),
  caution_pct: z.number().positive().default(12),
  strong_pct: z.number().positive().default(15),
  buildUp_years: z.number().int().min(1).max(20).default(4),
  reading: z.enum(['mean', 'median', '20th percentile']).default('mean'),
  holding: z
    .array(holdingClass)
    .min(1)
    .default([
      { name: 'light', under_meq: 8, perYear_lbK2OPerAc: 120, perPass_lbK2OPerAc: 60, light: true },
      { name: 'medium', under_meq: 15, perYear_lbK2OPerAc: 240, perPass_lbK2OPerAc: null, light: false },
      { name: 'heavy', under_meq: null, perYear_lbK2OPerAc: null, perPass_lbK2OPerAc: null, light: false },
    ]),
  /** At most two; the first is before the season. Cap in lb of product per acre. */
  passes: z
    .array(z.object({ name: z.string(), inSeason: z.boolean(), most_lbPerAc: z.number().positive() }))
    .min(1)
    .max(2)
    .default([
      { name: 'before the season', inSeason: false, most_lbPerAc: 500 },
      { name: 'in season', inSeason: true, most_lbPerAc: 200 },
    ]),
  product: z
    .object({
      name: z.string(),
      n_pct: z.number().min(0).max(100),
      p2o5_pct: z.number().min(0).max(100),
      k2o_pct: z.number().positive().max(100),
      salt: z.enum(['chloride', 'sulfate', 'nitrate', 'langbeinite']),
      price_perTon: z.number().nonnegative(),
    })
    .default({ name: '0-0-60', n_pct: 0, p2o5_pct: 0, k2o_pct: 60, salt: 'chloride', price_perTon: 430 }),
  machine: z
    .object({
      least_lbPerAc: z.number().nonnegative(),
      most_lbPerAc: z.number().positive(),
      step_lbPerAc: z.number().positive(),
    })
    .default({ least_lbPerAc: 50, most_lbPerAc: 800, step_lbPerAc: 5 }),
  charge_perAcPerPass: z.number().nonnegative().default(9),
  /** Dollars per unit of yield, for what the rate may return; null shows none. */
  cropPrice_perUnit: z.number().positive().nullable().default(null),
  overrides: z
    .array(
      z.object({
        zoneKey: z.string(),
        /** lb of product per acre over all passes. */
        rate_lbPerAc: z.number().nonnegative(),
        who: z.string().trim(),
        /** ISO date, or empty. */
        when: z
          .string()
          .trim()
          .regex(
            /^(\d{4}-\d{2}-\d{2}(T.*)?)?$/,
            'The day of a rate typed by hand is written as 2026-11-25, or left empty.',
          ),
        why: z.string().trim().min(1, 'A rate typed by hand needs its reason.'),
      }),
    )
    .default([]),
});
export type RatesSettings = z.infer<typeof ratesSettingsSchema>;
export type Override = RatesSettings['overrides'][number];
