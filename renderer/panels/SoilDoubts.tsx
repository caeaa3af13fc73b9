import type { ReactElement } from 'react';
import type { ColumnUse } from '../../core/soil/settings.ts';
import type { TableColumns } from '../compute/protocol.ts';
import { useView } from '../store/view.ts';
import { Note } from '../ui/Note.tsx';
import {
  columnUse,
  confirmColumn,
  confirmKey,
  doubtfulColumns,
  roleWord,
  unitWord,
  type WhichColumns,
} from './soil-columns.ts';

/** Guesses that a person should confirm once. */
export function Doubts(props: {
  readonly which: WhichColumns;
  readonly table: TableColumns;
  readonly uses: readonly ColumnUse[];
}): ReactElement {
  const { table, uses } = props;
  const confirmed = useView((view) => view.confirmed);
  const open = doubtfulColumns(table, uses).filter(
    (guess) => !confirmed.has(confirmKey(table, columnUse(uses, guess.column))),
  );
  return (
    <>
      {open.map((guess) => (
        <Note severity="caution" key={guess.column}>
          <b>{guess.column}</b> is read as {roleWord(guess.is, guess.oxide)}
          {guess.unit === 'none' ? '' : ` in ${unitWord(guess)}`}: {guess.doubt}.{' '}
          <button
            type="button"
            className="btn s note-button"
            onClick={() => confirmColumn(table, columnUse(uses, guess.column))}
          >
            Confirm
          </button>
        </Note>
      ))}
    </>
  );
}
