import { z } from 'zod';
import { sha256Hex } from '../base/hash.ts';
import type { Dataset } from '../formats/types.ts';
import { UNITS_OF } from './guess.ts';
import { type ColumnUse, columnUseSchema } from './settings.ts';

/** What a file of columns is for. */
export const MAPPING_ROLES = ['points', 'samples'] as const;
export type MappingRole = (typeof MAPPING_ROLES)[number];

/** What a person said of the columns of one kind of file. */
export const rememberedMappingSchema = z.object({
  /** `headerKey` of the file's columns. */
  key: z.string().regex(/^[0-9a-f]{64}$/),
  /** ISO day on which it was set. */
  on: z.string().regex(/^\d{4}-\d{2}-\d{2}$/),
  columns: z.array(columnUseSchema).min(1).max(2000),
  /** What the file was for. Absent in what was kept before it was asked: for either. */
  role: z.enum(MAPPING_ROLES).optional(),
  /** Columns whose doubt a person confirmed: they stand as they are set, without asking again. */
  confirmed: z.array(z.string()).max(2000).optional(),
});
export type RememberedMapping = z.infer<typeof rememberedMappingSchema>;

/** Mappings that are kept; the oldest make room. */
export const MOST_REMEMBERED = 200;

/**
 * A key for all files with the same headers: SHA-256 of the column names as the reader gives them, in their order, blanks around them
 * left out. Another order or one more column is another kind of file.
 */
export const headerKey = (columns: readonly string[]): string =>
  sha256Hex(JSON.stringify(columns.map((column) => column.normalize('NFC').trim())));

/**
 * What was set for a file with the same headers and for the same use, the latest of several; null where nothing was, or where what was set does not fit the
 * columns any more (a column is gone, or a unit is none of its role's).
 */
export function recall(
  memory: readonly RememberedMapping[],
  dataset: Pick<Dataset, 'columns'>,
  role?: MappingRole,
): RememberedMapping | null {
  const key = headerKey(dataset.columns);
  const found = memory.findLast((mapping) => mapping.key === key && isFor(mapping, role));
  return found?.columns.every((use) => fits(use, dataset.columns)) ? found : null;
}

/** Whether a mapping was set for a use; one without its use is for either, as is a question without one. */
const isFor = (mapping: Pick<RememberedMapping, 'role'>, role: MappingRole | undefined): boolean =>
  mapping.role === undefined || role === undefined || mapping.role === role;

/** The memory with one mapping more, as its latest; it takes the place of an earlier one for the same headers and use. At most 200 stay. */
export function remember(
  memory: readonly RememberedMapping[],
  mapping: RememberedMapping,
): readonly RememberedMapping[] {
  return [...forget(memory, mapping.key, mapping.role), mapping].slice(-MOST_REMEMBERED);
}

/** The memory without what was set for the headers of a key, for one use or for any. */
export const forget = (
  memory: readonly RememberedMapping[],
  key: string,
  role?: MappingRole,
): readonly RememberedMapping[] => memory.filter((one) => one.key !== key || !isFor(one, role));

const fits = ({ column, is, unit }: ColumnUse, columns: readonly string[]): boolean =>
  columns.includes(column) && UNITS_OF[is].includes(unit);
