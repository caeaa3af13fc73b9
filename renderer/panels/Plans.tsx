import { type ReactElement, useEffect, useState } from 'react';
import type { PlanEntry } from '../../core/bridge/host-api.ts';
import { askHost } from '../commands/ask-host.ts';
import { chooseFiles } from '../commands/files.ts';
import { openPlan, report } from '../commands/plans.ts';
import { useDocument } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { dayAndClock } from '../ui/format.ts';
import { PanelFrame, Section } from '../ui/PanelFrame.tsx';
import { ProblemList } from './Problems.tsx';

/** The plans the host keeps, the latest first; null until it has answered. */
export function usePlanList(): readonly PlanEntry[] | null {
  const [plans, setPlans] = useState<readonly PlanEntry[] | null>(null);
  useEffect(() => {
    let gone = false;
    void askHost('listPlans', {}).then((asked) => {
      if (gone) return;
      const answer = asked.ok ? asked.value : asked;
      setPlans(answer.ok ? answer.value.plans : []);
      if (!answer.ok) report([answer.problem]);
    });
    return () => {
      gone = true;
    };
  }, []);
  return plans;
}

export function Plans(): ReactElement {
  const plans = usePlanList();
  const open = useDocument((state) => state.planId);
  const notices = useResults((state) => state.notices);
  return (
    <PanelFrame
      panel="plans"
      title="Open a plan"
      sentence="Plans saved here, the latest first."
      foot={
        <>
          <span className="small ink3">A .pearlash file can be dropped anywhere.</span>
          <span className="grow" />
          <button type="button" className="btn" onClick={() => chooseFiles()}>
            Choose a file
          </button>
        </>
      }
    >
      <ProblemList problems={notices} />
      <Section>
        {plans === null ? <p className="ink3">Reading the list</p> : <PlanRows plans={plans} open={open} />}
      </Section>
    </PanelFrame>
  );
}

export function PlanRows({
  plans,
  open,
}: {
  readonly plans: readonly PlanEntry[];
  readonly open: string | null;
}): ReactElement {
  if (plans.length === 0) return <p className="ink3">None yet.</p>;
  return (
    <ul className="plan-rows">
      {plans.map((plan) => (
        <li key={plan.planId}>
          <button type="button" className="menu-item" onClick={() => void openPlan(plan.planId)}>
            <span>
              {plan.name}
              {plan.planId.startsWith('sample@') && <span className="ink3"> · sample field</span>}
              {plan.planId === open && <span className="ink3"> · open now</span>}
            </span>
            <span className="small ink3">{dayAndClock(new Date(plan.savedAt))}</span>
          </button>
        </li>
      ))}
    </ul>
  );
}
