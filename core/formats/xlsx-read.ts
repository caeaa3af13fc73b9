import { caution, fail, LISTED_PROBLEMS, note, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { headersAgain, inOrder } from './csv-again.ts';
import { findDecimal } from './csv-decimal.ts';
import { findLayout, isNumberLike, layoutWords, type TableLayout, usedWidth } from './csv-layout.ts';
import { headerChanged, headerOrders } from './csv-read.ts';
import type { FileSet, FormatReader } from './reader.ts';
import { count, listed } from './say.ts';
import type { CellValue, DataRecord, Dataset } from './types.ts';
import { uniqueNames } from './unique-names.ts';
import { damaged, openWorkbook, type Sheet, type Workbook } from './xlsx-book.ts';
import { datesOfColumns } from './xlsx-dates.ts';
import { columnName, readSheet, type SheetCells } from './xlsx-sheet.ts';

/** Workbooks of Office Open XML. */
export const xlsxReader: FormatReader = {
  format: 'xlsx',
  main: ['xlsx', 'xlsm'],
  beside: [],
  unread: [],
  remedyWithoutMain: '',
  read: readXlsx,
};

/** Rows times columns of one sheet; a lab's sheet has thousands. */
const MOST_CELLS = 20_000_000;

/**
 * Every sheet of a workbook that holds a table, as a dataset named `file, sheet name`; those that people see come first. The header is
 * found as in a text table: lines above it and notes below the table are told and not part of it. Cells are what `readSheet` gives;
 * a cell merged down over several rows of the table counts for each. `row` is the sheet's own row.
 *
 * A reader of our own: the parts are plain XML in a zip that fflate opens, and readers on npm either carry advisories, want Node's streams
 * or answer later than the door waits, and do not tell hidden sheets, percent formats and missing results.
 *
 * Problems: those of the zip and of `openWorkbook`; `xlsx-no-table` (no sheet holds one; each sheet's reason in the detail), `xlsx-too-large`;
 * cautions `xlsx-errors` and `xlsx-no-result` (cells by name), `xlsx-beside` (values beside the table, not read), `xlsx-names`,
 * `xlsx-header-again`, `xlsx-header-order` (again, in another order, which holds from there on), `xlsx-header-changed` (another header further
 * down: the sheet is not read; a stop where no other is), and `csv-decimal` for numbers kept as text; notes `xlsx-sheet` (a sheet without a table) and `xlsx-below`.
 */
function readXlsx(set: FileSet): Result<readonly Dataset[]> {
  const file = set.main.name;
  const book = openWorkbook(set.main.bytes, file);
  if (!book.ok) return book;
  const made: Dataset[] = [];
  const problems: Problem[] = [...book.problems];
  const without: string[] = [];
  const refused: Problem[] = [];
  const sheets = [...book.value.sheets].sort((one, other) => Number(one.hidden) - Number(other.hidden));
  for (const sheet of sheets) {
    const read = tableOf(sheet, book.value, set);
    if (typeof read === 'string') without.push(`"${sheet.name}": ${read}`);
    else if (read.ok) {
      made.push(read.value);
      problems.push(...read.problems);
    } else if (read.problems.every(({ code }) => code === 'xlsx-header-changed')) refused.push(...read.problems);
    else return fail(...problems, ...read.problems);
  }
  if (made.length === 0 && refused.length > 0) return fail(...problems, ...refused);
  // Another sheet may be the one that is meant; what is not read is told.
  problems.push(...refused.map((problem): Problem => ({ ...problem, severity: 'caution' })));
  if (made.length === 0)
    return fail(
      ...problems,
      stop(
        'xlsx-no-table',
        `${file} has no sheet with a table: no row of column names with rows of values below it.`,
        'Choose another workbook, or add a first row that names the columns.',
        { file },
        without.join('; '),
      ),
    );
  if (without.length > 0)
    problems.push(
      note(
        'xlsx-sheet',
        `${file} has ${count(without.length, 'sheet')} without a table, not read: ${without.slice(0, 10).join('; ')}.`,
        'Nothing to do, if no samples stand there.',
        { file },
      ),
    );
  return ok(made, problems);
}

/** The dataset of a sheet, or why it holds no table. */
function tableOf(sheet: Sheet, book: Workbook, set: FileSet): Result<Dataset> | string {
  const file = set.main.name;
  if (sheet.xml === null) return 'a chart or the like';
  const read = readSheet(sheet.xml, book);
  if (typeof read === 'string') return fail(damaged(file, `sheet "${sheet.name}"`, read));
  const lastRow = [...read.rows.keys()].at(-1) ?? 0;
  if (lastRow === 0) return 'empty';
  let lastCol = 0;
  for (const cells of read.rows.values()) for (const { col } of cells) lastCol = Math.max(lastCol, col);
  if (lastRow * (lastCol + 1) > MOST_CELLS)
    return fail(
      stop(
        'xlsx-too-large',
        `Sheet "${sheet.name}" of ${file} reaches to row ${lastRow} and column ${columnName(lastCol)}, which is past the limit.`,
        'Copy the table alone into a new workbook, or save the sheet as CSV.',
        { file },
      ),
    );
  const values = denseRows(read, lastRow);
  const rows = values.map((row) =>
    Array.from(row, (cell) => (cell === null || cell === undefined ? '' : String(cell))),
  );
  const layout = findLayout(rows);
  if (!layout) return 'its first full row holds values, not names';
  if (layout.names.filter((name) => name !== '').length < 2) return 'fewer than two columns';
  fillMerged(read, values, rows, layout.first);
  return build(sheet, read, values, rows, layout, set, book.from1904);
}

/** A share that the workbook shows as percent, as `readSheet` writes it. */
const SHOWN = /^-?\d+(?:\.\d+)?%$/;

/** Where texts have a decimal comma, shares have it too. */
const withComma = (record: DataRecord): DataRecord => ({
  ...record,
  cells: record.cells.map((cell) => (typeof cell === 'string' && SHOWN.test(cell) ? cell.replace('.', ',') : cell)),
});

type Row = (CellValue | undefined)[];

function denseRows(read: SheetCells, lastRow: number): Row[] {
  const blank: Row = [];
  return Array.from({ length: lastRow }, (_, i) => {
    const cells = read.rows.get(i + 1);
    if (!cells) return blank;
    const row: Row = Array.from({ length: Math.max(...cells.map(({ col }) => col)) + 1 }, () => null);
    for (const { col, value } of cells) row[col] = value;
    return row;
  });
}

/** A cell merged down over rows of the table stands for all of them. */
function fillMerged(read: SheetCells, values: Row[], rows: string[][], first: number): void {
  for (const { top, bottom, left } of read.merged) {
    const value = values[top - 1]?.[left];
    if (top - 1 < first || bottom === top || value === null || value === undefined) continue;
    for (let i = top; i < Math.min(bottom, values.length); i++) {
      if ((values[i] ?? []).length === 0) continue;
      const row = [...(values[i] ?? [])];
      while (row.length <= left) row.push(null);
      row[left] = value;
      values[i] = row;
      rows[i] = row.map((cell) => (cell === null || cell === undefined ? '' : String(cell)));
    }
  }
}

function build(
  sheet: Sheet,
  read: SheetCells,
  values: readonly Row[],
  rows: readonly (readonly string[])[],
  layout: TableLayout,
  set: FileSet,
  from1904: boolean,
): Result<Dataset> | string {
  const file = set.main.name;
  const end = tableEnd(rows, layout);
  const width = usedWidth(rows.slice(0, end), layout);
  const named = uniqueNames(Array.from({ length: width }, (_, i) => layout.names[i] ?? ''));
  const headers = headersAgain(rows, layout, end);
  if (headers.changed) return fail(headerChanged(`sheet "${sheet.name}" of ${file}`, headers.changed, file, 'xlsx'));
  const ordered = new Set(headers.orders.map(({ row }) => row));
  const records: DataRecord[] = [];
  const texts: { row: number; cells: string[] }[] = [];
  const again = [...headers.passed].map((i) => i + 1);
  const beside: string[] = [];
  let blank = 0;
  for (let i = layout.first; i < end; i++) {
    if (headers.passed.has(i) || ordered.has(i)) continue;
    const cells = rows[i] ?? [];
    if (cells.every((cell) => cell === '')) {
      blank++;
      continue;
    }
    cells.forEach((cell, k) => {
      if (k >= width && cell !== '') beside.push(`${columnName(k)}${i + 1}`);
    });
    const put = inOrder(headers, i, values[i] ?? [], null);
    const own = named.names.map((_, k) => put[k] ?? null);
    if (own.every((cell) => cell === null)) {
      blank++;
      continue;
    }
    records.push({ row: i + 1, geometry: null, cells: own });
    texts.push({ row: i + 1, cells: own.map((cell) => (typeof cell === 'string' && !SHOWN.test(cell) ? cell : '')) });
  }
  if (records.length === 0) return 'a header and no row below it';
  const decimal = findDecimal(texts, named.names, '\t', file);
  const dated = datesOfColumns(records, named.names, from1904);
  const spoken = decimal.mark === ',' ? dated.records.map(withComma) : dated.records;
  const at = (row: number | undefined) => ({ file, ...(row === undefined ? {} : { row }) });
  const where = `Sheet "${sheet.name}" of ${file}`;
  const problems: Problem[] = [...decimal.problems];
  const cellsTold = (code: string, names: readonly string[], what: string, remedy: string): void => {
    if (names.length > 0) problems.push(caution(code, `${where} ${what}: ${cellList(names)}.`, remedy, { file }));
  };
  cellsTold(
    'xlsx-errors',
    read.errors,
    'has an error instead of a value in',
    'Put the formula right, or type the value.',
  );
  cellsTold(
    'xlsx-no-result',
    read.withoutResult,
    'has formulas without their results, read as empty, in',
    'Open the workbook in a spreadsheet program, save it, and take it in again.',
  );
  cellsTold(
    'xlsx-beside',
    beside,
    'has values beside the table, which are not read, in',
    'Give their column a name in the header row if they belong to it.',
  );
  if (named.changed.length > 0)
    problems.push(
      caution(
        'xlsx-names',
        `${where}: ${named.changed.join('; ')}.`,
        'Check which column is which.',
        at(layout.header + 1),
      ),
    );
  if (again.length > 0)
    problems.push(
      caution(
        'xlsx-header-again',
        `The header comes again in ${listed('row', again)} of sheet "${sheet.name}" of ${file}; set aside.`,
        'Nothing to do, if these rows hold no sample.',
        at(again[0]),
      ),
    );
  problems.push(...headerOrders('xlsx', `sheet "${sheet.name}" of ${file}`, headers, file));
  const below = saidBelow(rows, end);
  if (below !== '')
    problems.push(
      note(
        'xlsx-below',
        `${where} has lines below the table, not part of it: ${below}.`,
        'Nothing to do, if no samples stand there.',
        at(end + 1),
      ),
    );
  return ok(
    {
      name: `${file}, sheet ${sheet.name}`,
      sheet: sheet.name,
      format: 'xlsx',
      files: set.inputs,
      columns: named.names,
      records: spoken,
      geometry: 'none',
      crs: null,
      reading: [
        `sheet "${sheet.name}"${sheet.hidden ? ', which is hidden in the workbook' : ''}`,
        ...layoutWords(rows, layout),
        ...(below === '' ? [] : [`below the table, not part of it: ${below}`]),
        ...(blank > 0 ? [`${count(blank, 'blank row')} passed over`] : []),
        ...(read.dates > 0 ? [`${count(read.dates, 'date')} read as year-month-day`] : []),
        ...dated.words,
        ...(read.percents > 0 ? [`${count(read.percents, 'cell')} shown as percent, read as shown`] : []),
        ...(read.hiddenRows > 0 ? [`${count(read.hiddenRows, 'hidden row')}, read like the others`] : []),
        ...(read.hiddenCols > 0 ? [`${count(read.hiddenCols, 'hidden column')}, read like the others`] : []),
        ...named.changed,
      ],
      decimal: decimal.mark,
    },
    problems,
  );
}

/**
 * Row after the table's last, from 0. Notes at the foot are lines of words, no numbers, with at most a third of the table's cells, that a blank row
 * sets apart or that hold one sentence of three words and more. An id alone right under the table is a row of it.
 */
function tableEnd(rows: readonly (readonly string[])[], layout: TableLayout): number {
  const columns = layout.names.filter((name) => name !== '').length;
  let end = rows.length;
  for (let i = rows.length - 1; i >= layout.first; i--) {
    const cells = (rows[i] ?? []).filter((cell) => cell !== '');
    const few = cells.length <= 1 || cells.length * 3 <= columns;
    if (!few || cells.some(isNumberLike)) break;
    if (cells.length === 0) end = i + 1;
    else if (cells.length === 1 && columns > 2 && /\S\s+\S+\s+\S/.test(cells[0] ?? '')) end = i;
  }
  return end;
}

function saidBelow(rows: readonly (readonly string[])[], end: number): string {
  return rows
    .slice(end)
    .flatMap((row, i) => {
      const said = row.filter((cell) => cell !== '').join(' ');
      return said === '' ? [] : [`row ${end + i + 1}: "${said.length > 80 ? `${said.slice(0, 79)}…` : said}"`];
    })
    .slice(0, 10)
    .join('; ');
}

function cellList(names: readonly string[]): string {
  const rest = names.length - LISTED_PROBLEMS;
  return `${names.slice(0, LISTED_PROBLEMS).join(', ')}${rest > 0 ? ` and ${rest} more` : ''}`;
}
