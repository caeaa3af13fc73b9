import { CM_PER_IN, KG_PER_LB, LB_PER_SHORT_TON, M_PER_FT, M2_PER_ACRE } from '../../core/base/units.ts';

/**
 * The one door for numbers to text. Figures are grouped by thousands, the minus is U+2212, a missing value is an en dash.
 * A measure holds how a quantity of the plan is said in US and in metric units.
 */
export type UnitSystem = 'US' | 'metric';

interface Said {
  readonly unit: string;
  /** Shown value = plan value x factor. */
  readonly factor: number;
  readonly decimals: number;
}
export interface Measure {
  readonly US: Said;
  readonly metric: Said;
}

const HA_PER_ACRE = M2_PER_ACRE / 10_000;
const KG_PER_HA = KG_PER_LB / HA_PER_ACRE;
const T_PER_TON = (KG_PER_LB * LB_PER_SHORT_TON) / 1000;
const same = (unit: string, decimals: number): Measure => {
  const said = { unit, factor: 1, decimals };
  return { US: said, metric: said };
};
const both = (us: string, metric: string, factor: number, decimals: number, metricDecimals = decimals): Measure => ({
  US: { unit: us, factor: 1, decimals },
  metric: { unit: metric, factor, decimals: metricDecimals },
});

export const MEASURES = {
  /** Plan value in acres. */
  area: both('ac', 'ha', HA_PER_ACRE, 1),
  areaFine: both('ac', 'ha', HA_PER_ACRE, 2),
  /** Plan value in lb/ac of product. */
  rate: both('lb/ac', 'kg/ha', KG_PER_HA, 0),
  /** Plan value in lb K2O/ac. */
  k2o: both('lb K₂O/ac', 'kg K₂O/ha', KG_PER_HA, 1),
  pounds: both('lb', 'kg', KG_PER_LB, 0),
  /** Plan value in short tons. */
  tons: both('tons', 't', T_PER_TON, 1),
  /** Plan value in metres. */
  distance: { US: { unit: 'ft', factor: 1 / M_PER_FT, decimals: 0 }, metric: { unit: 'm', factor: 1, decimals: 0 } },
  metres: same('m', 0),
  /** Plan value in inches. */
  depth: both('in', 'cm', CM_PER_IN, 1),
  moneyPerArea: both('$/ac', '$/ha', 1 / HA_PER_ACRE, 2),
  pricePerTon: both('$/ton', '$/t', 1 / T_PER_TON, 0),
  ppm: same('ppm', 0),
  percent: same('%', 1),
  cec: same('meq/100 g', 1),
  ph: same('', 1),
  plain: same('', 1),
  whole: same('', 0),
} as const satisfies Record<string, Measure>;
export type MeasureName = keyof typeof MEASURES;

const MISSING = '–';
const MINUS = '−';
const formats = new Map<string, Intl.NumberFormat>();

function grouped(decimals: number, least = decimals): Intl.NumberFormat {
  const key = `${least}/${decimals}`;
  const known = formats.get(key);
  if (known) return known;
  const made = new Intl.NumberFormat('en-US', { minimumFractionDigits: least, maximumFractionDigits: decimals });
  formats.set(key, made);
  return made;
}

/** `−1,234.5`; an en dash where there is no figure. A value that rounds to zero carries no minus. */
export function number(value: number | null | undefined, decimals = 0): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return MISSING;
  const text = grouped(decimals).format(Math.abs(value));
  return value < 0 && /[1-9]/.test(text) ? `${MINUS}${text}` : text;
}

/** As many decimals as the figure needs, up to `most`: for inputs and class limits. */
export function shortNumber(value: number | null | undefined, most = 3): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return MISSING;
  const text = grouped(most, 0).format(Math.abs(value));
  return value < 0 && /[1-9]/.test(text) ? `${MINUS}${text}` : text;
}

/** The figure alone, in the unit system asked for. */
export function figure(
  value: number | null | undefined,
  measure: MeasureName,
  units: UnitSystem,
  decimals?: number,
): string {
  const said = MEASURES[measure][units];
  return number(value === null || value === undefined ? value : value * said.factor, decimals ?? said.decimals);
}

