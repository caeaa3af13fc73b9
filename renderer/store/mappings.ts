import { create } from 'zustand';
import { type MappingRole, type RememberedMapping, recall } from '../../core/soil/mapping-memory.ts';
import type { ColumnUse } from '../../core/soil/settings.ts';
import { isSameUse } from '../../core/soil/standing-doubts.ts';

/** What persons set for the columns of files, by their headers, as the host keeps it. */
export const useMappings = create<{ readonly mappings: readonly RememberedMapping[] }>()(() => ({ mappings: [] }));

/** What is kept for files with these headers and this use; undefined where nothing is. */
export const useRemembered = (columns: readonly string[], role?: MappingRole): RememberedMapping | undefined =>
  useMappings(({ mappings }) => rememberedFor(mappings, columns, role));

export const rememberedFor = (
  mappings: readonly RememberedMapping[],
  columns: readonly string[],
  role?: MappingRole,
): RememberedMapping | undefined =>
  mappings.length === 0 ? undefined : (recall(mappings, { columns }, role) ?? undefined);

/** Whether a person confirmed a column as it stands, in an earlier file with the same headers. */
export const wasConfirmed = (known: RememberedMapping | undefined, use: ColumnUse): boolean =>
  known?.confirmed?.includes(use.column) === true &&
  known.columns.some((one) => one.column === use.column && isSameUse(one, use));
