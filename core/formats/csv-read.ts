import { caution, fail, LISTED_PROBLEMS, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { type HeadersAgain, headersAgain, inOrder } from './csv-again.ts';
import { findDecimal } from './csv-decimal.ts';
import { findLayout, layoutWords, type TableLayout, usedWidth } from './csv-layout.ts';
import { findDelimiter, splitTable } from './csv-split.ts';
import { decodeTable } from './csv-text.ts';
import { type FileSet, type FormatReader, single } from './reader.ts';
import { count, listed } from './say.ts';
import type { DataRecord, Dataset } from './types.ts';
import { uniqueNames } from './unique-names.ts';

/** Text tables: comma, semicolon, tab or bar between the cells. */
export const csvReader: FormatReader = {
  format: 'csv',
  main: ['csv', 'txt', 'tsv'],
  beside: [],
  unread: [],
  remedyWithoutMain: '',
  read: (set) => single(readCsv(set)),
};

/** Columns past which a file is no table any more: as many as spreadsheets have. */
const MOST_COLUMNS = 16_384;

/**
 * A text table. What was understood stands in `reading`: encoding, delimiter, decimal mark, where the header stands, what
 * lies above it, rows of units. Cells stay text without outer blanks; blank ones are null; blank rows are passed over.
 *
 * Problems: `csv-empty`, `csv-binary` (no text), `csv-quote` (a quoted cell that does not end), `csv-one-column` (no
 * delimiter found), `csv-no-header`, `csv-columns`, `csv-no-rows`, `csv-header-changed` (another header further down); cautions `csv-ragged` (a row with cells too few, kept,
 * or too many, set aside: rows listed up to 50, then counted), `csv-names` (made unique), `csv-header-again` (set
 * aside), `csv-header-order` (again, with its columns in another order, which holds from there on), `csv-decimal` (both marks are used, or neither is sure).
 */
function readCsv(set: FileSet): Result<Dataset> {
  const file = set.main.name;
  const decoded = decodeTable(set.main.bytes);
  if (!decoded)
    return fail(
      stop('csv-binary', `${file} is not a text file.`, 'Save the table as CSV in the program it comes from.', {
        file,
      }),
    );
  const told = /^sep=(.)\n/i.exec(decoded.text);
  const text = told ? decoded.text.slice(told[0].length) : decoded.text;
  if (text.trim() === '') return fail(empty(file));
  const delimiter = told?.[1] ?? findDelimiter(text);
  if (delimiter === null) return fail(noDelimiter(text, file));
  const { rows, badQuote } = splitTable(text, delimiter);
  if (badQuote) return fail(badQuoteProblem(badQuote, file));
  const layout = findLayout(rows);
  if (!layout) return fail(noHeader(rows, file));
  if (layout.names.length > MOST_COLUMNS)
    return fail(
      stop('csv-columns', `${file} has ${layout.names.length} columns.`, 'Save only the columns needed.', { file }),
    );
  return build(set, rows, layout, delimiter, [
    `encoding ${decoded.encoding}`,
    `cells apart by ${DELIMITER_WORDS[delimiter] ?? JSON.stringify(delimiter)}`,
  ]);
}

const DELIMITER_WORDS: Readonly<Record<string, string>> = { ',': 'comma', ';': 'semicolon', '\t': 'tab', '|': 'bar' };

function build(
  set: FileSet,
  rows: readonly (readonly string[])[],
  layout: TableLayout,
  delimiter: string,
  reading: readonly string[],
): Result<Dataset> {
  const file = set.main.name;
  const width = usedWidth(rows, layout);
  const named = uniqueNames(Array.from({ length: width }, (_, i) => layout.names[i] ?? ''));
  const kept: { row: number; cells: readonly string[] }[] = [];
  const problems: Problem[] = [];
  const ragged: Problem[] = [];
  const headers = headersAgain(rows, layout);
  if (headers.changed) return fail(headerChanged(file, headers.changed, file));
  const again = [...headers.passed].map((i) => i + 1);
  const ordered = new Set(headers.orders.map(({ row }) => row));
  let blank = 0;
  for (let i = layout.first; i < rows.length; i++) {
    if (headers.passed.has(i) || ordered.has(i)) continue;
    const cells = inOrder(headers, i, rows[i] ?? [], '');
    const row = i + 1;
    if (cells.every((cell) => cell === '')) blank++;
    else if (cells.slice(width).some((cell) => cell !== '')) ragged.push(tooMany(file, row, cells.length, width));
    else {
      if (cells.length < width) ragged.push(tooFew(file, row, cells.length, width));
      kept.push({ row, cells });
    }
  }
  problems.push(...shorten(ragged, file));
  if (named.changed.length > 0)
    problems.push(
      caution('csv-names', `${file}: ${named.changed.join('; ')}.`, 'Check which column is which.', {
        file,
        row: layout.header + 1,
      }),
    );
  if (again.length > 0)
    problems.push(
      caution(
        'csv-header-again',
        `${file} has its header again in ${listed('row', again)}; set aside.`,
        'Nothing to do, if these rows hold no sample.',
        { file, ...(again[0] === undefined ? {} : { row: again[0] }) },
      ),
    );
  problems.push(...headerOrders('csv', file, headers, file));
  if (kept.length === 0)
    return fail(
      ...problems,
      stop('csv-no-rows', `${file} has a header and no row below it that can be read.`, 'Choose a table with rows.', {
        file,
        row: layout.header + 1,
      }),
    );
  const decimal = findDecimal(kept, named.names, delimiter, file);
  const records = kept.map(
    ({ row, cells }): DataRecord => ({
      row,
      geometry: null,
      cells: named.names.map((_, i) => {
        const cell = cells[i] ?? '';
        return cell === '' ? null : cell;
      }),
    }),
  );
  return ok(
    {
      name: set.name,
      format: 'csv',
      files: set.inputs,
      columns: named.names,
      records,
      geometry: 'none',
      crs: null,
      reading: [
        ...reading,
        `decimal ${decimal.mark === ',' ? 'comma' : 'point'}`,
        ...layoutWords(rows, layout),
        ...(blank > 0 ? [`${count(blank, 'blank row')} passed over`] : []),
        ...named.changed,
      ],
      decimal: decimal.mark,
    },
    [...problems, ...decimal.problems],
  );
}

/** A header further down with other names: what stands below it has no column. Code `<kind>-header-changed`. */
export const headerChanged = (
  where: string,
  changed: { readonly row: number; readonly quoted: string },
  file: string,
  kind: 'csv' | 'xlsx' = 'csv',
): Problem =>
  stop(
    `${kind}-header-changed`,
    `Row ${changed.row + 1} of ${where} is a header with other names than the first, "${changed.quoted}", so no value below it is sure to stand in its column.`,
    'Put the two tables in files of their own, or write the same names over both.',
    { file, row: changed.row + 1 },
  );

/** Headers further down with the columns in another order: cautions of code `<kind>-header-order`. */
export function headerOrders(
  kind: 'csv' | 'xlsx',
  where: string,
  { orders, passed }: HeadersAgain,
  file: string,
): readonly Problem[] {
  return orders
    .filter(({ row }) => !passed.has(row))
    .map(({ row, quoted }) =>
      caution(
        `${kind}-header-order`,
        `Row ${row + 1} of ${where} is the header with its columns in another order, "${quoted}"; the rows below it are read by it.`,
        'Check one of the rows below it against the lab’s report.',
        { file, row: row + 1 },
      ),
    );
}

const tooMany = (file: string, row: number, cells: number, width: number): Problem =>
  caution(
    'csv-ragged',
    `Row ${row} of ${file} has ${cells} cells under ${count(width, 'column')}, so no value is sure to stand in its column; the row is set aside.`,
    'Put cells that hold the delimiter in quotes, and take the file in again.',
    { file, row },
  );

const tooFew = (file: string, row: number, cells: number, width: number): Problem =>
  caution(
    'csv-ragged',
    `Row ${row} of ${file} has ${count(cells, 'cell')} under ${count(width, 'column')}; the missing ones are taken as empty.`,
    'Check that its values stand in their columns.',
    { file, row },
  );

function shorten(problems: readonly Problem[], file: string): readonly Problem[] {
  if (problems.length <= LISTED_PROBLEMS) return problems;
  const rest = problems.slice(LISTED_PROBLEMS);
  const aside = rest.filter((problem) => problem.message.endsWith('set aside.')).length;
  return [
    ...problems.slice(0, LISTED_PROBLEMS),
    caution(
      'csv-ragged',
      `${rest.length} more rows of ${file} have cells too few or too many; ${aside} of them are set aside.`,
      'Export the table again with one delimiter between all cells.',
      { file },
    ),
  ];
}

const empty = (file: string): Problem =>
  stop('csv-empty', `${file} is empty.`, 'Export the table again, or choose another file.', { file });

function noDelimiter(text: string, file: string): Problem {
  const quote = splitTable(text, ',').badQuote;
  return quote?.why === 'open'
    ? badQuoteProblem(quote, file)
    : stop(
        'csv-one-column',
        `${file} is no table of several columns: no comma, semicolon, tab or bar parts its rows evenly.`,
        'Save the table as CSV in the program it comes from.',
        { file },
      );
}

const badQuoteProblem = (bad: { readonly row: number; readonly why: 'open' | 'tail' }, file: string): Problem =>
  stop(
    'csv-quote',
    bad.why === 'open'
      ? `Row ${bad.row} of ${file} has a quoted cell that never ends.`
      : `Row ${bad.row} of ${file} has text after a closing quote.`,
    'Double every quote inside a quoted cell, or take the stray one away.',
    { file, row: bad.row },
  );

function noHeader(rows: readonly (readonly string[])[], file: string): Problem {
  const row = rows.findIndex((cells) => cells.filter((cell) => cell !== '').length > 1) + 1;
  return stop(
    'csv-no-header',
    `${file} has no row with column names: row ${row} holds values already.`,
    'Add a first row that names the columns.',
    { file, row },
  );
}
