import type { ReactElement } from 'react';
import type { ColumnUse } from '../../core/soil/settings.ts';
import { rememberConfirmed } from '../commands/mappings.ts';
import type { TableColumns } from '../compute/protocol.ts';
import { Note } from '../ui/Note.tsx';
import { confirmColumn, openDoubts, roleWord, unitWord, type WhichColumns } from './soil-columns.ts';

/** Guesses that a person should confirm once. */
export function Doubts(props: {
  readonly which: WhichColumns;
  readonly table: TableColumns;
  readonly uses: readonly ColumnUse[];
}): ReactElement {
  const { which, table, uses } = props;
  const open = openDoubts(table, uses);
  return (
    <>
      {open.map((guess) => (
        <Note severity="caution" key={guess.column}>
          <b>{guess.column}</b> is {guess.is === 'unused' ? 'not used' : `read as ${roleWord(guess.is, guess.oxide)}`}
          {guess.unit === 'none' ? '' : ` in ${unitWord(guess)}`}: {guess.doubt}.{' '}
          <button
            type="button"
            className="btn s note-button"
            onClick={() => {
              confirmColumn(which, table, uses, guess.column);
              void rememberConfirmed(which, table, uses, guess.column);
            }}
          >
            Confirm
          </button>
        </Note>
      ))}
    </>
  );
}
