import { K2O_PER_K } from '../base/units.ts';

/** How well a figure is known. */
export type Flag =
  | 'seen in the source'
  | 'second-hand'
  | 'worked out'
  | 'from memory, confirm against the current bulletin';

/** lb K2O per unit of yield as somebody printed it. `upTo` is the other end where a span was printed. */
export interface CropFigure {
  readonly value: number;
  readonly upTo?: number;
  readonly source: string;
  readonly flag: Flag;
}

/** Publications that the figures were read in. */
export const SOURCES = {
  ipni2008: 'International Plant Nutrition Institute (2008)',
  ipni2014: 'International Plant Nutrition Institute (2014), read in the data set doi 10.5061/dryad.n2z34tn0x',
  nrcs: 'USDA NRCS waste handbook, table 6-6, read in the data set doi 10.5061/dryad.n2z34tn0x',
  triState1995: 'Tri-State Fertilizer Recommendations, Bulletin E-2567 (1995), superseded in 2020',
  triState2020: 'Tri-State Fertilizer Recommendations, Bulletin 974 (2020)',
  minnesota: 'University of Minnesota Extension (2019)',
  iowa: 'Iowa State University Extension, PM 1688 (2013)',
  illinois: 'Villamil et al. (2019), Illinois, 75th percentile',
  pennState: 'Penn State Extension',
  nebraska: 'University of Nebraska-Lincoln Extension',
  extension: 'extension.org (2008)',
  ontario: 'Ontario, Canada (2025)',
  kentucky: 'University of Kentucky Extension',
  ppi: 'Potash and Phosphate Institute',
  ppi2000: 'Potash and Phosphate Institute (2000), whole plant',
  bender: 'Bender et al. (2013), Agronomy Journal 105:161-170, whole plant measured at about 230 bu',
} as const;

export const seen = (value: number, source: string, upTo?: number): CropFigure => ({
  value,
  source,
  flag: 'seen in the source',
  ...(upTo === undefined ? {} : { upTo }),
});
export const secondHand = (value: number, source: string): CropFigure => ({ value, source, flag: 'second-hand' });
/** A figure that was read somewhere in print, of which nobody noted where. */
export const unrecorded = (value: number, what: string, upTo?: number): CropFigure => ({
  ...seen(value, `${what}; its source was not recorded`, upTo),
  flag: 'second-hand',
});
export const fromMemory = (value: number, source: string): CropFigure => ({
  value,
  source,
  flag: 'from memory, confirm against the current bulletin',
});

/** kg K2O per metric tonne at market moisture, as lb per bushel: value x bushel weight / 1000. */
export const ipniBu = (kgPerTonne: number, bushel_lb: number): CropFigure =>
  seen((kgPerTonne * bushel_lb) / 1000, `${SOURCES.ipni2014}: ${kgPerTonne} kg/t`);
/** kg K2O per metric tonne, as lb per short ton: value x 2. */
export const ipniTon = (kgPerTonne: number): CropFigure =>
  seen(2 * kgPerTonne, `${SOURCES.ipni2014}: ${kgPerTonne} kg/t`);
/** % K of what is harvested, as lb K2O of `weight_lb`: weight x % / 100 x 1.2046. */
export const nrcs = (k_pct: number, weight_lb: number): CropFigure =>
  seen((weight_lb * k_pct * K2O_PER_K) / 100, `${SOURCES.nrcs}: ${k_pct} % K`);
/** Grain and its residue together, both per tonne of grain. */
export const ipniUptake = (grain: number, residue: number, weight_lb: number): CropFigure => ({
  value: ((grain + residue) * weight_lb) / 1000,
  source: `${SOURCES.ipni2014}: grain ${grain} + residue ${residue} kg per tonne of grain`,
  flag: 'worked out',
});
