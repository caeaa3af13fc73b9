import type { ToldUnit } from '../base/parse-value.ts';
import { K2O_PER_K } from '../base/units.ts';
import { FACTORS, lbPerAcToPpm } from './chemistry.ts';
import type { ColumnUnit, SoilSettings } from './settings.ts';

/** A cation that soil tests give as an element or as its oxide. */
export type BaseCation = 'k' | 'ca' | 'mg' | 'na';

/**
 * Mass of the oxide for each mass of the element, by IUPAC 2021 atomic weights (O 15.999, K 39.0983, Ca 40.078, Mg 24.305,
 * Na 22.98977): K2O 1.2046, CaO 1.3992, MgO 1.6583, Na2O 1.3480.
 */
export const OXIDE_PER_ELEMENT: Readonly<Record<BaseCation, number>> = {
  k: K2O_PER_K,
  ca: (40.078 + 15.999) / 40.078,
  mg: (24.305 + 15.999) / 24.305,
  na: (2 * 22.98977 + 15.999) / (2 * 22.98977),
};
/** Names of the oxides. */
export const OXIDE_NAMES: Readonly<Record<BaseCation, string>> = { k: 'K2O', ca: 'CaO', mg: 'MgO', na: 'Na2O' };

/** ppm that one mmol/kg of each element is: its atomic weight (as above). One mole of K2O or Na2O holds two of the element. */
const PPM_PER_MMOL: Readonly<Record<BaseCation, number>> = { k: 39.0983, ca: 40.078, mg: 24.305, na: 22.98977 };
const ATOMS_IN_OXIDE: Readonly<Record<BaseCation, number>> = { k: 2, ca: 1, mg: 1, na: 2 };
/** kg/ha that one lb/ac is: 0.45359237 kg and 0.40468564224 ha, both exact (international pound and foot). */
export const KG_PER_HA_PER_LB_PER_AC = 0.45359237 / 0.40468564224;

/** Units that count charge: an equivalent of an oxide is one of its element. */
export const countsCharge = (unit: ColumnUnit): boolean =>
  unit === 'meq/100 g' || unit === 'cmol/kg' || unit === 'mmolc/kg';

/** Units that count the ground to a depth: without one they say nothing of the soil. */
export const countsDepth = (unit: ColumnUnit): boolean => unit === 'lb/ac' || unit === 'kg/ha';

/** The unit of the same size that cells and headers are read in: mg/kg is ppm, and cmol/kg of charge is meq/100 g. */
export const sameAs = (unit: ColumnUnit): ColumnUnit =>
  unit === 'mg/kg' ? 'ppm' : unit === 'cmol/kg' ? 'meq/100 g' : unit;

/** Whether a unit told in a cell is the column's own, spelled one way or the other. */
export const isSameUnit = (told: ToldUnit, unit: ColumnUnit): boolean => told === sameAs(unit);

/** What a figure needs beside itself to become ppm. */
export interface Amount {
  readonly unit: ColumnUnit;
  readonly oxide: boolean;
  /** Depth that a figure in lb/ac or kg/ha counts. */
  readonly depth_in: number;
  /** Scooped density for mg/L; NaN where it is not known. */
  readonly density_gPerCm3: number;
}

/**
 * ppm of the element out of a cation's figure.
 *
 * mg/kg is ppm, g/kg x 1000, mg/100 g x 10. mg/L / density in g/cm3 (a lab that scoops its soil measures by volume). lb/ac by the plan's convention over the depth it
 * counts; kg/ha likewise, 1.12085 of them being one lb/ac. meq/100 g and cmol/kg by the plan's factors, mmolc/kg (meq/kg) being a tenth.
 * mmol/kg by atomic weight: it counts atoms, of an oxide molecules. % of dry soil x 10,000. An oxide is divided by `OXIDE_PER_ELEMENT` unless the
 * unit counts charge. NaN: the figure is, or mg/L has no density.
 */
export function cationPpm(
  value: number,
  cation: BaseCation,
  amount: Amount,
  settings: Pick<SoilSettings, 'convention' | 'bulkDensity_gPerCm3' | 'factors'>,
): number {
  if (countsCharge(amount.unit))
    return (amount.unit === 'mmolc/kg' ? value / 10 : value) * FACTORS[settings.factors][cation];
  if (amount.unit === 'mmol/kg') return value * (amount.oxide ? ATOMS_IN_OXIDE[cation] : 1) * PPM_PER_MMOL[cation];
  const mass = amount.oxide ? value / OXIDE_PER_ELEMENT[cation] : value;
  if (amount.unit === 'mg/L') return mass / amount.density_gPerCm3;
  if (amount.unit === 'lb/ac') return lbPerAcToPpm(mass, amount.depth_in, settings);
  if (amount.unit === 'kg/ha') return lbPerAcToPpm(mass / KG_PER_HA_PER_LB_PER_AC, amount.depth_in, settings);
  return mass * (PPM_PER[amount.unit] ?? 1);
}

/** ppm in units of mass of dry soil. */
const PPM_PER: Readonly<Partial<Record<ColumnUnit, number>>> = { 'g/kg': 1000, 'mg/100 g': 10, '%': 10_000 };

/** The unit with the oxide's name before it, as a person reads it: `K2O in ppm`, `mg/L`. Empty for a column without one. */
export function unitText(unit: ColumnUnit, of_in?: number): string {
  if (unit === 'none') return '';
  return of_in === undefined ? unit : `${unit} of ${of_in} in.`;
}
