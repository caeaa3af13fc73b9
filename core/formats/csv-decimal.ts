import { caution, type Problem } from '../base/problem.ts';
import { listed } from './say.ts';

export interface DecimalMark {
  readonly mark: '.' | ',';
  readonly problems: readonly Problem[];
}

const WITH_COMMA = /^[<>≤≥]?\s*[+-]?\d+,\d+\s*%?$/;
const WITH_POINT = /^[<>≤≥]?\s*[+-]?\d*\.\d+\s*%?$/;
/** `1,250`: a decimal comma with three decimals, or thousands. */
const THOUSANDS = /^[<>≤≥]?\s*[+-]?[1-9]\d{0,2}(?:,\d{3})+\s*%?$/;

/**
 * The decimal mark of a table's numbers. A comma, where numbers have one and none has a point; `1,250` alone says
 * neither: it is taken for thousands, but for a decimal comma between semicolons, which stand where commas are taken.
 * Problems: caution `csv-decimal` where both marks are used, or the comma could be either.
 */
export function findDecimal(
  rows: readonly { readonly row: number; readonly cells: readonly string[] }[],
  columns: readonly string[],
  delimiter: string,
  file: string,
): DecimalMark {
  const comma: number[] = [];
  const unsure: number[] = [];
  const point: number[] = [];
  let column = '';
  const listFor = (cell: string): number[] | null => {
    if (!cell.includes(',')) return cell.includes('.') && WITH_POINT.test(cell) ? point : null;
    return THOUSANDS.test(cell) ? unsure : WITH_COMMA.test(cell) ? comma : null;
  };
  for (const { row, cells } of rows) {
    for (const [i, cell] of cells.entries()) {
      const found = listFor(cell);
      if (!found) continue;
      if (found === comma || (found === unsure && column === '')) column = columns[i] ?? '';
      if (found.at(-1) !== row) found.push(row);
    }
  }
  const at = (row: number | undefined) => ({
    file,
    ...(row === undefined ? {} : { row }),
    ...(column ? { column } : {}),
  });
  if (comma.length > 0 && point.length > 0) {
    const mark = comma.length > point.length ? ',' : '.';
    const odd = mark === ',' ? point : comma;
    return {
      mark,
      problems: [
        caution(
          'csv-decimal',
          `${file} has numbers with a decimal comma and with a point; the ${mark === ',' ? 'comma' : 'point'} is taken, and ${listed('row', odd)} ${odd.length === 1 ? 'has' : 'have'} the other.`,
          'Check these rows, and write all numbers with one mark.',
          at(odd[0]),
        ),
      ],
    };
  }
  if (comma.length > 0) return { mark: ',', problems: [] };
  if (unsure.length > 0 && point.length === 0) {
    const mark = delimiter === ';' ? ',' : '.';
    return {
      mark,
      problems: [
        caution(
          'csv-decimal',
          `${file} has numbers such as 1,250, which can be thousands or have a decimal comma, in ${listed('row', unsure)}; nothing else tells, and they are taken ${mark === ',' ? 'to have a decimal comma' : 'for thousands'}.`,
          'Write the numbers without marks for thousands.',
          at(unsure[0]),
        ),
      ],
    };
  }
  return { mark: '.', problems: [] };
}
