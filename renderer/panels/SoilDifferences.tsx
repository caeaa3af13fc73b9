import { type ReactElement, useState } from 'react';
import { NO_CAUSE } from '../../core/soil/likely-cause.ts';
import type { LabDifference, SoilOut } from '../../core/soil/types.ts';
import { showRow } from '../commands/rows.ts';
import { counted, number, readable } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';

type By = 'row' | 'what' | 'apart';
/** Rows shown before the rest is asked for. */
const FIRST = 8;

const apartOf = (one: LabDifference): number => Math.abs(one.lab - one.workedOut);

const ORDERS: Record<By, (a: LabDifference, b: LabDifference) => number> = {
  row: (a, b) => a.row - b.row,
  what: (a, b) => a.what.localeCompare(b.what) || a.cause.localeCompare(b.cause) || apartOf(b) - apartOf(a),
  apart: (a, b) => apartOf(b) - apartOf(a),
};

/** Where the lab's own figures do not follow from one another: both side by side, with the likely cause. */
export function Differences({
  soil,
  tolerance_pct,
}: {
  readonly soil: SoilOut;
  readonly tolerance_pct: number;
}): ReactElement | null {
  const [by, setBy] = useState<By>('apart');
  const [all, setAll] = useState(false);
  const { differences } = soil;
  if (differences.length === 0) return null;
  const rows = [...differences].sort(ORDERS[by]);
  const file = soil.rows[0]?.file ?? '';
  const shown = all ? rows : rows.slice(0, FIRST);
  const head = (column: By, label: string, num = false): ReactElement => (
    <th scope="col" className={num ? 'num' : undefined} aria-sort={by === column ? 'ascending' : 'none'}>
      <button type="button" className="sort" onClick={() => setBy(column)}>
        {label}
        {by === column && <span aria-hidden="true"> ↓</span>}
      </button>
    </th>
  );
  return (
    <Section title="The lab’s figures and those worked out" aside={counted(differences.length, 'difference')}>
      <Lead differences={differences} tolerance_pct={tolerance_pct} />
      <table className="table differences" data-testid="differences">
        <thead>
          <tr>
            {head('row', 'Row')}
            {head('what', 'What, and the likely cause')}
            <th scope="col" className="num">
              lab
            </th>
            <th scope="col" className="num">
              worked out
            </th>
            {head('apart', 'apart', true)}
          </tr>
        </thead>
        <tbody>
          {shown.map((one) => (
            <Line key={`${one.row} ${one.what}`} one={one} file={file} />
          ))}
        </tbody>
      </table>
      {rows.length > FIRST && (
        <button type="button" className="btn s" aria-expanded={all} onClick={() => setAll(!all)}>
          {all ? 'Fewer' : `All ${counted(rows.length, 'difference')}`}
        </button>
      )}
    </Section>
  );
}

/** What explains most of them, where something does. */
function Lead(props: { readonly differences: readonly LabDifference[]; readonly tolerance_pct: number }): ReactElement {
  const { differences, tolerance_pct } = props;
  const counts = new Map<string, number>();
  for (const { cause } of differences) if (cause !== NO_CAUSE) counts.set(cause, (counts.get(cause) ?? 0) + 1);
  const [most] = [...counts].sort((a, b) => b[1] - a[1]);
  const listed = `Saturations are listed from ${number(tolerance_pct, 1)} points on.`;
  if (!most || most[1] < 2) return <p className="small ink2">{listed}</p>;
  return (
    <p className="small ink2">
      <b>
        {number(most[1])} of {number(differences.length)}:
      </b>{' '}
      {readable(most[0])}. {listed}
    </p>
  );
}

const Line = ({ one, file }: { readonly one: LabDifference; readonly file: string }): ReactElement => (
  <tr>
    <td>
      <button
        type="button"
        className="pick row-link"
        aria-label={`Show row ${one.row}, ${one.id}`}
        onClick={() => showRow({ file, row: one.row })}
      >
        {one.row}
      </button>
    </td>
    <td>
      {one.what} <span className="ink3 small">{one.unit}</span>
      <small>{readable(one.cause)}</small>
    </td>
    <td className="num">{number(one.lab, 1)}</td>
    <td className="num">{number(one.workedOut, 1)}</td>
    <td className="num">{number(apartOf(one), 1)}</td>
  </tr>
);
