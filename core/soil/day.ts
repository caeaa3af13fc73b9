import type { CellValue } from '../formats/types.ts';

/** Which of two bare numbers before the year is the day. */
export type DayOrder = 'day first' | 'month first';

const MONTHS = 'jan feb mar apr may jun jul aug sep oct nov dec'.split(' ');
const ISO = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ].*)?$/;
const BARE = /^(\d{1,2})([-/. ])(\d{1,2})[-/. ](\d{2}|\d{4})(?: .*)?$/;
const NAMED = /^(\d{1,2})[-/. ]+([a-z]{3})[a-z]*[-/., ]+(\d{2}|\d{4})$/i;
const MONTH_FIRST = /^([a-z]{3})[a-z]*[-/. ]+(\d{1,2})[-/., ]+(\d{2}|\d{4})$/i;

/**
 * A day that sorts: year x 10,000 + month x 100 + day, of a date or of a spreadsheet's day number. Null where a cell tells no whole day in this order.
 * A point between the figures is met with the day first alone.
 */
export function readDay(cell: CellValue, order: DayOrder): number | null {
  if (cell === null || typeof cell === 'boolean') return null;
  const text = String(cell).trim();
  if (/^\d{5}(?:[.,]\d+)?$/.test(text)) {
    const day = new Date(Date.UTC(1899, 11, 30) + Math.floor(Number(text.replace(',', '.'))) * 86_400_000);
    return dayOf(day.getUTCFullYear(), day.getUTCMonth() + 1, day.getUTCDate());
  }
  const packed = /^(\d{4})(\d{2})(\d{2})$/.exec(text) ?? ISO.exec(text);
  if (packed) return dayOf(Number(packed[1]), Number(packed[2]), Number(packed[3]));
  const named = NAMED.exec(text);
  if (named) return dayOf(yearOf(named[3]), monthOf(named[2]), Number(named[1]));
  const first = MONTH_FIRST.exec(text);
  if (first) return dayOf(yearOf(first[3]), monthOf(first[1]), Number(first[2]));
  const bare = BARE.exec(text);
  if (!bare) return null;
  const [a, b] = [Number(bare[1]), Number(bare[3])];
  const dayFirst = order === 'day first' || bare[2] === '.';
  return dayOf(yearOf(bare[4]), dayFirst ? b : a, dayFirst ? a : b);
}

const yearOf = (text = ''): number => (text.length === 2 ? 2000 + Number(text) : Number(text));
const monthOf = (text = ''): number => MONTHS.indexOf(text.toLowerCase()) + 1;
const dayOf = (year: number, month: number, day: number): number | null =>
  year >= 1950 && year <= 2200 && month >= 1 && month <= 12 && day >= 1 && day <= 31
    ? year * 10_000 + month * 100 + day
    : null;

/** The orders in which every filled cell of a column is a day; both where nothing parts them. */
export function dayOrders(cells: readonly CellValue[]): readonly DayOrder[] {
  const filled = cells.filter((cell) => cell !== null && String(cell).trim() !== '');
  return (['day first', 'month first'] as const).filter((order) =>
    filled.every((cell) => readDay(cell, order) !== null),
  );
}
