import { isNumberLike, isUnitRow, type TableLayout } from './csv-layout.ts';

type Row = readonly string[];

/** Headers that come again below the first. Indices count rows from 0. */
export interface HeadersAgain {
  /** Rows that are no samples: a header again, and the lines of units, methods or titles that go with it. */
  readonly passed: ReadonlySet<number>;
  /** Where the columns change places: from that row on, column k of the first header stands at `order[k]`. */
  readonly orders: readonly { readonly row: number; readonly order: readonly number[]; readonly quoted: string }[];
  /** A header with other names, below which no value can be given to a column. */
  readonly changed: { readonly row: number; readonly quoted: string } | null;
}

/** Cells of a row quoted; a long row is cut. */
const QUOTED = 120;

/**
 * Looks for the header among the rows below it. The same names in the same places: passed over, with the lines of units and methods that follow
 * it as they followed the first, and with repeated title lines. The same names in other places: the rows below stand in that order. Other names:
 * a row of words without a number that has a name of the header in its own column, or mostly words that begin like its names. Ours.
 */
export function headersAgain(rows: readonly Row[], layout: TableLayout, end = rows.length): HeadersAgain {
  const own = rows[layout.header] ?? [];
  const names = own.map(plain);
  const joined = layout.names.map(plain);
  const isTwice = new Set(names.filter((name) => name !== '')).size < names.filter((name) => name !== '').length;
  const under = rows.slice(layout.header + 1, layout.first + 2).filter((row) => !row.some(isNumberLike));
  const lower = new Set(under.flat().map(plain));
  const above = new Set(rows.slice(0, layout.header).map(lineOf));
  const firsts = new Set([...names, ...joined].map(firstWord));
  const passed = new Set<number>();
  const orders: { row: number; order: readonly number[]; quoted: string }[] = [];
  for (let i = layout.first; i < end; i++) {
    const row = rows[i] ?? [];
    const cells = row.map(plain);
    const filled = cells.filter((cell) => cell !== '');
    if (filled.length === 0) continue;
    if (above.has(lineOf(row))) {
      passed.add(i);
      continue;
    }
    if (filled.length < 2 || row.some(isNumberLike)) continue;
    const goesWith = passed.has(i - 1) || orders.at(-1)?.row === i - 1;
    if (goesWith && (isUnitRow(row, own) || filled.every((cell) => lower.has(cell)))) {
      passed.add(i);
      continue;
    }
    const same = [names, joined].some(
      (known) => known.every((name, k) => name === (cells[k] ?? '')) && !beyond(cells, known),
    );
    const order = same || isTwice ? null : (orderOf(cells, names) ?? orderOf(cells, joined));
    if (same) {
      passed.add(i);
      if (orders.length > 0) orders.push({ row: i, order: names.map((_, k) => k), quoted: quoted(row) });
    } else if (order) orders.push({ row: i, order, quoted: quoted(row) });
    else {
      const inPlace = cells.filter((cell, k) => cell !== '' && (cell === names[k] || cell === joined[k])).length;
      const alike = cells.filter((cell) => cell !== '' && firsts.has(firstWord(cell))).length;
      const distinct = new Set(filled).size === filled.length;
      if (distinct && (inPlace >= 1 || alike >= Math.max(3, filled.length * 0.6)))
        return { passed, orders, changed: { row: i, quoted: quoted(row) } };
    }
  }
  return { passed, orders, changed: null };
}

/** A row's cells in the order of the first header, under the last header above it. */
export function inOrder<T>(again: HeadersAgain, row: number, cells: readonly T[], blank: T): readonly T[] {
  const order = again.orders.findLast((one) => one.row < row)?.order;
  if (!order) return cells;
  const put = order.map((at) => cells[at] ?? blank);
  return [...put, ...cells.slice(order.length)];
}

/** Letters and figures alone: a name typed with other spaces or case is the same name. */
const plain = (cell: string): string =>
  cell
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}%#:/<>+]+/gu, ' ')
    .trim();
const firstWord = (name: string): string => /\p{L}+/u.exec(name)?.[0] ?? name;
const lineOf = (row: Row): string => row.filter((cell) => cell !== '').join('\n');
const beyond = (cells: readonly string[], known: readonly string[]): boolean =>
  cells.slice(known.length).some((cell) => cell !== '');

/** Where each name of the first header stands now; null where the names are not the same ones. */
function orderOf(cells: readonly string[], names: readonly string[]): readonly number[] | null {
  const filled = cells.filter((cell) => cell !== '');
  const wanted = names.filter((name) => name !== '');
  if (filled.length !== wanted.length || beyond(cells, names)) return null;
  const order = names.map((name, k) => (name === '' ? k : cells.indexOf(name)));
  return order.includes(-1) || new Set(order).size < order.length ? null : order;
}

function quoted(row: Row): string {
  const text = row.filter((cell) => cell !== '').join(', ');
  return text.length > QUOTED ? `${text.slice(0, QUOTED - 1)}\u2026` : text;
}
