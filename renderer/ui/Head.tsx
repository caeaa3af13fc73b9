import { type ReactElement, useEffect, useState } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { CROPS } from '../../core/rates/crops.ts';
import { perform } from '../commands/list.ts';
import { savePlan } from '../commands/plans.ts';
import { allProblems, countProblems } from '../store/derive.ts';
import { edit, isUnsaved, useDocument, usePlan, useRedoLabel, useUndoLabel } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { openPanel, setLook, useView } from '../store/view.ts';
import { Finder } from './Finder.tsx';
import { clock, counted, shortNumber } from './format.ts';
import { Menu } from './Menu.tsx';
import { SeverityMark, UndoMark, Wordmark } from './marks.tsx';

/** The line along the top: mark and menu, plan, undo, finder, problems, units. */
export function Head(): ReactElement {
  const plan = usePlan();
  const { units, menu, finder } = useView();
  return (
    <header className="head" data-part="head">
      <h1 className="unseen">Pearlash</h1>
      <button
        type="button"
        className="tool wordmark"
        aria-haspopup="menu"
        aria-expanded={menu}
        onClick={() => useView.setState({ menu: !menu, finder: false })}
      >
        <Wordmark />
        Pearlash
      </button>
      {menu && <Menu />}
      <span className="rule" />
      {plan ? <PlanName plan={plan} /> : <span className="ink3">No plan open</span>}
      {plan && <CropLine plan={plan} />}
      <span className="grow" />
      {plan && <UndoButtons />}
      {plan && <RunAgain />}
      <button
        type="button"
        className="find"
        aria-haspopup="dialog"
        aria-expanded={finder}
        aria-keyshortcuts="Control+K"
        onClick={() => useView.setState({ finder: true, menu: false })}
      >
        Find a command<kbd>Ctrl K</kbd>
      </button>
      {finder && <Finder />}
      {plan && <ProblemsButton />}
      <button
        type="button"
        className="tool wide-only"
        title="Change units"
        onClick={() => setLook({ units: units === 'US' ? 'metric' : 'US' })}
      >
        {units === 'US' ? 'US units' : 'Metric units'}
      </button>
    </header>
  );
}

function PlanName({ plan }: { readonly plan: Plan }): ReactElement {
  const [draft, setDraft] = useState(plan.name);
  useEffect(() => setDraft(plan.name), [plan.name]);
  const commit = (): void => {
    const name = draft.trim().slice(0, 200);
    if (name === '') setDraft(plan.name);
    else if (name !== plan.name) edit(`name ${name}`, (now) => ({ ...now, name }));
  };
  return (
    <input
      className="plan-name"
      aria-label="Name of the plan"
      value={draft}
      onChange={(event) => setDraft(event.target.value)}
      onBlur={commit}
      onKeyDown={(event) => {
        if (event.key === 'Enter') event.currentTarget.blur();
        if (event.key === 'Escape') setDraft(plan.name);
      }}
    />
  );
}

function CropLine({ plan }: { readonly plan: Plan }): ReactElement {
  const saved = useDocument((state) => state.saved);
  const changed = useDocument(isUnsaved);
  const crop = CROPS.find((one) => one.id === plan.rates.crop);
  const goal = plan.rates.yieldGoal;
  const words = crop
    ? `${crop.name.toLowerCase()}${goal === null ? '' : `, ${shortNumber(goal)} ${crop.yieldUnit.split('/')[0]}`}`
    : 'no crop yet';
  return (
    <span className="crop-line">
      {words}
      {changed ? (
        <>
          {' · '}
          <button type="button" className="tool" onClick={() => void savePlan()} title="Save (Ctrl S)">
            {saved ? 'Save changes' : 'Save'}
          </button>
        </>
      ) : (
        <span className="wide-only"> · {saved?.at ? `saved ${clock(saved.at)}` : 'saved'}</span>
      )}
    </span>
  );
}

function UndoButtons(): ReactElement {
  const undo = useUndoLabel();
  const redo = useRedoLabel();
  return (
    <>
      <button
        type="button"
        className="tool"
        aria-label={undo === null ? 'Undo' : `Undo: ${undo}`}
        title={undo === null ? 'Nothing to undo' : `Undo: ${undo} (Ctrl Z)`}
        disabled={undo === null}
        onClick={() => perform('undo')}
      >
        <UndoMark />
      </button>
      {redo !== null && (
        <button
          type="button"
          className="tool"
          aria-label={`Redo: ${redo}`}
          title={`Redo: ${redo} (Ctrl Y)`}
          onClick={() => perform('redo')}
        >
          <UndoMark redo />
        </button>
      )}
    </>
  );
}

/** After work was let go, everything shown is stale until it is made again. */
function RunAgain(): ReactElement | null {
  const cancelled = useResults((results) => results.cancelled);
  if (!cancelled) return null;
  return (
    <button type="button" className="btn s" onClick={() => perform('run-again')}>
      Make again
    </button>
  );
}

function ProblemsButton(): ReactElement {
  const results = useResults();
  const panel = useView((view) => view.panel);
  const count = countProblems(allProblems(results));
  if (results.out === null && count.stop === 0) return <span className="ink3">Reading</span>;
  const words = [
    ...(count.stop > 0 ? [counted(count.stop, 'problem')] : []),
    ...(count.caution > 0 ? [counted(count.caution, 'caution')] : []),
  ];
  const worst = count.stop > 0 ? 'stop' : count.caution > 0 ? 'caution' : null;
  return (
    <button
      type="button"
      className="tool"
      aria-expanded={panel === 'problems'}
      title="Problems (F8 goes to the next)"
      onClick={() => openPanel(panel === 'problems' ? null : 'problems')}
    >
      {worst && <SeverityMark severity={worst} />}
      {words.length > 0 ? words.join(', ') : count.note > 0 ? counted(count.note, 'note') : 'No problems'}
    </button>
  );
}
