import type { Problem } from '../base/problem.ts';
import type { CellValue, DataRecord } from '../formats/types.ts';
import type { Spot } from './places.ts';
import type { SoilSettings } from './settings.ts';
import type { SoilRow } from './types.ts';
import type { RowValues } from './values.ts';

export type Decision = SoilSettings['decisions'][number];

/** A row while it is being judged. Reasons only grow; a row once set aside stays so. */
export interface Draft {
  readonly file: string;
  readonly record: DataRecord;
  readonly id: string;
  readonly decision: Decision | null;
  spot: Spot | null;
  aside: boolean;
  readonly reasons: Problem[];
  readonly bad: Set<string>;
}
/** A row of the lab file. */
export interface LabDraft extends Draft {
  readonly values: RowValues;
  /** Index of the point it was joined to. */
  point: number | null;
  /** Of another year or depth than the one in use. */
  otherSeries: boolean;
}

/** Sets a row aside, with its reason and the column whose cell is the matter. */
export function setAside(draft: Draft, reason: Problem, column?: string): void {
  draft.aside = true;
  draft.reasons.push(reason);
  if (column !== undefined) draft.bad.add(column);
}

/** Rows of a group told one by one; one sentence stays readable however many rows claim one sample. */
const NAMED_ROWS = 20;

/** Row numbers of a group's other rows, in words: the first twenty, then their count. */
export function otherRows(group: readonly Draft[], row: Draft): string {
  const few = group
    .slice(0, NAMED_ROWS + 1)
    .filter((one) => one !== row)
    .slice(0, NAMED_ROWS)
    .map((one) => one.record.row);
  const rest = group.length - 1 - few.length;
  return rest > 0 ? `${few.join(', ')} and ${rest} more` : few.join(', ');
}

/** Finds a person's word on a row. Files go by their last name, whatever folder a plan keeps them in. */
export function decisionsOn(file: string, settings: SoilSettings): (row: number) => Decision | null {
  const last = (path: string): string => path.slice(path.lastIndexOf('/') + 1);
  const here = settings.decisions.filter((decision) => last(decision.file) === last(file));
  return (row) => here.findLast((decision) => decision.row === row) ?? null;
}

export function rowOf(draft: Draft): SoilRow {
  return {
    file: draft.file,
    row: draft.record.row,
    id: draft.id,
    cells: draft.record.cells.map(textOf),
    at: draft.spot?.at ?? null,
    kept: !draft.aside,
    reasons: draft.reasons,
    badColumns: [...draft.bad],
  };
}

const textOf = (cell: CellValue): string => (cell === null ? '' : String(cell));
