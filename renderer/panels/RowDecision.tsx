import { type ReactElement, useId, useState } from 'react';
import type { SoilRow } from '../../core/soil/types.ts';
import { currentPlan, editPart, usePlan } from '../store/document.ts';
import { flyTo } from '../store/view.ts';

/** What a person decides about one row: keep it or set it aside, with the reason. */
export function RowDecision({ row }: { readonly row: SoilRow }): ReactElement {
  const plan = usePlan();
  const [why, setWhy] = useState('');
  const id = useId();
  const decision = plan?.soil.decisions.find((one) => one.file === row.file && one.row === row.row);
  const { at } = row;
  return (
    <div className="row-decision">
      <p>
        <b>
          Row {row.row}
          {row.id === '' ? '' : `, ${row.id}`}
        </b>{' '}
        <span className="ink2">{row.kept ? 'is kept.' : 'is set aside.'}</span>{' '}
        {decision && (
          <span className="ink2">
            By hand{decision.why === '' ? '' : `: ${decision.why}`}
            {decision.when === '' ? '' : `, ${decision.when}`}.
          </span>
        )}
      </p>
      {row.reasons.map((reason) => (
        <p className="small ink2" key={reason.message}>
          {reason.message} {reason.remedy}
        </p>
      ))}
      <div className="row-decision-acts">
        <label htmlFor={id} className="ink2">
          Reason
        </label>
        <span className="in">
          <input id={id} value={why} autoComplete="off" onChange={(event) => setWhy(event.target.value)} />
        </span>
        <button
          type="button"
          className="btn s"
          disabled={why.trim() === ''}
          onClick={() => decide(row, !row.kept, why.trim())}
        >
          {row.kept ? 'Set it aside' : 'Keep it'}
        </button>
        {decision && (
          <button type="button" className="btn s" onClick={() => letGo(row)}>
            Leave it to the reading
          </button>
        )}
        {at && (
          <button type="button" className="btn s" onClick={() => flyTo(at)}>
            Show it
          </button>
        )}
      </div>
    </div>
  );
}

const others = (row: Pick<SoilRow, 'file' | 'row'>) =>
  (currentPlan()?.soil.decisions ?? []).filter((one) => one.file !== row.file || one.row !== row.row);

function decide(row: SoilRow, keep: boolean, why: string): void {
  const when = new Date().toISOString().slice(0, 10);
  const decision = { file: row.file, row: row.row, keep, why, who: '', when };
  editPart('soil', `${keep ? 'keep' : 'set aside'} row ${row.row}`, { decisions: [...others(row), decision] });
}

export const letGo = (row: Pick<SoilRow, 'file' | 'row'>): void =>
  editPart('soil', `leave row ${row.row} to the reading`, {
    decisions: others(row),
  });
