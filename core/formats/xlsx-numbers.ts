/** What a cell's number format makes of its number. */
export type NumberKind = 'plain' | 'percent' | 'date' | 'time' | 'date and time';

/** Formats that a workbook need not spell out (ECMA-376 part 1, 18.8.30; 27 to 36 and 50 to 58 are dates of East Asian locales). */
export function builtInKind(id: number): NumberKind {
  if (id === 9 || id === 10) return 'percent';
  if ((id >= 14 && id <= 17) || (id >= 27 && id <= 31) || id === 36 || (id >= 50 && id <= 58)) return 'date';
  if ((id >= 18 && id <= 21) || (id >= 32 && id <= 35) || id === 45 || id === 47) return 'time';
  return id === 22 ? 'date and time' : 'plain';
}

/**
 * What a format code makes of a number, by its first section: letters of a date outside quotes, escapes and brackets. A count of hours
 * such as `[h]:mm` is a duration, which stays a number.
 */
export function kindOfFormat(code: string): NumberKind {
  const section = code
    .replace(/"[^"]*"?|\\.|[_*]./g, '')
    .split(';')[0]
    ?.replace(/\bgeneral\b/gi, '');
  if (section === undefined || /\[(?:h+|m+|s+)\]/i.test(section)) return 'plain';
  const bare = section.replace(/\[[^\]]*\]/g, '').replace(/AM\/PM|A\/P/gi, 'h');
  if (bare.includes('%')) return 'percent';
  // Digits beside letters, as in `0.00E+00`, make a number of it.
  if (/[0#?]/.test(bare.replace(/[sS]\.0+/g, ''))) return 'plain';
  const day = /[yd]/i.test(bare);
  const clock = /[hs]/i.test(bare);
  if (day && clock) return 'date and time';
  return clock ? 'time' : day || /m/i.test(bare) ? 'date' : 'plain';
}

const DAY_S = 86_400;
/** Days from 1970-01-01 to day 0 of each count. Day 60 of the first count is 29 February 1900, which never was. */
const EPOCH_1900 = -25_569;
const EPOCH_1904 = -24_107;
/** 31 December 9999 of the first count: no workbook goes further. */
const LAST_DAY = 2_958_465;

/**
 * A workbook's day number as ISO text: `2025-04-12`, `2025-04-12T08:30:00`, or `08:30:00`, to the second. Null for what is no date
 * there (below 0, past the year 9999, or the 29 February 1900 of the first count). Source: ECMA-376 part 1, 18.17.4.
 */
export function isoOfSerial(serial: number, kind: NumberKind, from1904: boolean): string | null {
  if (!(serial >= 0 && serial < LAST_DAY + 1)) return null;
  const seconds = Math.round(serial * DAY_S);
  const day = Math.floor(seconds / DAY_S);
  const clock = clockOf(seconds - day * DAY_S);
  if (kind === 'time' && day === 0) return clock;
  const real = from1904 ? day + EPOCH_1904 : day < 60 ? day + EPOCH_1900 + 1 : day === 60 ? null : day + EPOCH_1900;
  if (real === null || (!from1904 && day === 0)) return null;
  const date = new Date(real * DAY_S * 1000).toISOString().slice(0, 10);
  return kind === 'date' && seconds === day * DAY_S ? date : `${date}T${clock}`;
}

function clockOf(seconds: number): string {
  const two = (n: number) => String(n).padStart(2, '0');
  return `${two(Math.floor(seconds / 3600))}:${two(Math.floor((seconds % 3600) / 60))}:${two(seconds % 60)}`;
}

/** A share of 1 as the cell shows it: 0.034 is `3.4%`. */
export const percentText = (share: number): string => `${Number((share * 100).toPrecision(12))}%`;
