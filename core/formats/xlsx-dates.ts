import type { DataRecord } from './types.ts';
import { isoOfSerial } from './xlsx-numbers.ts';

/** Names of columns whose numbers are days: dates of sampling and of the laboratory. */
const DATED = /\b(dates?|sampled|collected|received|reported|analy[sz]ed|datum|fecha|probenahme\w*)\b/i;
/** Days that a soil test can have been taken on: 1950 to 2070. */
const FIRST_DAY = 18_264;
const LAST_DAY = 62_456;
const OFFSET_1904 = 1462;

export interface DatedRecords {
  readonly records: readonly DataRecord[];
  /** What was read so, in words; empty where nothing was. */
  readonly words: readonly string[];
}

/**
 * Numbers without a format of dates, in a column that holds dates else or is called a date, as ISO text by the workbook's own count of days
 * (from 1900 or from 1904). A column with any other number is left as it is, as are numbers outside 1950 to 2070.
 */
export function datesOfColumns(
  records: readonly DataRecord[],
  columns: readonly string[],
  from1904: boolean,
): DatedRecords {
  const isDay = (value: unknown): value is number => {
    if (typeof value !== 'number' || !Number.isFinite(value)) return false;
    const day = from1904 ? value + OFFSET_1904 : value;
    return day >= FIRST_DAY && day <= LAST_DAY;
  };
  const dated = columns.flatMap((name, k) => {
    const cells = records.map(({ cells: all }) => all[k] ?? null);
    const numbers = cells.filter((cell) => typeof cell === 'number');
    if (numbers.length === 0 || !numbers.every(isDay)) return [];
    const iso = cells.some((cell) => typeof cell === 'string' && /^\d{4}-\d{2}-\d{2}(T|$)/.test(cell));
    return iso || DATED.test(name.replace(/_/g, ' ')) ? [{ k, name, count: numbers.length }] : [];
  });
  if (dated.length === 0) return { records, words: [] };
  const at = new Set(dated.map(({ k }) => k));
  return {
    records: records.map((record) => ({
      ...record,
      cells: record.cells.map((cell, k) =>
        at.has(k) && isDay(cell) ? (isoOfSerial(cell, 'date', from1904) ?? cell) : cell,
      ),
    })),
    words: dated.map(
      ({ name, count }) =>
        `${count} day ${count === 1 ? 'number' : 'numbers'} in "${name}" read as dates, days counted from ${from1904 ? 1904 : 1900} as the workbook says`,
    ),
  };
}
