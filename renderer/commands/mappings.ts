import type { Problem } from '../../core/base/problem.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { headerKey, type MappingRole } from '../../core/soil/mapping-memory.ts';
import type { ColumnUse } from '../../core/soil/settings.ts';
import { isSameUse } from '../../core/soil/standing-doubts.ts';
import type { TableColumns } from '../compute/protocol.ts';
import { useDocument } from '../store/document.ts';
import { rememberedFor, useMappings, wasConfirmed } from '../store/mappings.ts';
import { addNotices, useResults } from '../store/results.ts';
import { askHost } from './ask-host.ts';

/** Takes in what the host keeps of earlier files. A host that does not answer is told of elsewhere: nothing depends on it. */
export async function loadMappings(): Promise<void> {
  const asked = await askHost('listMappings', {});
  if (asked.ok && asked.value.ok) useMappings.setState(asked.value.value);
}

/**
 * Keeps what a person sets of a table's columns, for every file with the same headers; undo takes that back as well. Columns that come
 * with a plan or a file are nobody's correction.
 */
export function followColumns(): () => void {
  return useDocument.subscribe(({ history }, before) => {
    const opened = history === null || history.past.length + history.future.length === 0;
    if (opened || before.history === null) return;
    const [now, was] = [history.present, before.history.present];
    const { samples, points } = useResults.getState().columns;
    if (now.soil.sampleTable === was.soil.sampleTable) corrected(now, was, 'sampleFiles', 'sampleColumns', samples);
    corrected(now, was, 'pointFiles', 'pointColumns', points);
  });
}

function corrected(
  now: Plan,
  was: Plan,
  files: 'sampleFiles' | 'pointFiles',
  columns: 'sampleColumns' | 'pointColumns',
  table: TableColumns | null,
): void {
  if (!table || now.soil[columns] === was.soil[columns]) return;
  if (now.soil[files].join() !== was.soil[files].join()) return;
  const uses = now.soil[columns];
  const asGuessed = table.guesses.every((guess) =>
    isSameUse(guess, uses.find((use) => use.column === guess.column) ?? NOT_USED),
  );
  const role = ROLE_OF[columns];
  const known = rememberedFor(useMappings.getState().mappings, table.columns, role);
  const confirmed = uses.flatMap((use) => (wasConfirmed(known, use) ? [use.column] : []));
  void save(table.columns, asGuessed && confirmed.length === 0 ? null : [...uses], role, confirmed);
}

const ROLE_OF = { sampleColumns: 'samples', pointColumns: 'points' } as const satisfies Record<string, MappingRole>;

/** Keeps that a person confirmed a column whose guess is in doubt: files with the same headers are not asked about it again. */
export function rememberConfirmed(
  columns: 'sampleColumns' | 'pointColumns',
  table: TableColumns,
  uses: readonly ColumnUse[],
  column: string,
): Promise<void> {
  const role = ROLE_OF[columns];
  const known = rememberedFor(useMappings.getState().mappings, table.columns, role);
  const before = uses.flatMap((use) => (wasConfirmed(known, use) ? [use.column] : []));
  const all = table.columns.map(
    (name): ColumnUse => uses.find((use) => use.column === name) ?? { column: name, ...NOT_USED },
  );
  return save(table.columns, all, role, [...new Set([...before, column])]);
}

const NOT_USED: Omit<ColumnUse, 'column'> = { is: 'unused', unit: 'none' };

export const forgetColumnsOf = (columns: readonly string[]): Promise<void> => save(columns, null);

async function save(
  columns: readonly string[],
  uses: ColumnUse[] | null,
  role?: MappingRole,
  confirmed: readonly string[] = [],
): Promise<void> {
  const asked = await askHost('saveMapping', {
    key: headerKey(columns),
    columns: uses,
    ...(role === undefined ? {} : { role }),
    ...(confirmed.length === 0 ? {} : { confirmed: [...confirmed] }),
  });
  if (!asked.ok) return;
  if (asked.value.ok) useMappings.setState(asked.value.value);
  else addNotices([softened(asked.value.problem)]);
}

/** The plan itself holds the columns: what could not be remembered stops nothing. */
const softened = (problem: Problem): Problem => ({ ...problem, severity: 'caution' });
