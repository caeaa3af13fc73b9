import type { ReactElement } from 'react';
import type { BalanceClass } from './balance.ts';
import { MARK_KIND, markPath } from './marks.ts';

/** A balance class's shape, about the origin of whatever group it stands in. */
export function Mark({ id, r = 4 }: { readonly id: BalanceClass; readonly r?: number }): ReactElement {
  const d = markPath(id, r);
  return (
    <>
      {MARK_KIND[id] === 'cross' && <path className="plot-mark-case" d={d} />}
      <path className={`plot-mark plot-${id}`} d={d} />
    </>
  );
}

export const MarkKey = ({ id }: { readonly id: BalanceClass }): ReactElement => (
  <svg className="plot-key" width="14" height="14" viewBox="-7 -7 14 14" aria-hidden="true">
    <Mark id={id} r={4.2} />
  </svg>
);
