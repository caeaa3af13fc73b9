import { lbPerAc, lbPerAcToKgPerHa } from '../base/units.ts';
import type { FieldSpec } from '../formats/types.ts';
import type { Piece } from './types.ts';

/** One column of a prescription: its name in the table, in GeoJSON, and what it holds. */
export interface Column extends FieldSpec {
  readonly property: string;
  readonly what: string;
  readonly value: (piece: Piece, about: About) => string | number;
}

/** What is the same for every record of a file. */
export interface About {
  /** One or two, the plan's first product first. */
  readonly products: readonly string[];
  readonly rateUnit: 'lb/ac' | 'kg/ha';
  readonly pass: string;
  /** From lb/ac to the file's rate unit. */
  readonly rateFactor: number;
}

/** From lb/ac to the unit of the file: 1, or 1.12085 for kg/ha. */
export const rateFactor = (unit: About['rateUnit']): number => (unit === 'kg/ha' ? lbPerAcToKgPerHa(lbPerAc(1)) : 1);

/** Decimals of the rate column; the proof's tolerance follows from it. */
export const RATE_DECIMALS = 2;

/** Plain number rounded half away from zero, as the table's text shows it. */
export const roundTo = (value: number, decimals: number): number => {
  const scale = 10 ** decimals;
  return (Math.sign(value) * Math.round(Math.abs(value) * scale)) / scale;
};

/** Name of the rate column in the table and in GeoJSON, whatever its unit. */
export const RATE = { name: 'RATE', property: 'rate' } as const;
/** The same for the plan's second product, where it has one. */
export const RATE_2 = { name: 'RATE_2', property: 'rate_2' } as const;

const rateColumn = (name: typeof RATE | typeof RATE_2, what: string, rateOf: (piece: Piece) => number): Column => ({
  ...name,
  kind: 'number',
  width: 12,
  decimals: RATE_DECIMALS,
  what,
  value: (piece, about) => roundTo(rateOf(piece) * about.rateFactor, RATE_DECIMALS),
});

/** Columns of the second product: its rate and its name. */
const SECOND: readonly Column[] = [
  rateColumn(RATE_2, 'second product to spread in this pass, in the unit of UNIT', (piece) => piece.second_lbPerAc),
  {
    name: 'PRODUCT_2',
    property: 'product_2',
    kind: 'text',
    width: 40,
    decimals: 0,
    what: 'product that RATE_2 is of',
    value: (_, about) => about.products[1] ?? '',
  },
];

/**
 * The columns of a file, for one product or two. The first product's rate stands first, since some controllers take the first
 * numeric column (common practice, no source); the second product's follows the name of the first.
 */
export const columnsOf = (unit: About['rateUnit'], products: number): readonly Column[] => [
  rateColumn(
    RATE,
    products > 1
      ? 'first product to spread in this pass, in the unit of UNIT'
      : 'product to spread in this pass, in the unit of UNIT',
    (piece) => piece.rate_lbPerAc,
  ),
  {
    name: 'UNIT',
    property: 'unit',
    kind: 'text',
    width: 8,
    decimals: 0,
    what: products > 1 ? 'unit of RATE and RATE_2' : 'unit of RATE',
    value: (_, about) => about.rateUnit,
  },
  {
    name: 'PRODUCT',
    property: 'product',
    kind: 'text',
    width: 40,
    decimals: 0,
    what: products > 1 ? 'product that RATE is of' : 'product the rate is of',
    value: (_, about) => about.products[0] ?? '',
  },
  ...(products > 1 ? SECOND : []),
  {
    name: 'PASS',
    property: 'pass',
    kind: 'text',
    width: 24,
    decimals: 0,
    what: 'pass the rate is for',
    value: (_, about) => about.pass,
  },
  {
    name: 'ZONE',
    property: 'zone',
    kind: 'text',
    width: 8,
    decimals: 0,
    what: 'letter of the zone',
    value: (piece) => piece.letter,
  },
  {
    name: 'ACRES',
    property: 'acres',
    kind: 'number',
    width: 14,
    decimals: 6,
    what: 'area on the WGS84 ellipsoid, acres',
    value: (piece) => roundTo(piece.acres, 6),
  },
  {
    ...(unit === 'kg/ha'
      ? { name: 'K2O_KGHA', property: 'k2o_kg_per_ha' }
      : { name: 'K2O_LBAC', property: 'k2o_lb_per_ac' }),
    kind: 'number',
    width: 10,
    decimals: 2,
    what: products > 1 ? `K2O of both products in this pass, ${unit}` : `K2O in this pass, ${unit}`,
    value: (piece, about) => roundTo(piece.k2o_lbPerAc * about.rateFactor, 2),
  },
  {
    name: 'K_PPM',
    property: 'k_ppm',
    kind: 'number',
    width: 10,
    decimals: 1,
    what: 'soil-test K of the zone, ppm',
    value: (piece) => soilFigure(piece.k_ppm, 1),
  },
  {
    name: 'K_SAT_PCT',
    property: 'k_saturation_pct',
    kind: 'number',
    width: 8,
    decimals: 2,
    what: 'K base saturation of the zone, %',
    value: (piece) => soilFigure(piece.kSat_pct, 2),
  },
  {
    name: 'CEC_MEQ',
    property: 'cec_meq_per_100g',
    kind: 'number',
    width: 8,
    decimals: 2,
    what: 'cation exchange capacity of the zone, meq/100 g',
    value: (piece) => soilFigure(piece.cec_meq, 2),
  },
  {
    name: 'NOTE',
    property: 'note',
    kind: 'text',
    width: 120,
    decimals: 0,
    what: 'a rate typed by hand, with who, when and why; or why ground is written as 0',
    value: (piece) => piece.note,
  },
];

/** NaN where the reading is unknown, which is written as null. */
const soilFigure = (value: number, decimals: number): number =>
  Number.isFinite(value) ? roundTo(value, decimals) : Number.NaN;

/** A record's values in column order; an unknown figure is null. */
export const recordOf = (piece: Piece, about: About): (string | number | null)[] =>
  columnsOf(about.rateUnit, about.products.length).map((column) => {
    const value = column.value(piece, about);
    return typeof value === 'number' && !Number.isFinite(value) ? null : value;
  });

/** Base of a pass's file names: the plan's own, with the number of the pass where there are several. */
export const passBase = (base: string, passes: number, index: number): string =>
  passes > 1 ? `${base}_p${index + 1}` : base;
