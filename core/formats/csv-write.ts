import { encodeUtf8 } from '../base/text.ts';

/**
 * A table as CSV (RFC 4180): commas, CRLF, UTF-8 with a byte-order mark so that spreadsheets take it as such; null is a blank cell. Text
 * that a spreadsheet would run as a formula (it begins with = + - @, a tab or a return) gets an apostrophe before it. Same rows,
 * same bytes.
 */
export function writeCsv(rows: readonly (readonly (string | number | null)[])[]): Uint8Array {
  const lines = rows.map((row) => `${row.map(cell).join(',')}\r\n`);
  return encodeUtf8(`\uFEFF${lines.join('')}`);
}

function cell(value: string | number | null): string {
  if (value === null) return '';
  if (typeof value === 'number') return Number.isFinite(value) ? String(value) : '';
  const safe = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
