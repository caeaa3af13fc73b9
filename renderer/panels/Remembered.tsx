import type { ReactElement } from 'react';
import type { ColumnUse } from '../../core/soil/settings.ts';
import { isSameUse } from '../../core/soil/standing-doubts.ts';
import { forgetColumnsOf } from '../commands/mappings.ts';
import type { TableColumns } from '../compute/protocol.ts';
import { useRemembered } from '../store/mappings.ts';
import { columnUse } from './soil-columns.ts';

/** One line: the columns are read as they were set for files with these headers, with the way to forget that. */
export function Remembered(props: {
  readonly table: TableColumns;
  readonly uses: readonly ColumnUse[];
}): ReactElement | null {
  const { table, uses } = props;
  const known = useRemembered(table.columns, 'samples');
  if (!known) return null;
  const same = known.columns.every((use) => isSameUse(use, columnUse(uses, use.column)));
  return (
    <p className="small ink2 under" data-testid="remembered">
      {same
        ? `Read as you set it on ${known.on} for files with these headers.`
        : `Files with these headers are read otherwise, as you set them on ${known.on}.`}{' '}
      <button type="button" className="btn link s" onClick={() => void forgetColumnsOf(table.columns)}>
        Forget it
      </button>
    </p>
  );
}
