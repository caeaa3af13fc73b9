import type { CellValue } from '../formats/types.ts';

const DAY_MS = 86_400_000;
/** Day 0 of a spreadsheet's calendar, 1899-12-30 in UTC. */
const SPREADSHEET_EPOCH = Date.UTC(1899, 11, 30);

/**
 * Year of a date as a cell tells it: `2024`, `2024-03-01`, `3/1/2024`, `01.03.24`, `20240301`, `12 Mar 2024`, or the day number of a
 * spreadsheet (20,000 to 80,000: 1954 to 2119). Two digits after a day and a month are of this century. Null where it tells none.
 */
export function readYear(cell: CellValue): number | null {
  if (cell === null || typeof cell === 'boolean') return null;
  const text = String(cell)
    .trim()
    .replace(/^(\d+)[.,]0+$/, '$1');
  if (/^\d+([.,]\d+)?$/.test(text)) {
    const value = Number(text.replace(',', '.'));
    if (Number.isInteger(value) && isYear(value)) return value;
    if (value >= 20_000 && value <= 80_000) return new Date(SPREADSHEET_EPOCH + value * DAY_MS).getUTCFullYear();
    const packed = /^(\d{4})(\d{2})(\d{2})$/.exec(text);
    return packed && isDay(packed[2], packed[3]) && isYear(Number(packed[1])) ? Number(packed[1]) : null;
  }
  const whole = /(?<!\d)(\d{4})(?!\d)/.exec(text)?.[1];
  if (whole !== undefined) return isYear(Number(whole)) ? Number(whole) : null;
  const short = /^\d{1,2}[-/. ](?:\d{1,2}|[a-z]{3,9}\.?)[-/. ](\d{2})(?!\d)/i.exec(text)?.[1];
  return short === undefined ? null : 2000 + Number(short);
}

const isYear = (value: number): boolean => value >= 1950 && value <= 2200;
const isDay = (month = '', day = ''): boolean =>
  Number(month) >= 1 && Number(month) <= 12 && Number(day) >= 1 && Number(day) <= 31;