export const unitOf = (measure: MeasureName, units: UnitSystem): string => MEASURES[measure][units].unit;

/** The figure with its unit behind it: `18.5 tons`, `$9.00/ac`. */
export function quantity(
  value: number | null | undefined,
  measure: MeasureName,
  units: UnitSystem,
  decimals?: number,
): string {
  const unit = unitOf(measure, units);
  const text = figure(value, measure, units, decimals);
  if (unit === '' || text === MISSING) return text;
  return unit.startsWith('$')
    ? `${text.startsWith(MINUS) ? MINUS : ''}$${text.replace(MINUS, '')}${unit.slice(1)}`
    : `${text} ${unit}`;
}

export const shownValue = (value: number, measure: MeasureName, units: UnitSystem): number =>
  value * MEASURES[measure][units].factor;
/** A figure typed in the shown unit, in the plan's unit; 12 significant digits, so that no conversion dust is kept. */
export const planValue = (shown: number, measure: MeasureName, units: UnitSystem): number => {
  const { factor } = MEASURES[measure][units];
  return factor === 1 ? shown : Number((shown / factor).toPrecision(12));
};

export const money = (value: number | null | undefined, decimals = 0): string => {
  const text = number(value === null || value === undefined ? value : Math.abs(value), decimals);
  if (text === MISSING || value === null || value === undefined) return text;
  return value < 0 && /[1-9]/.test(text) ? `${MINUS}$${text}` : `$${text}`;
};

/** `1 zone`, `5 zones`. */
export const counted = (count: number, one: string, many = `${one}s`): string =>
  `${number(count)} ${count === 1 ? one : many}`;

/** `48 KB`: thousands of bytes, rounded up, so that nothing is 0 KB. */
export function fileSize(bytes: number): string {
  if (bytes < 1000) return `${number(bytes)} B`;
  if (bytes < 1_000_000) return `${number(Math.ceil(bytes / 1000))} KB`;
  return `${number(bytes / 1_000_000, 1)} MB`;
}

/** `42.70572 N` and `94.22701 W`. */
export const latitude = (lat_deg: number): string => `${number(Math.abs(lat_deg), 5)} ${lat_deg < 0 ? 'S' : 'N'}`;
export const longitude = (lng_deg: number): string => `${number(Math.abs(lng_deg), 5)} ${lng_deg < 0 ? 'W' : 'E'}`;

/** `2:32 pm`, in the time of this machine. */
export function clock(at: Date): string {
  const hours = at.getHours();
  return `${hours % 12 === 0 ? 12 : hours % 12}:${String(at.getMinutes()).padStart(2, '0')} ${hours < 12 ? 'am' : 'pm'}`;
}

/** `25 Nov 2026, 2:32 pm`. */
export const dayAndClock = (at: Date): string =>
  `${at.getDate()} ${at.toLocaleDateString('en-US', { month: 'short' })} ${at.getFullYear()}, ${clock(at)}`;

/** A number as people type it: thousands commas, a decimal comma, the real minus. Null where it is no number. */
export function parseTyped(text: string): number | null {
  const plain = text.trim().replaceAll(MINUS, '-').replace(/\s/g, '');
  if (plain === '') return null;
  const thousands = /^-?\d{1,3}(,\d{3})+(\.\d+)?$/.test(plain);
  const value = Number(thousands ? plain.replaceAll(',', '') : plain.replace(/^(-?\d*),(\d+)$/, '$1.$2'));
  return Number.isFinite(value) ? value : null;
}

/** Text of core that must stay ASCII in files, as people read it: K2O, x, >=. */
export const readable = (text: string): string =>
  text
    .replaceAll('K2O', 'K₂O')
    .replace(/ x (?=[\d(])/g, ' × ')
    .replace(/\bx(?=\d)/g, '×')
    .replace(/(^|[\s(=])-(?=\d)/g, `$1${MINUS}`);
