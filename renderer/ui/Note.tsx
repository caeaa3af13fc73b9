import type { ReactElement, ReactNode } from 'react';
import type { Severity } from '../../core/base/problem.ts';
import { SeverityMark } from './marks.tsx';

/** A wash of its severity with its shape, two lines at most. */
export const Note = ({
  severity = 'note',
  children,
}: {
  readonly severity?: Severity;
  readonly children: ReactNode;
}): ReactElement => (
  <div className={`note ${severity}`}>
    <SeverityMark severity={severity} />
    <span>{children}</span>
  </div>
);
