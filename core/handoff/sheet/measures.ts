import { KG_PER_LB, LB_PER_SHORT_TON, M_PER_FT, M2_PER_ACRE } from '../../base/units.ts';
import { figure, typed } from '../../rates/text.ts';
import { MOST_RATE_DECIMALS, RATE_DECIMALS, rateFactor, roundTo } from '../figures.ts';
import type { SheetInput } from './types.ts';

const HA_PER_ACRE = M2_PER_ACRE / 10_000;

/** Figures in words, in the units of one page. */
export interface Measures {
  readonly metric: boolean;
  /** `lb/ac` or `kg/ha`: what the files hold. */
  readonly rateUnit: string;
  readonly areaUnit: string;
  readonly massUnit: string;
  /** `short tons` or `t`; as the head of a column `Short tons` or `Metric tons`. */
  readonly heavyUnit: string;
  readonly heavyHead: string;
  /** `lb K₂O` or `kg K₂O`. */
  readonly k2oUnit: string;
  /** As the files hold it: to the most decimals of a rate column, no more than it needs. */
  readonly rate: (rate_lbPerAc: number) => string;
  /** For the map: whole. */
  readonly wholeRate: (rate_lbPerAc: number) => string;
  readonly area: (acres: number, decimals?: number) => string;
  /** Pounds or kilograms. */
  readonly mass: (lb: number) => string;
  /** Short or metric tons. */
  readonly heavy: (tons: number) => string;
  readonly length: (metres: number) => string;
  /** K2O an acre or hectare, with one decimal. */
  readonly k2oRate: (lbK2OPerAc: number) => string;
  /** Dollars an acre as dollars an acre or hectare. */
  readonly perArea: (dollars_perAc: number) => number;
  /** `$500.00 a short ton` or the same price by metric tons. */
  readonly price: (dollars_perTon: number) => string;
}

/** How figures are told on the page: all in the system of the files' rates, so that page, files and controller say the same. */
export function measuresOf({ settings }: Pick<SheetInput, 'settings'>): Measures {
  const metric = settings.rateUnit === 'kg/ha';
  const factor = rateFactor(settings.rateUnit);
  return {
    metric,
    rateUnit: settings.rateUnit,
    areaUnit: metric ? 'ha' : 'ac',
    massUnit: metric ? 'kg' : 'lb',
    heavyUnit: metric ? 't' : 'short tons',
    heavyHead: metric ? 'Metric tons' : 'Short tons',
    k2oUnit: metric ? 'kg K₂O' : 'lb K₂O',
    rate: (rate) => typed(roundTo(rate * factor, settings.rateUnit === 'kg/ha' ? RATE_DECIMALS : MOST_RATE_DECIMALS)),
    wholeRate: (rate) => figure(roundTo(rate * factor, 0)),
    area: (acres, decimals = 1) => figure(metric ? acres * HA_PER_ACRE : acres, decimals),
    mass: (lb) => figure(metric ? lb * KG_PER_LB : lb).replace('-', '−'),
    heavy: (tons) => figure(metric ? (tons * LB_PER_SHORT_TON * KG_PER_LB) / 1000 : tons, 2),
    length: (metres) => (metric ? `${typed(roundTo(metres, 1))} m` : `${typed(roundTo(metres / M_PER_FT, 0))} ft`),
    k2oRate: (rate) => figure(rate * factor, 1),
    perArea: (dollars) => (metric ? dollars / HA_PER_ACRE : dollars),
    price: (dollars) =>
      metric
        ? `$${figure(dollars / ((LB_PER_SHORT_TON * KG_PER_LB) / 1000), 2)} a metric ton`
        : `$${figure(dollars, 2)} a short ton`,
  };
}

/** Names of ground and of ways to treat it with their figures in the unit of the page: `260 lb/ac` and `1-150 lb K2O/ac` become kilograms a hectare. Not for sentences, where a figure may stand without its unit. */
export function inPageUnits(text: string, say: Pick<Measures, 'metric'>): string {
  if (!say.metric) return text;
  const told = (value: string): string =>
    value.replace(/[\d,]*\.?\d+/g, (one) => figure(Number(one.replaceAll(',', '')) * rateFactor('kg/ha')));
  return text.replace(
    /(\d[\d,.]*(?:(?:-|–| to )\d[\d,.]*)?) lb( K[2₂]O)?\/ac/g,
    (_, value: string, k2o: string | undefined) => `${told(value)} kg${k2o ?? ''}/ha`,
  );
}

/** A reading with its decimals, or a dash where it is not known. */
export const reading = (value: number, decimals = 0): string =>
  Number.isFinite(value) ? figure(value, decimals) : '–';

const POINTS = ['N', 'NE', 'E', 'SE', 'S', 'SW', 'W', 'NW'] as const;

/** A way of driving, there and back: `N–S`, or `N–S, 12°` where it is off a point of the compass by more than 2 degrees. */
export function headingWords(heading_deg: number): string {
  const half = ((heading_deg % 180) + 180) % 180;
  const near = Math.round(half / 45) % 4;
  const name = `${POINTS[near] ?? 'N'}–${POINTS[near + 4] ?? 'S'}`;
  const off = Math.abs(half - Math.round(half / 45) * 45);
  return off > 2 ? `${figure(roundTo(half, 0))}°` : name;
}
