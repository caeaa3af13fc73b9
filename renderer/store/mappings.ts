import { create } from 'zustand';
import { type MappingRole, type RememberedMapping, recall } from '../../core/soil/mapping-memory.ts';
import type { ColumnUse } from '../../core/soil/settings.ts';

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

type Use = Omit<ColumnUse, 'column'>;

/** Whether two say the same of a column. */
export const isSameUse = (a: Use, b: Use): boolean =>
  a.is === b.is && a.unit === b.unit && (a.oxide ?? false) === (b.oxide ?? false) && a.of_in === b.of_in;
