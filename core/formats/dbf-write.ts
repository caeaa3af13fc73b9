import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { encodeUtf8 } from '../base/text.ts';
import { putFixed } from './fixed.kernel.ts';
import type { FieldSpec } from './types.ts';

const HEADER_BYTES = 32;
const DESCRIPTOR_BYTES = 32;
const VERSION_DBASE_III = 0x03;
const END_OF_FIELDS = 0x0d;
const END_OF_FILE = 0x1a;
const SPACE = 0x20;
/** Year since 1900, month, day: a constant, so that the same input gives the same bytes. */
const DATE = [80, 1, 1] as const;
const WIDEST_TEXT = 254;
/** The width that every reader takes; wider numbers do not fit a double anyway. */
const WIDEST_NUMBER = 20;
const MOST_FIELDS = 255;

export type CellOut = string | number | null;

/**
 * A dBASE III table in UTF-8 of `rows` records, asked for one by one. Numbers are right-aligned with their fixed decimals, as `toFixed` rounds the double; text
 * is left-aligned and cut at a whole character; null is blank. Throws when a record has another number of values than
 * there are fields, or a value of the wrong kind.
 *
 * Problems: `dbf-name` (not 1 to 10 of A-Z 0-9 _ beginning with a letter, or twice), `dbf-field` (a width that the format
 * cannot hold), `dbf-number` (does not fit, or is not finite: with feature and column); caution `dbf-text-cut`.
 * Source: dBASE III table file layout.
 */
export function writeDbf(
  fields: readonly FieldSpec[],
  rows: number,
  rowOf: (row: number) => readonly CellOut[],
  file: string,
): Result<Uint8Array> {
  const wrong = judgeFields(fields, file);
  if (wrong.length > 0) return fail(...wrong);
  const header_bytes = HEADER_BYTES + fields.length * DESCRIPTOR_BYTES + 1;
  const row_bytes = 1 + fields.reduce((sum, field) => sum + field.width, 0);
  const bytes = new Uint8Array(header_bytes + rows * row_bytes + 1).fill(SPACE, header_bytes);
  writeHeader(bytes, fields, rows, header_bytes, row_bytes);
  const problems: Problem[] = [];
  const cut: Problem[] = [];
  const texts = fields.map(() => new Map<string, Uint8Array>());
  for (let i = 0; i < rows; i++) {
    const row = rowOf(i);
    if (row.length !== fields.length) throw new Error(`writeDbf: ${row.length} values for ${fields.length} fields`);
    let at = header_bytes + i * row_bytes + 1;
    for (let k = 0; k < fields.length; k++) {
      const value = row[k] ?? null;
      const field = fields[k];
      if (!field) continue;
      if (value === null) {
        at += field.width;
        continue;
      }
      if (typeof value !== (field.kind === 'number' ? 'number' : 'string'))
        throw new TypeError(`writeDbf: ${field.name} is a ${field.kind}, its value a ${typeof value}`);
      if (typeof value === 'number') {
        if (!putFixed(bytes, at, field.width, field.decimals, value))
          problems.push(tooWide(value, field, { file, feature: i + 1, column: field.name }));
      } else {
        const known = texts[k]?.get(value);
        const whole = known ?? encodeUtf8(value);
        if (!known && value.length <= LONGEST_KEPT) keep(texts[k], value, whole);
        const end = wholeCharacters(whole, field.width);
        if (end < whole.length) cut.push(textCut(field, { file, feature: i + 1, column: field.name }));
        if (end < whole.length) bytes.set(whole.subarray(0, end), at);
        else for (let b = 0; b < end; b++) bytes[at + b] = whole[b] ?? SPACE;
      }
      at += field.width;
    }
  }
  bytes[bytes.length - 1] = END_OF_FILE;
  return problems.length > 0 ? fail(...problems) : ok(bytes, cut);
}

