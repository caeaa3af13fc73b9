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

const UNIT = '(?:in(?:ch(?:es)?)?\\.?|cm|"|\\u2033)';
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
 * Depth of a sample as a cell tells it: `6`, `6 in`, `15 cm`, or from-to as `0-6` or `6 to 12 in`. A unit in the cell goes before the
 * column's. A date (`6-Dec`) is the range whose two numbers it holds, see `isMangled`. Null where it tells none: blank, text, nothing or
 * less, or deeper than 48 in.
 */
export function readDepth(cell: CellValue, decimal: '.' | ',', unit: 'in' | 'cm'): Slice | null {
  const date = numbersOfDate(cell);
  if (date) return sliceOf(date[0], date[1], decimal, unit);
  const text = typeof cell === 'string' ? cell.trim() : cell;
  const range = typeof text === 'string' ? RANGE.exec(text) : null;
  return sliceOf(range ? (range[1] ?? null) : null, range ? (range[2] ?? null) : text, decimal, unit);
}

/** Depth of a sample from a cell for its top and one for its bottom; a blank top is the surface. Null as for `readDepth`. */
export function sliceOf(top: CellValue, bottom: CellValue, decimal: '.' | ',', unit: 'in' | 'cm'): Slice | null {
  const from = top === null ? ({ kind: 'number', value: 0 } as const) : parseValue(top, decimal);
  const to = parseValue(bottom, decimal);
  if (from.kind !== 'number' || to.kind !== 'number') return null;
  const told = to.unit ?? unit;
  if (told !== 'in' && told !== 'cm') return null;
  const per_in = told === 'cm' ? CM_PER_IN : 1;
  const [top_in, bottom_in] = [from.value / per_in, to.value / per_in];
  if (!(bottom_in > top_in && top_in >= 0 && bottom_in <= 48)) return null;
  return { top_in, bottom_in, told: `${short(from.value)}-${short(to.value)} ${told}` };
}

/** The unit that a depth's cell carries itself; null where it carries none. */
export function toldUnitOf(cell: CellValue): 'in' | 'cm' | null {
  if (typeof cell !== 'string') return null;
  const unit = /\d\s*(in(?:ch(?:es)?)?\.?|cm|"|\u2033)\s*$/i.exec(cell.trim())?.[1]?.toLowerCase();
  return unit === undefined ? null : unit === 'cm' ? 'cm' : 'in';
}

/** Whether two depths are the same slice to a twentieth of an inch: `0-15 cm` and `0-5.9 in` are. */
export const isSameSlice = (a: Omit<Slice, 'told'>, b: Omit<Slice, 'told'>): boolean =>
  Math.abs(a.top_in - b.top_in) <= 0.05 && Math.abs(a.bottom_in - b.bottom_in) <= 0.05;

const short = (value: number): string => String(Number(value.toFixed(1)));
