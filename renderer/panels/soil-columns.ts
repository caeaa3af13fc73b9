import { ROLE_NAMES, UNITS_OF, unitInHeading } from '../../core/soil/guess.ts';
import { COLUMN_ROLES, type ColumnRole, type ColumnUnit, type ColumnUse } from '../../core/soil/settings.ts';
import { isSameUse } from '../../core/soil/standing-doubts.ts';
import type { ColumnGuess, SoilRow } from '../../core/soil/types.ts';
import { countsDepth } from '../../core/soil/units.ts';
import type { TableColumns } from '../compute/protocol.ts';
import { editPart } from '../store/document.ts';

export type WhichColumns = 'sampleColumns' | 'pointColumns';

const OXIDES: Readonly<Partial<Record<ColumnRole, string>>> = { k: 'K₂O', ca: 'CaO', mg: 'MgO', na: 'Na₂O' };

/** What a column can be: a role, or a cation counted as its oxide. */
export type RoleChoice = ColumnRole | `${ColumnRole} oxide`;

export const roleChoice = ({ is, oxide }: Pick<ColumnUse, 'is' | 'oxide'>): RoleChoice =>
  oxide === true && OXIDES[is] !== undefined ? `${is} oxide` : is;

const sentenceCase = (word: string): string => word.charAt(0).toUpperCase() + word.slice(1);

/** A role in words; a cation counted as its oxide with the oxide's name. */
export function roleWord(role: ColumnRole, oxide = false): string {
  const word = ROLE_NAMES[role];
  const cased = role === 'unused' || role === 'ph' ? word : sentenceCase(word);
  return oxide && OXIDES[role] !== undefined ? `${cased} as ${OXIDES[role]}` : cased;
}

export const ROLE_OPTIONS: readonly { readonly value: RoleChoice; readonly label: string }[] = COLUMN_ROLES.flatMap(
  (value) => [
    { value, label: roleWord(value) },
    ...(OXIDES[value] === undefined ? [] : [{ value: `${value} oxide` as const, label: roleWord(value, true) }]),
  ],
);

export const unitOptions = (role: ColumnRole): readonly { readonly value: ColumnUnit; readonly label: string }[] =>
  UNITS_OF[role].map((value) => ({ value, label: value === 'none' ? '–' : value }));

/** A column's unit in words, with the depth it counts: `lb/ac of 8 in`. Empty where it has none. */
export const unitWord = ({ unit, of_in }: ColumnUse): string =>
  unit === 'none' ? '' : of_in === undefined || !countsDepth(unit) ? unit : `${unit} of ${of_in} in`;

/** What the plan says a column is; a column it does not name is not used. */
export const columnUse = (uses: readonly ColumnUse[], column: string): ColumnUse =>
  uses.find((use) => use.column === column) ?? { column, is: 'unused', unit: 'none' };

/** A column with another role, its unit kept where the new role can have it. */
export function withRole(use: ColumnUse, choice: RoleChoice): ColumnUse {
  const [is, oxide] = choice.split(' ') as [ColumnRole, string | undefined]; // the two forms of RoleChoice
  const { oxide: _, ...rest } = use;
  return { ...rest, is, ...(oxide === undefined ? {} : { oxide: true }) };
}

/** Sets what a column is. A unit that the role cannot have gives way to the one that the heading names, else to the role's first. */
export function setColumn(which: WhichColumns, table: TableColumns, uses: readonly ColumnUse[], use: ColumnUse): void {
  const units = UNITS_OF[use.is];
  const { of_in, confirmed: _, ...plain } = use;
  const unit = units.includes(use.unit) ? use.unit : unitInHeading(use.column, use.is);
  const fitting: ColumnUse = { ...plain, unit, ...(of_in !== undefined && countsDepth(unit) ? { of_in } : {}) };
  const next = table.columns.map((column) => (column === use.column ? fitting : columnUse(uses, column)));
  const named = fitting.oxide === true ? `${ROLE_NAMES[fitting.is]} as ${OXIDES[fitting.is]}` : ROLE_NAMES[fitting.is];
  const inUnit = fitting.unit === 'none' ? '' : ` in ${unitWord(fitting)}`;
  editPart('soil', `${use.column} is ${named}${inUnit}`, { [which]: next });
}

/** Writes into the plan that a person confirmed a column as it stands, so that it is not asked about again, here or where the plan is opened next. */
export function confirmColumn(
  which: WhichColumns,
  table: TableColumns,
  uses: readonly ColumnUse[],
  column: string,
): void {
  const next = table.columns.map((name) => {
    const use = columnUse(uses, name);
    return name === column ? { ...use, confirmed: true } : use;
  });
  editPart('soil', `${column} is confirmed`, { [which]: next });
}

/** Guesses in doubt that nobody confirmed yet, as the plan says. */
export const openDoubts = (table: TableColumns, uses: readonly ColumnUse[]): readonly ColumnGuess[] =>
  doubtfulColumns(table, uses).filter(({ column }) => columnUse(uses, column).confirmed !== true);

/** Guesses in doubt that still stand as they were guessed. */
export const doubtfulColumns = (table: TableColumns, uses: readonly ColumnUse[]): readonly ColumnGuess[] =>
  table.guesses.filter((guess) => {
    return guess.doubt !== undefined && isSameUse(guess, columnUse(uses, guess.column));
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