/** Texts come again and again in a column: the last ones' bytes are kept, so many and no longer than this. */
const LONGEST_KEPT = 64;
const MOST_KEPT = 1024;
function keep(texts: Map<string, Uint8Array> | undefined, value: string, bytes: Uint8Array): void {
  if (texts && texts.size >= MOST_KEPT) texts.clear();
  texts?.set(value, bytes);
}

interface Place {
  readonly file: string;
  readonly feature: number;
  readonly column: string;
}
const tooWide = (value: number, field: FieldSpec, place: Place): Problem =>
  stop(
    'dbf-number',
    `${value} does not fit ${field.name}, which holds ${field.width} characters with ${field.decimals} decimals.`,
    'Check the figure; if it is right, widen the column.',
    place,
  );
const textCut = (field: FieldSpec, place: Place): Problem =>
  caution(
    'dbf-text-cut',
    `A text is longer than the ${field.width} bytes of ${field.name} and was cut.`,
    'Shorten the text.',
    place,
  );

function judgeFields(fields: readonly FieldSpec[], file: string): Problem[] {
  const problems: Problem[] = [];
  const seen = new Set<string>();
  if (fields.length === 0 || fields.length > MOST_FIELDS)
    problems.push(
      stop('dbf-field', `A table has 1 to ${MOST_FIELDS} columns, not ${fields.length}.`, 'Choose the columns again.', {
        file,
      }),
    );
  for (const { name, kind, width, decimals } of fields) {
    const at = { file, column: name };
    if (!/^[A-Z][A-Z0-9_]{0,9}$/.test(name))
      problems.push(
        stop(
          'dbf-name',
          `"${name}" cannot be a column name of a shapefile.`,
          'Use 1 to 10 of A-Z, 0-9 and _, beginning with a letter.',
          at,
        ),
      );
    if (seen.has(name))
      problems.push(stop('dbf-name', `The column name ${name} comes twice.`, 'Give each column its own name.', at));
    seen.add(name);
    const widest = kind === 'number' ? WIDEST_NUMBER : WIDEST_TEXT;
    const roomForDecimals = kind === 'text' ? decimals === 0 : decimals === 0 || decimals <= width - 2;
    if (
      !Number.isInteger(width) ||
      !Number.isInteger(decimals) ||
      width < 1 ||
      width > widest ||
      decimals < 0 ||
      !roomForDecimals
    )
      problems.push(
        stop(
          'dbf-field',
          `${name} cannot be ${width} characters wide with ${decimals} decimals.`,
          `Use a width of 1 to ${widest}, with two characters more than decimals.`,
          at,
        ),
      );
  }
  return problems;
}

function writeHeader(
  bytes: Uint8Array,
  fields: readonly FieldSpec[],
  rows: number,
  header_bytes: number,
  row_bytes: number,
): void {
  const view = new DataView(bytes.buffer);
  bytes[0] = VERSION_DBASE_III;
  bytes.set(DATE, 1);
  view.setUint32(4, rows, true);
  view.setUint16(8, header_bytes, true);
  view.setUint16(10, row_bytes, true);
  for (const [i, field] of fields.entries()) {
    const at = HEADER_BYTES + i * DESCRIPTOR_BYTES;
    writeAscii(bytes, at, field.name);
    bytes[at + 11] = (field.kind === 'number' ? 'N' : 'C').charCodeAt(0);
    bytes[at + 16] = field.width;
    bytes[at + 17] = field.decimals;
  }
  bytes[header_bytes - 1] = END_OF_FIELDS;
}

function writeAscii(bytes: Uint8Array, at: number, text: string): void {
  for (let i = 0; i < text.length; i++) bytes[at + i] = text.charCodeAt(i);
}

/** Most bytes up to a limit that end between characters: a UTF-8 byte 10xxxxxx goes on with the one before. */
function wholeCharacters(bytes: Uint8Array, limit: number): number {
  if (bytes.length <= limit) return bytes.length;
  let end = limit;
  while (end > 0 && ((bytes[end] ?? 0) & 0xc0) === 0x80) end--;
  return end;
}
