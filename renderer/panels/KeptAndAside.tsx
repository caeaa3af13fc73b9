import { type ReactElement, useState } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { SoilOut, SoilRow } from '../../core/soil/types.ts';
import { letGo, showRow } from '../commands/rows.ts';
import { isOtherSeries } from '../store/soil-kinds.ts';
import { counted } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { RowCount } from './RowCount.tsx';

/** Every row set aside with its reason, and every decision made by hand. Nothing is dropped silently. */
export function KeptAndAside({ plan, soil }: { readonly plan: Plan; readonly soil: SoilOut | null }): ReactElement {
  if (!soil) return <p className="section ink3">No table is read yet.</p>;
  const aside = soil.rows.filter((row) => !row.kept && !isOtherSeries(row));
  const others = soil.rows.filter(isOtherSeries);
  return (
    <>
      <Section>
        <RowCount soil={soil} />
      </Section>
      <Decisions plan={plan} soil={soil} />
      <Section title="Set aside" aside={counted(aside.length, 'row')}>
        <Rows rows={aside} />
      </Section>
      {others.length > 0 && (
        <Section title="Of other years or depths" aside={counted(others.length, 'row')}>
          <details>
            <summary className="small ink2">Each of them</summary>
            <Rows rows={others} />
          </details>
        </Section>
      )}
      {soil.pointRows.length > 0 && (
        <Section title="Points without a lab row" aside={counted(soil.pointRows.length, 'point')}>
          <Rows rows={soil.pointRows} />
        </Section>
      )}
    </>
  );
}

function Decisions({ plan, soil }: { readonly plan: Plan; readonly soil: SoilOut }): ReactElement | null {
  const { decisions } = plan.soil;
  if (decisions.length === 0) return null;
  const idOf = ({ file, row }: { readonly file: string; readonly row: number }): string =>
    [...soil.rows, ...soil.pointRows].find((one) => one.file === file && one.row === row)?.id ?? '';
  return (
    <Section title="Decided by hand" aside={decisions.length}>
      <table className="table" data-testid="decisions">
        <thead>
          <tr>
            <th scope="col">Row</th>
            <th scope="col">Sample</th>
            <th scope="col">Decision</th>
            <th scope="col">Why</th>
            <th scope="col">Who, when</th>
            <th scope="col">
              <span className="unseen">Take back</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {decisions.map((one) => (
            <tr key={`${one.file} ${one.row}`}>
              <td>
                <button type="button" className="pick row-link" onClick={() => showRow(one)}>
                  {one.row}
                </button>
              </td>
              <td>{idOf(one)}</td>
              <td>{one.keep ? 'kept' : 'set aside'}</td>
              <td>{one.why}</td>
              <td className="ink2">{[one.who, one.when].filter((part) => part !== '').join(', ')}</td>
              <td className="num">
                <button
                  type="button"
                  className="btn s"
                  aria-label={`Take back the word on row ${one.row}`}
                  onClick={() => letGo(one)}
                >
                  Take back
                </button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Section>
  );
}

type By = 'row' | 'id' | 'why';
const whyOf = (row: SoilRow): string => row.reasons.map((reason) => reason.message).join(' ');
const ORDERS: Record<By, (a: SoilRow, b: SoilRow) => number> = {
  row: (a, b) => a.row - b.row,
  id: (a, b) => a.id.localeCompare(b.id, 'en', { numeric: true }) || a.row - b.row,
  why: (a, b) => (a.reasons.at(-1)?.code ?? '').localeCompare(b.reasons.at(-1)?.code ?? '') || a.row - b.row,
};
const HEADS = [
  ['row', 'Row'],
  ['id', 'Sample'],
  ['why', 'Reason'],
] as const satisfies readonly (readonly [By, string])[];

function Rows({ rows }: { readonly rows: readonly SoilRow[] }): ReactElement {
  const [by, setBy] = useState<By>('row');
  if (rows.length === 0) return <p className="ink3">None.</p>;
  return (
    <table className="table">
      <thead>
        <tr>
          {HEADS.map(([column, label]) => (
            <th scope="col" key={column} aria-sort={by === column ? 'ascending' : 'none'}>
              <button type="button" className="sort" onClick={() => setBy(column)}>
                {label}
                {by === column && <span aria-hidden="true"> ↓</span>}
              </button>
            </th>
          ))}
          <th scope="col">
            <span className="unseen">Show</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {[...rows].sort(ORDERS[by]).map((row) => (
          <tr key={`${row.file} ${row.row}`}>
            <td>{row.row}</td>
            <td>{row.id}</td>
            <td>{whyOf(row)}</td>
            <td className="num">
              <button type="button" className="btn s" aria-label={`Show row ${row.row}`} onClick={() => showRow(row)}>
                Show
              </button>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
