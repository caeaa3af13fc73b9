import type { ReactElement } from 'react';
import { STAGES, type Stage } from '../../core/base/problem.ts';
import { cancelRun, runNow } from '../commands/follow.ts';
import { STAGE_NAMES } from '../store/cards.ts';
import { useResults } from '../store/results.ts';
import { openPanel } from '../store/view.ts';
import { number } from '../ui/format.ts';
import { SeverityMark, Tick } from '../ui/marks.tsx';
import './reading.css';

const order: readonly Stage[] = STAGES;

/** What is being read, stage by stage, while there is nothing to draw yet; or why nothing can be drawn. */
export function Reading({ over = false }: { readonly over?: boolean }): ReactElement {
  const { out, work } = useResults();
  const stopped = out && work === null ? out.stages.field : null;
  if (stopped?.state === 'problem') {
    const [problem] = stopped.problems;
    return (
      <div className="reading-place">
        <div className="reading">
          <p className="reading-stop">
            <SeverityMark severity="stop" /> <b>{problem?.message}</b>
          </p>
          <p className="ink2">{problem?.remedy}</p>
          <button type="button" className="btn s" onClick={() => openPanel('field')}>
            Open Field
          </button>
        </div>
      </div>
    );
  }
  const at = work !== null && work !== 'waiting' ? work : null;
  const index = at ? order.indexOf(at.stage) : -1;
  return (
    <div className={over ? 'reading-place over' : 'reading-place'}>
      <div className="reading" role="status">
        <ul>
          {STAGES.map((stage, i) => (
            <li key={stage} className={i === index ? 'now' : i > index ? 'later' : ''}>
              {i < index ? <Tick /> : <span>{i === index ? '⋯' : ''}</span>}
              <span>{STAGE_NAMES[stage]}</span>
              <span>{i === index && at && at.total > 1 ? `${number((100 * at.done) / at.total)} %` : ''}</span>
            </li>
          ))}
        </ul>
        <span className="progress">
          <i style={{ width: `${Math.round((100 * Math.max(0, index)) / STAGES.length)}%` }} />
        </span>
        <div className="reading-acts">
          {work === null ? (
            <button type="button" className="btn s" onClick={runNow}>
              Make the stages
            </button>
          ) : (
            <button type="button" className="btn s" onClick={cancelRun}>
              Cancel
            </button>
          )}
          <span className="small ink3">The files themselves are never changed.</span>
        </div>
      </div>
    </div>
  );
}
