import { z } from 'zod';

/** A cap on K2O a year by what the soil can hold: applies under `under_meq` of CEC; null for all the rest. */
const holdingClass = z.object({
  name: z.string(),
  under_meq: z.number().positive().nullable(),
  perYear_lbK2OPerAc: z.number().positive().nullable(),
  perPass_lbK2OPerAc: z.number().positive().nullable(),
  /** Light ground: K above the floor is not counted as a bank, and one pass stays in season. */
  light: z.boolean(),
  /** The same caps where the ground is irrigated; absent: as without. */
  irrigatedPerYear_lbK2OPerAc: z.number().positive().nullable().optional(),
  irrigatedPerPass_lbK2OPerAc: z.number().positive().nullable().optional(),
});
export type HoldingClass = z.infer<typeof holdingClass>;

const pct = z.number().min(0).max(100);
const lbPerUnit = z.number().nonnegative().nullable();
export const HARVESTS = ['grain', 'grain and residue'] as const;
const GOVERNS = ['larger', 'ppm', 'saturation'] as const;
const READINGS = ['mean', 'median', '20th percentile'] as const;
const day = z
  .string()
  .trim()
  .regex(/^(\d{4}-\d{2}-\d{2}(T.*)?)?$/, 'A day is written as 2026-11-25, or left empty.');

/** A crop that follows this season's, in the same terms. */
const followingCrop = z.object({
  crop: z.string(),
  yieldGoal: z.number().positive(),
  harvest: z.enum(HARVESTS).default('grain'),
  residueShare_pct: pct.default(100),
  removal_lbK2OPerUnit: lbPerUnit.default(null),
  uptake_lbK2OPerUnit: lbPerUnit.default(null),
});
export type FollowingCrop = z.infer<typeof followingCrop>;

/** What one zone does otherwise than the plan; what is absent is as the plan's. */
const zoneChoices = z.object({
  yieldGoal: z.number().positive().optional(),
  governs: z.enum(GOVERNS).optional(),
  floor_ppm: z.number().positive().optional(),
  floor_pct: z.number().positive().max(50).optional(),
  rangeTop_pct: z.number().positive().max(60).optional(),
  buildUp_years: z.number().int().min(1).max(20).optional(),
  reading: z.enum(READINGS).optional(),
  /** True: nothing is spread there, by choice; the rate is 0. */
  off: z.boolean().optional(),
});
export type ZoneChoices = z.infer<typeof zoneChoices>;

/** Where a credit counts: everywhere, or in the named zones and drawn areas. */
const where = z
  .object({ zoneKeys: z.array(z.string()).default([]), areaIds: z.array(z.string()).default([]) })
  .nullable()
  .default(null);
/** Whether it was put on after the sample was taken: by its day against the day of sampling, or as somebody says. */
const since = { on: day.default(''), afterSample: z.enum(['by date', 'yes', 'no']).default('by date') };

/** K that the ground gets or got from elsewhere. Only what came after the sample counts. */
const credit = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('manure'),
    name: z.string(),
    rate_perAc: z.number().nonnegative(),
    rateUnit: z.enum(['ton', '1,000 gal']),
    /** Total K2O by the analysis, or a table's figure. */
    k2o_lbPerUnit: z.number().nonnegative(),
    /** Where the analysis comes from: a lab's report or a table, named. */
    analysis: z.string().default(''),
    availability_pct: pct.default(90),
    method: z.enum(['broadcast', 'incorporated', 'injected', 'grazing']).default('broadcast'),
    ...since,
    where,
  }),
  z.object({
    kind: z.literal('irrigation water'),
    name: z.string(),
    /** Inches put on in the season, and K in the water in mg/L. */
    water_in: z.number().nonnegative(),
    k_mgPerL: z.number().nonnegative(),
    where,
  }),
  z.object({
    kind: z.literal('fertilizer'),
    name: z.string(),
    k2o_lbPerAc: z.number().nonnegative(),
    ...since,
    where,
  }),
]);
export type Credit = z.infer<typeof credit>;

export const SALT_IDS = ['chloride', 'sulfate', 'nitrate', 'langbeinite'] as const;

/** One dry product by its label. */
const singleProduct = z.object({
  name: z.string(),
  n_pct: pct,
  p2o5_pct: pct,
  k2o_pct: pct,
  s_pct: pct.default(0),
  mg_pct: pct.default(0),
  /** Chloride by the label; null takes the salt's. */
  cl_pct: pct.nullable().default(null),
  /** The K salt in it; null for a blend part without K. */
  salt: z.enum(SALT_IDS).nullable(),
  price_perTon: z.number().nonnegative(),
});
export type SingleProduct = z.infer<typeof singleProduct>;

export const productSchema = z.object({
  name: z.string(),
  n_pct: pct,
  p2o5_pct: pct,
  k2o_pct: z.number().positive().max(100),
  s_pct: pct.default(0),
  mg_pct: pct.default(0),
  cl_pct: pct.nullable().default(null),
  salt: z.enum(SALT_IDS),
  price_perTon: z.number().nonnegative(),
  /** lb per cubic foot as it was weighed; null until somebody weighed it. */
  density_lbPerFt3: z.number().min(20).max(120).nullable().default(null),
  /** Parts of a blend by weight, adding up to 100 %; empty for a straight product. The analysis and price above are then theirs. */
  blend: z
    .array(z.object({ product: singleProduct, share_pct: pct }))
    .max(6)
    .default([]),
});
export type ProductChoice = z.infer<typeof productSchema>;

