import type { ReactElement } from 'react';
import type { SoilRow } from '../../core/soil/types.ts';
import { showRow } from '../commands/rows.ts';
import { openPanel } from '../store/view.ts';
import { number } from '../ui/format.ts';

/** `rows 8 · 23 · 40 and 12 more`: each leads to its row, the rest to the list of all. */
export function RowLinks({
  rows,
  most = 6,
}: {
  readonly rows: readonly Pick<SoilRow, 'file' | 'row' | 'id'>[];
  readonly most?: number;
}): ReactElement {
  const rest = rows.length - most;
  return (
    <span className="row-links">
      {rows.length === 1 ? 'row' : 'rows'}{' '}
      {rows.slice(0, rest === 1 ? most + 1 : most).map((row) => (
        <button
          type="button"
          key={`${row.file} ${row.row}`}
          aria-label={`Show row ${row.row}${row.id === '' ? '' : `, ${row.id}`}`}
          title={row.id === '' ? undefined : row.id}
          onClick={() => showRow(row)}
        >
          {row.row}
        </button>
      ))}
      {rest > 1 && (
        <button type="button" onClick={() => openPanel('soil', 'aside')}>
          and {number(rest)} more
        </button>
      )}
    </span>
  );
}
