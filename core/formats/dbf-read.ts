import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { type DbfField, type DbfRows, readRows } from './dbf-rows.ts';
import { tableText } from './dbf-text.ts';
import { count } from './say.ts';
import { uniqueNames } from './unique-names.ts';

/** One row for each record, marked-deleted ones among them; cells in the columns' order. */
export interface DbfTable extends DbfRows {
  readonly columns: readonly string[];
}

const HEADER_BYTES = 32;
const DESCRIPTOR_BYTES = 32;
const END_OF_FIELDS = 0x0d;

/**
 * The table beside a .shp, one row for each of its `shapes` records. Blank cells are null, dates are ISO text, logical
 * values true, false or null; a whole number that a double cannot hold stays text; text by `tableText`.
 *
 * Problems: `dbf-damaged` (header or widths cannot be), `dbf-truncated`, `dbf-row-count` (another number of rows than
 * shapes, so that no row is sure to belong to its shape); cautions `dbf-count` (the header counts wrongly but the rows
 * fit), `dbf-cell` (cells that are no number or date, kept as text), `dbf-type` (a type that is not read; null),
 * `dbf-encoding` (a code page that is not known, or text that is not of it), `dbf-names` (names that came twice or blank);
 * note `dbf-stars` (stars or NaN for a number; null).
 * Source: dBASE III table file layout, as ESRI's Technical Description (1998), page 25, refers to it.
 */
export function readDbf(bytes: Uint8Array, cpg: string | null, shapes: number, file: string): Result<DbfTable> {
  const at = { file };
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < HEADER_BYTES + 1) return fail(damaged(file, `${bytes.length} bytes`));
  const version = bytes[0] ?? 0;
  const told = view.getUint32(4, true);
  const header_bytes = view.getUint16(8, true);
  const row_bytes = view.getUint16(10, true);
  if ((version & 7) === 4) return fail(damaged(file, 'dBASE 7 tables are not read'));
  if (header_bytes <= HEADER_BYTES || header_bytes > bytes.length || row_bytes < 1)
    return fail(damaged(file, `header of ${header_bytes} bytes, rows of ${row_bytes}`));
  const held = Math.floor((bytes.length - header_bytes) / row_bytes);
  const problems: Problem[] = [];
  if (told === shapes) {
    if (held < shapes)
      return fail(
        stop(
          'dbf-truncated',
          `${file} is cut off: it holds ${held} of ${count(shapes, 'row')}.`,
          'Copy or send the file again, whole.',
          { file, row: held + 1 },
        ),
      );
  } else if (held === shapes) {
    problems.push(
      caution(
        'dbf-count',
        `${file} says it has ${count(told, 'row')} and holds ${held}, which is the number of shapes.`,
        'Check that the values stand at the right places on the map.',
        at,
      ),
    );
  } else {
    return fail(
      stop(
        'dbf-row-count',
        `${file} has ${count(told, 'row')} for ${count(shapes, 'shape')}, so no row is sure to belong to its shape.`,
        'Export all parts again together, or leave the .dbf away to take in the shapes alone.',
        { file, row: Math.min(told, shapes) + 1 },
      ),
    );
  }
  const records = bytes.subarray(header_bytes, header_bytes + shapes * row_bytes);
  const text = tableText(cpg, bytes[29] ?? 0, records);
  const fields = readFields(bytes, header_bytes, row_bytes, text.decode, file);
  if (!fields.ok) return fields;
  const names = uniqueNames(fields.value.map((field) => field.name));
  if (names.changed.length > 0)
    problems.push(caution('dbf-names', `${file}: ${names.changed.join('; ')}.`, 'Check which column is which.', at));
  if (text.unknown !== undefined)
    problems.push(
      caution(
        'dbf-encoding',
        `${file} is written in a code page that is not known (${text.unknown}); its text is read as ${text.words.replace(/,.*/, '')}.`,
        'Check names with letters beyond A to Z.',
        at,
      ),
    );
  const rows = readRows(records, row_bytes, fields.value, names.names, text.decode, file, problems);
  return ok(
    { ...rows, columns: names.names, reading: [`text of ${file} is ${text.words}`, ...rows.reading] },
    problems,
  );
}

function readFields(
  bytes: Uint8Array,
  header_bytes: number,
  row_bytes: number,
  decode: (bytes: Uint8Array) => string,
  file: string,
): Result<readonly DbfField[]> {
  const fields: DbfField[] = [];
  let start = 1;
  for (let at = HEADER_BYTES; at + DESCRIPTOR_BYTES <= header_bytes; at += DESCRIPTOR_BYTES) {
    if (bytes[at] === END_OF_FIELDS) break;
    const raw = bytes.subarray(at, at + 11);
    const zero = raw.indexOf(0);
    const type = String.fromCharCode(bytes[at + 11] ?? 0);
    const width = bytes[at + 16] ?? 0;
    const name = decode(zero < 0 ? raw : raw.subarray(0, zero)).trim();
    // FoxPro keeps which cells are null in a hidden field of type 0.
    if (type !== '0') fields.push({ name, type, start, width });
    start += width;
  }
  if (start > row_bytes) return fail(damaged(file, `fields of ${start} bytes in rows of ${row_bytes}`));
  return ok(fields);
}

const damaged = (file: string, detail: string): Problem =>
  stop(
    'dbf-damaged',
    `${file} is not a table that can be read.`,
    'Export the file again, or leave the .dbf away to take in the shapes alone.',
    { file },
    detail,
  );
