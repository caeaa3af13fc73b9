import { lbPerAc, lbPerAcToKgPerHa } from '../base/units.ts';

/** From lb/ac to the unit of the file: 1, or 1.12085 for kg/ha. */
export const rateFactor = (unit: 'lb/ac' | 'kg/ha'): number => (unit === 'kg/ha' ? lbPerAcToKgPerHa(lbPerAc(1)) : 1);

/** Plain number rounded half away from zero, as the table's text shows it. */
export const roundTo = (value: number, decimals: number): number => {
  const scale = 10 ** decimals;
  return (Math.sign(value) * Math.round(Math.abs(value) * scale)) / scale;
};

/** Decimals of a rate column: two, or three where a rate in lb/ac needs them. */
export const RATE_DECIMALS = 2;
export const MOST_RATE_DECIMALS = 3;

/** Name of the first rate column in the table and in GeoJSON, whatever its unit; the others are RATE_2, RATE_3 ... */
export const RATE = { name: 'RATE', property: 'rate' } as const;
