import { ROLE_NAMES, UNITS_OF } from '../../core/soil/guess.ts';
import { COLUMN_ROLES, type ColumnRole, type ColumnUnit, type ColumnUse } from '../../core/soil/settings.ts';
import type { ColumnGuess, SoilRow } from '../../core/soil/types.ts';
import type { TableColumns } from '../compute/protocol.ts';
import { editPart } from '../store/document.ts';
import { useView } from '../store/view.ts';

export type WhichColumns = 'sampleColumns' | 'pointColumns';

export const roleWord = (role: ColumnRole): string => {
  const word = ROLE_NAMES[role];
  return role === 'unused'
    ? word
    : word.charAt(0).toUpperCase() === word.charAt(0) || role === 'ph'
      ? word
      : sentenceCase(word);
};
const sentenceCase = (word: string): string => word.charAt(0).toUpperCase() + word.slice(1);

export const ROLE_OPTIONS = COLUMN_ROLES.map((value) => ({ value, label: roleWord(value) }));
export const unitOptions = (role: ColumnRole): readonly { readonly value: ColumnUnit; readonly label: string }[] =>
  UNITS_OF[role].map((value) => ({ value, label: value === 'none' ? '–' : value }));

/** What the plan says a column is; a column it does not name is not used. */
export const columnUse = (uses: readonly ColumnUse[], column: string): ColumnUse =>
  uses.find((use) => use.column === column) ?? { column, is: 'unused', unit: 'none' };

/** Sets a column's role or unit. A unit that the role cannot have gives way to the role's first. */
export function setColumn(which: WhichColumns, table: TableColumns, uses: readonly ColumnUse[], use: ColumnUse): void {
  const units = UNITS_OF[use.is];
  const fitting: ColumnUse = units.includes(use.unit) ? use : { ...use, unit: units[0] };
  const next = table.columns.map((column) => (column === use.column ? fitting : columnUse(uses, column)));
  const unit = fitting.unit === 'none' ? '' : ` in ${fitting.unit}`;
  editPart('soil', `${use.column} is ${ROLE_NAMES[fitting.is]}${unit}`, { [which]: next });
}

export const confirmKey = (table: TableColumns, use: ColumnUse): string =>
  [table.name, use.column, use.is, use.unit].join('\n');

export const confirmColumn = (table: TableColumns, use: ColumnUse): void =>
  useView.setState((view) => ({ confirmed: new Set([...view.confirmed, confirmKey(table, use)]) }));

/** Guesses in doubt that still stand as they were guessed. */
export const doubtfulColumns = (table: TableColumns, uses: readonly ColumnUse[]): readonly ColumnGuess[] =>
  table.guesses.filter((guess) => {
    const use = columnUse(uses, guess.column);
    return guess.doubt !== undefined && use.is === guess.is && use.unit === guess.unit;
  });

/** Figures of a column as far as its cells are figures, for its spread. */
export function figuresOf(rows: readonly SoilRow[], index: number, decimal: '.' | ','): readonly number[] {
  return rows.flatMap(({ cells }) => {
    const cell = (cells[index] ?? '').trim();
    if (cell === '') return [];
    const value = Number(decimal === ',' ? cell.replaceAll('.', '').replace(',', '.') : cell.replaceAll(',', ''));
    return Number.isFinite(value) ? [value] : [];
  });
}
