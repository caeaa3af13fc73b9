import { caution, note, type Problem } from '../base/problem.ts';
import { decodeText } from '../base/text.ts';
import { listed } from './say.ts';
import type { CellValue } from './types.ts';

/** One column of a table: where it stands in a row, and what it holds (dBASE's letter). */
export interface DbfField {
  readonly name: string;
  readonly type: string;
  readonly start: number;
  readonly width: number;
}

export interface DbfRows {
  readonly rows: readonly (readonly CellValue[])[];
  /** Rows, from 1, that are marked as deleted. */
  readonly deleted: readonly number[];
  readonly reading: readonly string[];
}

const DELETED = 0x2a;
/** Records decoded at a time. */
const CHUNK = 2000;
/** ESRI writes numbers beyond this for "no value" (Technical Description, page 2). */
const NO_DATA = 1e38;

/**
 * Rows of a table, `row_bytes` each. `names` are the columns' own names, made unique. Adds to `problems`: `dbf-cell`,
 * `dbf-stars`, `dbf-type` and `dbf-encoding`, as `readDbf` lists them.
 */
export function readRows(
  records: Uint8Array,
  row_bytes: number,
  fields: readonly DbfField[],
  names: readonly string[],
  decode: (bytes: Uint8Array) => string,
  file: string,
  problems: Problem[],
): DbfRows {
  const total = records.length / row_bytes;
  const rows: CellValue[][] = [];
  const deleted: number[] = [];
  const bad: number[][] = fields.map(() => []);
  const starRows: number[] = [];
  const starColumns = new Set<number>();
  const commas = new Set<number>();
  const garbled: number[] = [];
  const unread = fields.flatMap((field, i) => ('CNFDLIBO'.includes(field.type) && fits(field) ? [] : [i]));
  for (let first = 0; first < total; first += CHUNK) {
    const last = Math.min(total, first + CHUNK);
    // One byte, one character: cells can be cut out of the text by their bytes.
    const chunk = decodeText(records.subarray(first * row_bytes, last * row_bytes), 'windows-1252');
    for (let row = first; row < last; row++) {
      const base = row * row_bytes;
      if (records[base] === DELETED) deleted.push(row + 1);
      const cells = fields.map((field, i): CellValue => {
        if (unread.includes(i)) return null;
        const from = base + field.start;
        if (field.type === 'I') return littleEndian(records, from, 4).getInt32(0, true);
        if (field.type === 'B' || field.type === 'O')
          return finiteOrNull(littleEndian(records, from, 8).getFloat64(0, true));
        const text = chunk.slice(from - first * row_bytes, from - first * row_bytes + field.width);
        const cell = cellOf(text, field, () => decode(records.subarray(from, from + field.width)));
        if (cell.comma) commas.add(i);
        if (typeof cell.value === 'string' && cell.value.includes('\uFFFD') && garbled.at(-1) !== row + 1)
          garbled.push(row + 1);
        if (cell.bad && records[base] !== DELETED) {
          if (cell.value === null) {
            starColumns.add(i);
            if (starRows.at(-1) !== row + 1) starRows.push(row + 1);
          } else bad[i]?.push(row + 1);
        }
        return cell.value;
      });
      rows.push(cells);
    }
  }
  if (starRows.length > 0) {
    const columns = [...starColumns].map((i) => names[i] ?? '');
    problems.push(
      note(
        'dbf-stars',
        `${file} has stars or NaN where a number would stand (${columns.join(', ')}; ${listed('row', starRows)}); they are taken as empty.`,
        'Nothing to do if these values are not known; stars also stand for numbers too wide for their column.',
        { file, ...(columns[0] === undefined ? {} : { column: columns[0] }) },
      ),
    );
  }
  for (const [i, at] of bad.entries()) {
    if (at.length === 0) continue;
    const column = names[i] ?? '';
    problems.push(
      caution(
        'dbf-cell',
        `${column} of ${file} holds what is no ${fields[i]?.type === 'D' ? 'date' : 'number'} in ${listed('row', at)}; it is kept as text.`,
        'Mend the cells in the program that wrote the file, if their values matter.',
        { file, column, ...(at[0] === undefined ? {} : { row: at[0] }) },
      ),
    );
  }
  if (garbled.length > 0)
    problems.push(
      caution(
        'dbf-encoding',
        `${file} has text that is not of the code page it is said to be in, in ${listed('row', garbled)}.`,
        'Export the table again as UTF-8, or put the right .cpg beside it.',
        { file, ...(garbled[0] === undefined ? {} : { row: garbled[0] }) },
      ),
    );
  for (const i of unread) {
    const column = names[i] ?? '';
    problems.push(
      caution(
        'dbf-type',
        `${column} of ${file} is of a type that is not read (${JSON.stringify(fields[i]?.type)}); its cells are taken as empty.`,
        'Export the table with plain text and number columns, if its values matter.',
        { file, column },
      ),
    );
  }
  const reading = [...commas].map((i) => `${names[i] ?? ''} has decimal commas`);
  return { rows, deleted, reading };
}

const fits = (field: DbfField): boolean =>
  field.type === 'I'
    ? field.width === 4
    : field.type === 'B' || field.type === 'O'
      ? field.width === 8
      : field.width > 0;

const littleEndian = (bytes: Uint8Array, at: number, length: number): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset + at, length);

const finiteOrNull = (value: number): number | null =>
  Number.isFinite(value) && Math.abs(value) < NO_DATA ? value : null;

interface Cell {
  readonly value: CellValue;
  readonly bad?: boolean;
  readonly comma?: boolean;
}

/** `text` is the cell a byte a character; `decoded` gives it in the table's encoding. */
function cellOf(text: string, field: DbfField, decoded: () => string): Cell {
  switch (field.type) {
    case 'N':
    case 'F':
      return numberOf(trimmed(text));
    case 'D':
      return dateOf(trimmed(text));
    case 'L':
      return { value: /[TtYy]/.test(text) ? true : /[FfNn]/.test(text) ? false : null };
    default: {
      const plain = /^[\x20-\x7e]*$/.test(text) ? text : decoded().replace(/\0[\s\S]*$/, '');
      const value = plain.trimEnd();
      return { value: value === '' ? null : value };
    }
  }
}

const trimmed = (text: string): string => (text.includes('\0') ? text.replace(/\0/g, ' ') : text).trim();

function numberOf(text: string): Cell {
  if (text === '') return { value: null };
  const comma = text.includes(',');
  const plain = comma ? text.replace(',', '.') : text;
  if (!/^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/.test(plain))
    return { value: /^(?:\*+|[+-]?(?:nan|inf).*)$/i.test(text) ? null : text, bad: true };
  const value = Number(plain);
  if (Number.isInteger(value) && !Number.isSafeInteger(value) && /^[+-]?\d+$/.test(plain)) return { value: plain };
  return Math.abs(value) < NO_DATA ? { value, comma } : { value: null };
}

function dateOf(text: string): Cell {
  if (/^0*$/.test(text)) return { value: null };
  const [, year, month, day] = /^(\d{4})(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])$/.exec(text) ?? [];
  return year === undefined
    ? { value: /^\*+$/.test(text) ? null : text, bad: true }
    : { value: `${year}-${month}-${day}` };
}
