import './basis.css';
import type { ReactElement, ReactNode } from 'react';
import { setFold, useFolds } from '../store/folds.ts';

interface FoldProps {
  /** Known by this name, so that it stays open when the panel comes back. */
  readonly name: string;
  readonly title: string;
  /** What stands in it now, in a few words. */
  readonly says: ReactNode;
  readonly children: ReactNode;
}

/** A part of the basis that opens: closed, it says in a line what it holds. Its fields are there either way, to be led to. */
export function Fold({ name, title, says, children }: FoldProps): ReactElement {
  const open = useFolds((folds) => folds.open.has(name));
  return (
    <details className="fold" open={open} onToggle={(event) => setFold(name, event.currentTarget.open)}>
      <summary>
        <h3>{title}</h3>
        <span>{says}</span>
      </summary>
      <div className="fold-body">{children}</div>
    </details>
  );
}
