import type { CellValue } from './types.ts';
import { isTrue, type Sheet, unescaped, type Workbook } from './xlsx-book.ts';
import { isoOfSerial, percentText } from './xlsx-numbers.ts';
import { attribute, scanXml } from './xml-scan.ts';

export interface SheetCell {
  /** From 0. */
  readonly col: number;
  readonly value: CellValue;
}

/** The filled cells of a sheet, and what there is to tell of it. */
export interface SheetCells {
  /** By row as people see it, from 1; ascending. */
  readonly rows: ReadonlyMap<number, readonly SheetCell[]>;
  readonly merged: readonly Range[];
  readonly hiddenRows: number;
  readonly hiddenCols: number;
  /** Cells that hold an error such as #DIV/0!, and formulas that were saved without their result, by their names. */
  readonly errors: readonly string[];
  readonly withoutResult: readonly string[];
  readonly dates: number;
  readonly percents: number;
}

/** Rows from 1, columns from 0, the last ones included. */
export interface Range {
  readonly top: number;
  readonly bottom: number;
  readonly left: number;
  readonly right: number;
}

/** As many as the format has (ECMA-376 part 1, 18.3.1.73 and spreadsheet programs). */
const MOST_ROWS = 1_048_576;
const MOST_COLS = 16_384;

/**
 * The cells of a sheet. Numbers are numbers, but a date becomes ISO text and a share shown as percent becomes that text (`3.4%`); a
 * formula gives the result that was saved with it; texts lose outer blanks; an error is its own text. Or what is wrong with the part.
 * Source: ECMA-376 part 1, 18.3.1 and 18.18.11 (types of cells).
 */
export function readSheet(xml: NonNullable<Sheet['xml']>, book: Workbook): SheetCells | string {
  const rows = new Map<number, SheetCell[]>();
  const merged: Range[] = [];
  const errors: string[] = [];
  const withoutResult: string[] = [];
  let [hiddenRows, hiddenCols, dates, percents] = [0, 0, 0, 0];
  let [row, col] = [0, -1];
  let cells: SheetCell[] = [];
  let [type, style, value, text, formula] = ['n', 0, '', '', false] as [string, number, string, string, boolean];
  let [inValue, inText, inReading] = [false, false, false];
  let wrong: string | null = null;

  const closeCell = (): void => {
    const name = `${columnName(col)}${row}`;
    if (value === '' && type !== 'inlineStr') {
      if (formula) withoutResult.push(name);
      return;
    }
    let found: CellValue;
    if (type === 's') {
      const shared = book.strings[Number(value)];
      if (shared === undefined) wrong ??= `cell ${name} has shared text ${value} of ${book.strings.length}`;
      found = (shared ?? '').trim();
    } else if (type === 'inlineStr') found = unescaped(text).trim();
    else if (type === 'str' || type === 'd') found = unescaped(value).trim();
    else if (type === 'b') found = isTrue(value.trim());
    else if (type === 'e') {
      errors.push(name);
      found = value.trim();
    } else {
      const number = Number(value);
      if (value.trim() === '' || !Number.isFinite(number)) wrong ??= `cell ${name} holds ${value.slice(0, 20)}`;
      const kind = book.kinds[style] ?? 'plain';
      const iso = kind === 'plain' || kind === 'percent' ? null : isoOfSerial(number, kind, book.from1904);
      if (iso !== null) dates++;
      if (kind === 'percent') percents++;
      found = kind === 'percent' ? percentText(number) : (iso ?? number);
    }
    if (found !== '') cells.push({ col, value: found });
  };

  const bad = scanXml(xml, {
    open: (name, attributes) => {
      switch (name) {
        case 'row': {
          row = Number(attribute(attributes, 'r') ?? row + 1);
          col = -1;
          if (!(Number.isInteger(row) && row >= 1 && row <= MOST_ROWS)) wrong ??= `a row is numbered ${row}`;
          if (isTrue(attribute(attributes, 'hidden'))) hiddenRows++;
          cells = rows.get(row) ?? [];
          rows.set(row, cells);
          break;
        }
        case 'c': {
          const place = attribute(attributes, 'r');
          col = place === null ? col + 1 : columnOf(place);
          if (!(col >= 0 && col < MOST_COLS)) wrong ??= `a cell is called ${place}`;
          type = attribute(attributes, 't') ?? 'n';
          style = Number(attribute(attributes, 's') ?? 0);
          [value, text, formula] = ['', '', false];
          break;
        }
        case 'v':
          inValue = true;
          break;
        case 't':
          inText = true;
          break;
        case 'rPh':
          inReading = true;
          break;
        case 'f':
          formula = true;
          break;
        case 'col':
          if (isTrue(attribute(attributes, 'hidden')))
            hiddenCols += Math.max(0, Number(attribute(attributes, 'max')) - Number(attribute(attributes, 'min')) + 1);
          break;
        case 'mergeCell': {
          const range = rangeOf(attribute(attributes, 'ref') ?? '');
          if (range) merged.push(range);
          break;
        }
      }
    },
    close: (name) => {
      if (name === 'v') inValue = false;
      else if (name === 't') inText = false;
      else if (name === 'rPh') inReading = false;
      else if (name === 'c') closeCell();
    },
    text: (said) => {
      if (inValue) value += said;
      else if (inText && !inReading) text += said;
    },
  });
  wrong ??= bad;
  if (wrong !== null) return wrong;
  const sorted = new Map([...rows].filter(([, all]) => all.length > 0).sort(([one], [other]) => one - other));
  return { rows: sorted, merged, hiddenRows, hiddenCols, errors, withoutResult, dates, percents };
}

/** Column of a cell's name from 0: `B7` is 1, -1 where it is none. */
function columnOf(place: string): number {
  const letters = /^\$?([A-Za-z]{1,3})\$?\d/.exec(place)?.[1]?.toUpperCase();
  if (letters === undefined) return -1;
  let col = 0;
  for (const letter of letters) col = col * 26 + letter.charCodeAt(0) - 64;
  return col - 1;
}

/** `A`, `B`, ... `AA`, as a spreadsheet calls its columns. */
export function columnName(col: number): string {
  let name = '';
  for (let rest = col + 1; rest > 0; rest = Math.floor((rest - 1) / 26))
    name = String.fromCharCode(65 + ((rest - 1) % 26)) + name;
  return name;
}

function rangeOf(ref: string): Range | null {
  const [, from, top, to, bottom] = /^\$?([A-Z]{1,3})\$?(\d{1,7}):\$?([A-Z]{1,3})\$?(\d{1,7})$/i.exec(ref) ?? [];
  if (from === undefined || to === undefined) return null;
  return { top: Number(top), bottom: Number(bottom), left: columnOf(`${from}1`), right: columnOf(`${to}1`) };
}
