import { type ReactElement, useEffect, useId, useRef, useState } from 'react';
import type { SoilRow } from '../../core/soil/types.ts';
import { LAYER_NAMES } from '../../core/surfaces/types.ts';
import { decide, letGo } from '../commands/rows.ts';
import { usePlan } from '../store/document.ts';
import { type Residual, rowKey, useOutliers } from '../store/outliers.ts';
import { useSurfacesView } from '../store/surfaces-view.ts';
import { flyTo, openPanel } from '../store/view.ts';
import { number, readable } from '../ui/format.ts';

/** What a person decides about one row, kept or set aside: the other way about, with who says so and why. */
export function RowDecision({ row }: { readonly row: SoilRow }): ReactElement {
  const plan = usePlan();
  const outliers = useOutliers().get(rowKey(row)) ?? [];
  const decisions = plan?.soil.decisions ?? [];
  const decision = decisions.find((one) => one.file === row.file && one.row === row.row);
  const [why, setWhy] = useState('');
  const [who, setWho] = useState(decisions.at(-1)?.who ?? '');
  const id = useId();
  const { at } = row;
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => box.current?.scrollIntoView({ block: 'nearest' }), []);
  const act = (): void => {
    if (why.trim() !== '') decide(row, !row.kept, why, who);
  };
  return (
    <div className="row-decision" data-testid="row-decision" ref={box}>
      <p>
        <b>
          Row {row.row}
          {row.id === '' ? '' : `, ${row.id}`}
        </b>{' '}
        <span className="ink2">{row.kept ? 'is kept.' : 'is set aside.'}</span>{' '}
        {decision && (
          <span className="ink2">
            By hand: {[decision.why, decision.who, decision.when].filter((part) => part !== '').join(', ')}.
          </span>
        )}
      </p>
      {row.reasons.map((reason) => (
        <p className="small ink2" key={`${reason.code} ${reason.message}`}>
          {readable(`${reason.message} ${reason.remedy}`)}
        </p>
      ))}
      {outliers.map((one) => (
        <Outlier key={one.quantity} residual={one} />
      ))}
      <div className="row-decision-acts">
        <label htmlFor={`${id}-why`} className="ink2">
          Reason
        </label>
        <span className="in why">
          <input
            id={`${id}-why`}
            value={why}
            autoComplete="off"
            onChange={(event) => setWhy(event.target.value)}
            onKeyDown={(event) => event.key === 'Enter' && act()}
          />
        </span>
        <label htmlFor={`${id}-who`} className="ink2">
          Who
        </label>
        <span className="in who">
          <input
            id={`${id}-who`}
            value={who}
            autoComplete="off"
            onChange={(event) => setWho(event.target.value)}
            onKeyDown={(event) => event.key === 'Enter' && act()}
          />
        </span>
        <button type="button" className="btn s" disabled={why.trim() === ''} onClick={act}>
          {why.trim() === '' ? 'Say why first' : row.kept ? 'Set it aside' : 'Keep it'}
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

/** What its neighbours say of a sample that stands out from them. */
function Outlier({ residual }: { readonly residual: Residual }): ReactElement {
  const { quantity, measured, predicted } = residual;
  const { name, unit, decimals } = LAYER_NAMES[quantity];
  return (
    <p className="small ink2 outlier-line">
      <OutlierMark />
      <span>
        {name}: {number(measured, decimals)} measured, {number(predicted, decimals)} {unit} by the samples around it.
        Either a slip, or ground that is truly different.{' '}
        <button
          type="button"
          className="btn link s"
          onClick={() => {
            useSurfacesView.setState({ quantity });
            openPanel('surfaces', 'samples');
          }}
        >
          Against the others
        </button>
      </span>
    </p>
  );
}

/** The square by which outliers are told in the plot of samples against the others. */
export const OutlierMark = (): ReactElement => (
  <svg className="outlier-mark" width="12" height="12" viewBox="0 0 12 12" role="img" aria-label="stands out">
    <title>Stands out from the samples around it</title>
    <rect x="1.7" y="1.7" width="8.6" height="8.6" />
  </svg>
);
