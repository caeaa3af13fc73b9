import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { SoilOut, SoilRow } from '../../core/soil/types.ts';
import { openPanel, useView } from '../store/view.ts';
import { counted } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { letGo } from './RowDecision.tsx';
import { RowCount } from './SoilPanel.tsx';

/** Every row set aside with its reason, and every decision made by hand. Nothing is dropped silently. */
export function KeptAndAside({ plan, soil }: { readonly plan: Plan; readonly soil: SoilOut | null }): ReactElement {
  if (!soil) return <p className="section ink3">No table is read yet.</p>;
  const aside = soil.rows.filter((row) => !row.kept);
  const { decisions } = plan.soil;
  return (
    <>
      <Section>
        <RowCount soil={soil} />
      </Section>
      <Section title="Set aside" aside={counted(aside.length, 'row')}>
        <Rows rows={aside} tab="table" />
      </Section>
      {soil.pointRows.length > 0 && (
        <Section title="Points without a lab row" aside={counted(soil.pointRows.length, 'point')}>
          <Rows rows={soil.pointRows} tab="points" />
        </Section>
      )}
      {decisions.length > 0 && (
        <Section title="Decided by hand" aside={decisions.length}>
          <table className="table">
            <thead>
              <tr>
                <th scope="col">Row</th>
                <th scope="col">Decision</th>
                <th scope="col">Reason</th>
                <th scope="col">
                  <span className="unseen">Take back</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {decisions.map((one) => (
                <tr key={`${one.file} ${one.row}`}>
                  <td>
                    {one.row} <span className="small ink3">{one.file}</span>
                  </td>
                  <td>{one.keep ? 'kept' : 'set aside'}</td>
                  <td>{one.why}</td>
                  <td className="num">
                    <button type="button" className="btn s" onClick={() => letGo(one)}>
                      Take back
                    </button>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </Section>
      )}
    </>
  );
}

function Rows({ rows, tab }: { readonly rows: readonly SoilRow[]; readonly tab: 'table' | 'points' }): ReactElement {
  if (rows.length === 0) return <p className="ink3">None.</p>;
  return (
    <table className="table">
      <thead>
        <tr>
          <th scope="col">Row</th>
          <th scope="col">Sample</th>
          <th scope="col">Reason</th>
          <th scope="col">
            <span className="unseen">Show</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={`${row.file} ${row.row}`}>
            <td>{row.row}</td>
            <td>{row.id}</td>
            <td>{row.reasons.map((reason) => reason.message).join(' ')}</td>
            <td className="num">
              <button
                type="button"
                className="btn s"
                aria-label={`Show row ${row.row}`}
                onClick={() => {
                  useView.setState({ selectedRow: { file: row.file, row: row.row } });
                  openPanel('soil', tab);
                }}
              >
                Show
              </button>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