/** A second product in the same plan, with a column of its own in the files. */
const secondProduct = z.object({
  product: productSchema,
  /** How much of it: a share of the year's K2O, or what brings so many lb of S or Mg an acre; the first product gives the rest. */
  gives: z.discriminatedUnion('by', [
    z.object({ by: z.literal('share of K2O'), share_pct: pct }),
    z.object({ by: z.literal('sulfur'), s_lbPerAc: z.number().positive() }),
    z.object({ by: z.literal('magnesium'), mg_lbPerAc: z.number().positive() }),
  ]),
  where,
});
export type SecondProduct = z.infer<typeof secondProduct>;

/** Relative yield against soil-test K, as somebody published or measured it for this ground. */
const response = z.object({
  model: z.enum(['linear plateau', 'quadratic plateau', 'Mitscherlich']),
  /** Relative yield without any soil-test K, %. */
  atZero_pct: z.number().min(0).max(99),
  /** Soil-test K where the plateau (95 % of the top for Mitscherlich) is reached: the low and high end of the doubt. */
  reachedLow_ppm: z.number().positive(),
  reachedHigh_ppm: z.number().positive(),
  source: z.string().trim().min(1, 'A response curve names its source.'),
});
export type ResponseCurve = z.infer<typeof response>;

const budget = z.object({
  by: z.enum(['dollars', 'tons']),
  amount: z.number().nonnegative(),
  rule: z.enum(['all alike', 'worst first', 'equal marginal return']),
});
export type Budget = z.infer<typeof budget>;

export const ratesSettingsSchema = z.object({
  /** Name of the basis these choices came from; empty where none was taken. */
  basis: z.string().max(80).default(''),
  /** Id of a published guide whose rate stands in place of lines 1 to 7; null works them. */
  follows: z.string().nullable().default(null),
  /** Id of a crop in the crop list; null until told. */
  crop: z.string().nullable().default(null),
  /** In the crop's own unit: bu/ac or ton/ac. */
  yieldGoal: z.number().positive().nullable().default(null),
  /** What leaves the field. */
  harvest: z.enum(HARVESTS).default('grain'),
  /** Part of the residue that leaves, where it does. */
  residueShare_pct: pct.default(100),
  /** Crops of the seasons after this one, in order; the rotation then starts over. */
  thenCrops: z.array(followingCrop).max(3).default([]),
  /** Yield goal of a zone as the mean of an own layer times a factor; null takes the goal above. */
  yieldLayer: z
    .object({ layer: z.string().regex(/^own\.[a-z0-9-]{1,40}$/), factor: z.number().positive().max(10).default(1) })
    .nullable()
    .default(null),
  /** What single zones do otherwise, by zone key. */
  zones: z.record(z.string(), zoneChoices).default({}),
  credits: z.array(credit).max(50).default([]),
  /** Figures typed over the crop list's, lb K2O per unit of yield; null uses the list's. */
  removal_lbK2OPerUnit: lbPerUnit.default(null),
  uptake_lbK2OPerUnit: lbPerUnit.default(null),
  governs: z.enum(GOVERNS).default('larger'),
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
  reading: z.enum(READINGS).default('mean'),
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
    .array(
      z.object({
        name: z.string(),
        inSeason: z.boolean(),
        most_lbPerAc: z.number().positive(),
        /** Why the cap of this pass is above 500 lb/ac of product; above 1,400 nothing is given without it. */
        mostReason: z.string().trim().default(''),
        placement: z.enum(['broadcast', 'banded 2 x 2 in.', 'in furrow']).default('broadcast'),
        /** Row spacing of a banded or in-furrow pass. */
        row_in: z.number().min(5).max(80).default(30),
      }),
    )
    .min(1)
    .max(2)
    .default([
      {
        name: 'before the season',
        inSeason: false,
        most_lbPerAc: 500,
        mostReason: '',
        placement: 'broadcast',
        row_in: 30,
      },
      { name: 'in season', inSeason: true, most_lbPerAc: 200, mostReason: '', placement: 'broadcast', row_in: 30 },
    ]),
  product: productSchema.default({
    name: '0-0-60',
    n_pct: 0,
    p2o5_pct: 0,
    k2o_pct: 60,
    s_pct: 0,
    mg_pct: 0,
    cl_pct: null,
    salt: 'chloride',
    price_perTon: 430,
    density_lbPerFt3: null,
    blend: [],
  }),
  second: secondProduct.nullable().default(null),
  machine: z
    .object({
      least_lbPerAc: z.number().nonnegative(),
      most_lbPerAc: z.number().positive(),
      step_lbPerAc: z.number().positive(),
      /** Most different rates above 0 that the controller takes in a pass; null sets no limit. */
      distinctRates: z.number().int().min(1).max(255).nullable().default(null),
    })
    .default({ least_lbPerAc: 50, most_lbPerAc: 800, step_lbPerAc: 5, distinctRates: null }),
  budget: budget.nullable().default(null),
  response: response.nullable().default(null),
  /** Years the user will have the land: over them building up at once and a little every year are compared. */
  land_years: z.number().int().min(1).max(30).default(4),
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
        when: day,
        why: z.string().trim().min(1, 'A rate typed by hand needs its reason.'),
        /** A place in the zone it was typed for, lng and lat: the key may come to name other ground. Null or absent: not told. */
        at: z
          .tuple([z.number().min(-180).max(180), z.number().min(-90).max(90)])
          .nullable()
          .optional(),
      }),
    )
    .default([]),
});
export type RatesSettings = z.infer<typeof ratesSettingsSchema>;
export type Override = RatesSettings['overrides'][number];
