/**
 * Units as types, and every conversion between them.
 *
 * A quantity is a plain number at run time and a brand at compile time, so pounds cannot be handed in as ppm.
 * Only this file casts. Constants carry their source.
 */
declare const unit: unique symbol;
export type Quantity<U extends string> = number & { readonly [unit]: U };

export type Ppm = Quantity<'ppm'>;
export type Meq = Quantity<'meq/100 g'>;
export type Percent = Quantity<'%'>;
export type LbPerAc = Quantity<'lb/ac'>;
export type LbK2OPerAc = Quantity<'lb K2O/ac'>;
export type Acres = Quantity<'ac'>;
export type SquareMetres = Quantity<'m2'>;
export type Metres = Quantity<'m'>;
export type Inches = Quantity<'in'>;
export type Tons = Quantity<'short ton'>;

export const ppm = (n: number): Ppm => n as Ppm;
export const meq = (n: number): Meq => n as Meq;
export const percent = (n: number): Percent => n as Percent;
export const lbPerAc = (n: number): LbPerAc => n as LbPerAc;
export const lbK2OPerAc = (n: number): LbK2OPerAc => n as LbK2OPerAc;
export const acres = (n: number): Acres => n as Acres;
export const squareMetres = (n: number): SquareMetres => n as SquareMetres;
export const metres = (n: number): Metres => n as Metres;
export const inches = (n: number): Inches => n as Inches;
export const tons = (n: number): Tons => n as Tons;

/** International acre: 43,560 ft2 of 0.3048 m (exact). */
export const M2_PER_ACRE = 4046.8564224;
export const M_PER_FT = 0.3048;
export const CM_PER_IN = 2.54;
export const LB_PER_SHORT_TON = 2000;
/** Avoirdupois pound, exact. */
export const KG_PER_LB = 0.45359237;
/** K to K2O by mass: 94.196 / (2 x 39.0983), atomic weights of IUPAC 2021. */
export const K2O_PER_K = 94.1956 / (2 * 39.0983);

export const toAcres = (area: SquareMetres): Acres => acres(area / M2_PER_ACRE);
export const toSquareMetres = (area: Acres): SquareMetres => squareMetres(area * M2_PER_ACRE);
export const toTons = (lb: number): Tons => tons(lb / LB_PER_SHORT_TON);
/** lb/ac to kg/ha: 0.45359237 / 0.40468564224 = 1.12085. */
export const lbPerAcToKgPerHa = (rate: LbPerAc): number => (rate * KG_PER_LB) / (M2_PER_ACRE / 10_000);
/** lb/ac to whole mg/m2, the unit of ISO 11783-11 entity 6 is mg/m2: 200 lb/ac = 22,417. */
export const lbPerAcToMgPerM2 = (rate: LbPerAc): number => (rate * KG_PER_LB * 1e6) / M2_PER_ACRE;
export const inToCm = (depth: Inches): number => depth * CM_PER_IN;
export const cmToIn = (depth_cm: number): Inches => inches(depth_cm / CM_PER_IN);
export const ftToM = (length_ft: number): Metres => metres(length_ft * M_PER_FT);
export const mToFt = (length: Metres): number => length / M_PER_FT;
