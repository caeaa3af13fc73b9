import { unitOfWords } from '../base/parse-value.ts';
import { isNumberLike } from '../formats/csv-layout.ts';
import type { Dataset } from '../formats/types.ts';
import { readHeader } from './headers.ts';
import type { ColumnRole } from './settings.ts';

/** A column whose cells are the unit of another one. */
export interface UnitColumn {
  /** Index of the column that holds the values. */
  readonly of: number;
  /** Heading of the column that holds the unit. */
  readonly column: string;
  /** The unit's words; of several units all of them, which no heading is read in. */
  readonly words: string;
}

const UNIT_HEADING = /^(.*?)[\s_.,()-]*(?:units?|uom|einheit|unite|unidad)\)?$/i;
const HAS_UNIT: ReadonlySet<ColumnRole> = new Set<ColumnRole>(['k', 'ca', 'mg', 'na', 'cec', 'organicMatter']);

/**
 * Columns of units, `K unit` of `K`, or a bare `Unit` of the column before it, whose cells hold units and no numbers. A column whose own heading
 * names a unit has none. Cost: cells of such columns.
 */
export function unitColumns(dataset: Dataset): readonly UnitColumn[] {
  return dataset.columns.flatMap((column, index): readonly UnitColumn[] => {
    const name = UNIT_HEADING.exec(column.trim())?.[1];
    if (name === undefined) return [];
    const of = name === '' ? index - 1 : namedLike(dataset, name);
    const values = dataset.columns[of];
    if (values === undefined || of === index) return [];
    const header = readHeader(values);
    if (!HAS_UNIT.has(header.role) || header.unit !== null) return [];
    const cells = dataset.records.flatMap((record) => {
      const text = String(record.cells[index] ?? '').trim();
      return text === '' ? [] : [text];
    });
    if (cells.length === 0 || cells.some(isNumberLike)) return [];
    const units = new Map(cells.map((cell) => [unitOfWords(cell) ?? cell.toLowerCase(), cell]));
    return [{ of, column, words: [...units.values()].slice(0, 4).join(' or ') }];
  });
}

function namedLike(dataset: Dataset, name: string): number {
  const plain = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');
  const same = dataset.columns.findIndex((column) => plain(column) === plain(name));
  if (same >= 0) return same;
  const { role } = readHeader(name);
  const alike = dataset.columns.flatMap((column, index) => (readHeader(column).role === role ? [index] : []));
  return role !== 'unused' && alike.length === 1 ? (alike[0] ?? -1) : -1;
}
