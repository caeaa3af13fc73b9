import { parseValue } from '../base/parse-value.ts';
import { CM_PER_IN } from '../base/units.ts';
import type { CellValue } from '../formats/types.ts';

/** The slice of soil a sample was taken from, in inches. */
export interface Slice {
  readonly top_in: number;
  readonly bottom_in: number;
  /** As it was told: `0-6 in`, `15-30 cm`. */
  readonly told: string;
}

/** Units of length that depths are told in. */
export type LengthUnit = 'in' | 'cm' | 'mm' | 'dm' | 'm' | 'ft';

/** How many of each make an inch; 25.4 mm and 1/12 ft, both exact. */
const PER_IN: Readonly<Record<LengthUnit, number>> = {
  in: 1,
  cm: CM_PER_IN,
  mm: CM_PER_IN * 10,
  dm: CM_PER_IN / 10,
  m: CM_PER_IN / 100,
  ft: 1 / 12,
};
const LENGTH_WORDS: readonly (readonly [LengthUnit, string])[] = [
  ['in', 'in(?:ch(?:es)?)?\\.?|"|\\u2033'],
  ['cm', 'cm|centimet(?:er|re)s?'],
  ['mm', 'mm|millimet(?:er|re)s?'],
  ['dm', 'dm|decimet(?:er|re)s?'],
  ['m', 'm|met(?:er|re)s?'],
  ['ft', "ft\\.?|feet|foot|'|\\u2032"],
];
const UNIT = `(?:${LENGTH_WORDS.map(([, pattern]) => pattern).join('|')})`;

/** The length that words such as `mm` or `feet` name; null for any others. */
export function lengthOfWords(words: string): LengthUnit | null {
  const plain = words.trim().toLowerCase();
  return LENGTH_WORDS.find(([, pattern]) => new RegExp(`^(?:${pattern})$`).test(plain))?.[0] ?? null;
}

/** The unit of length that a column is in; inches where it has another. */
export const lengthOfColumn = (unit: string): LengthUnit => (unit in PER_IN ? (unit as LengthUnit) : 'in'); // checked by `in`
const RANGE = new RegExp(`^([\\d.,]+)\\s*${UNIT}?\\s*(?:-|\\u2013|\\u2014|to|bis|a|\\u00e0)\\s*([\\d.,]+.*)$`, 'i');

const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'];
const DAY_MONTH = /^(\d{1,2})[-/. ]([a-z]{3})[a-z]*\.?$/i;
const MONTH_DAY = /^([a-z]{3})[a-z]*\.?[-/. ](\d{1,2})$/i;
const ISO = /^\d{4}-(\d{2})-(\d{2})(?:T[\d:.]+)?$/;
const SLASHES = /^(\d{1,2})\/(\d{1,2})\/(?:\d{2}|\d{4})$/;

/** The two numbers of a date that stands where a depth should, the smaller first: `6-Dec` and `12-Jun` are 6 and 12. */
function numbersOfDate(cell: CellValue): readonly [number, number] | null {
  if (typeof cell !== 'string') return null;
  const text = cell.trim();
  const named = DAY_MONTH.exec(text);
  const other = named ? null : MONTH_DAY.exec(text);
  const month = MONTHS.indexOf((named?.[2] ?? other?.[1] ?? '').toLowerCase()) + 1;
  const plain = ISO.exec(text) ?? SLASHES.exec(text);
  const pair =
    month > 0 ? [month, Number(named?.[1] ?? other?.[2])] : plain ? [Number(plain[1]), Number(plain[2])] : null;
  if (!pair) return null;
  const [least, most] = [Math.min(...pair), Math.max(...pair)];
  return least >= 1 && least < most ? [least, most] : null;
}

/**
 * Whether a cell of a depth is a date: a spreadsheet makes `6-Dec` or `12-Jun` of 6-12. `readDepth` reads it as the range it most likely was.
 */
export const isMangled = (cell: CellValue): boolean => numbersOfDate(cell) !== null;

/**
 * Depth of a sample as a cell tells it: `6`, `6 in`, `15 cm`, `200 mm`, or from-to as `0-6` or `6 to 12 in`. A unit in the cell goes before the
 * column's. A date (`6-Dec`) is the range whose two numbers it holds, see `isMangled`. Null where it tells none: blank, text, nothing or
 * less, or deeper than 48 in.
 */
export function readDepth(cell: CellValue, decimal: '.' | ',', unit: LengthUnit): Slice | null {
  const date = numbersOfDate(cell);
  if (date) return sliceOf(date[0], date[1], decimal, unit);
  const text = typeof cell === 'string' ? cell.trim() : cell;
  const range = typeof text === 'string' ? RANGE.exec(text) : null;
  return sliceOf(range ? (range[1] ?? null) : null, range ? (range[2] ?? null) : text, decimal, unit);
}

/** Depth of a sample from a cell for its top and one for its bottom; a blank top is the surface. Null as for `readDepth`. */
export function sliceOf(top: CellValue, bottom: CellValue, decimal: '.' | ',', unit: LengthUnit): Slice | null {
  const told = toldUnitOf(bottom);
  const from = top === null ? ({ kind: 'number', value: 0 } as const) : parseValue(withoutUnit(top), decimal);
  const to = parseValue(told === null ? bottom : withoutUnit(bottom), decimal);
  if (from.kind !== 'number' || to.kind !== 'number' || to.unit !== undefined) return null;
  const is = told ?? unit;
  const [top_in, bottom_in] = [from.value / PER_IN[is], to.value / PER_IN[is]];
  if (!(bottom_in > top_in && top_in >= 0 && bottom_in <= DEEPEST_IN + 1e-9)) return null;
  // Feet are said in inches, and every metric length in centimetres.
  const [as, times] = is === 'in' || is === 'ft' ? (['in', 1] as const) : (['cm', CM_PER_IN] as const);
  const [above, below] = is === as ? [from.value, to.value] : [top_in * times, bottom_in * times];
  return { top_in, bottom_in, told: `${short(above)}-${short(below)} ${as}` };
}

const DEEPEST_IN = 48;
const WITH_UNIT = new RegExp(`^(.*[\\d.,])\\s*(${UNIT})$`, 'i');
const withoutUnit = (cell: CellValue): CellValue =>
  typeof cell === 'string' ? (WITH_UNIT.exec(cell.trim())?.[1] ?? cell) : cell;

/** The unit that a depth's cell carries itself; null where it carries none. */
export function toldUnitOf(cell: CellValue): LengthUnit | null {
  if (typeof cell !== 'string') return null;
  const unit = WITH_UNIT.exec(cell.trim())?.[2];
  return unit === undefined ? null : lengthOfWords(unit);
}

/** Whether two depths are the same slice to a twentieth of an inch: `0-15 cm` and `0-5.9 in` are. */
export const isSameSlice = (a: Omit<Slice, 'told'>, b: Omit<Slice, 'told'>): boolean =>
  Math.abs(a.top_in - b.top_in) <= 0.05 && Math.abs(a.bottom_in - b.bottom_in) <= 0.05;

const short = (value: number): string => String(Number(value.toFixed(1)));
