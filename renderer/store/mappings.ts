import { create } from 'zustand';
import { headerKey, type RememberedMapping } from '../../core/soil/mapping-memory.ts';
import type { ColumnUse } from '../../core/soil/settings.ts';

/** What persons set for the columns of files, by their headers, as the host keeps it. */
export const useMappings = create<{ readonly mappings: readonly RememberedMapping[] }>()(() => ({ mappings: [] }));

/** What is kept for files with these headers; undefined where nothing is. */
export function useRemembered(columns: readonly string[]): RememberedMapping | undefined {
  return useMappings(({ mappings }) => {
    if (mappings.length === 0) return undefined;
    const key = headerKey(columns);
    return mappings.findLast((mapping) => mapping.key === key);
  });
}

type Use = Omit<ColumnUse, 'column'>;

/** Whether two say the same of a column. */
export const isSameUse = (a: Use, b: Use): boolean =>
  a.is === b.is && a.unit === b.unit && (a.oxide ?? false) === (b.oxide ?? false) && a.of_in === b.of_in;
