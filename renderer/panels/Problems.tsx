import { type ReactElement, useEffect, useRef } from 'react';
import { type Problem, placeText } from '../../core/base/problem.ts';
import { waysTo } from '../commands/problems.ts';
import { STAGE_NAMES } from '../store/cards.ts';
import { allProblems, countProblems } from '../store/derive.ts';
import { edit } from '../store/document.ts';
import { dropNotice, useResults } from '../store/results.ts';
import { useView } from '../store/view.ts';
import { CopyButton } from '../ui/CopyButton.tsx';
import { counted } from '../ui/format.ts';
import { SeverityMark } from '../ui/marks.tsx';
import { PanelFrame, Section } from '../ui/PanelFrame.tsx';

/** Every problem with its place, its remedy, and a way to each. A settled one moves down, it does not vanish. */
export function Problems(): ReactElement {
  const results = useResults();
  const at = useView((view) => view.problemAt);
  const problems = allProblems(results);
  return (
    <PanelFrame
      panel="problems"
      title="Problems"
      sentence={sentence(problems)}
      foot={
        <>
          {problems.length > 0 && <CopyButton label="Copy all" text={() => problems.map(asText).join('\n\n')} />}
          <span className="grow" />
          <span className="small ink3">F8 goes to the next</span>
        </>
      }
    >
      <ProblemList problems={problems} at={at} />
      {results.settled.length > 0 && (
        <Section title="Settled" aside={results.settled.length}>
          <ul className="small ink3">
            {keyed(results.settled).map(({ key, problem }) => (
              <li key={key}>
                {problem.message} {placeText(problem.at)}
              </li>
            ))}
          </ul>
        </Section>
      )}
    </PanelFrame>
  );
}

function sentence(problems: readonly Problem[]): string {
  const count = countProblems(problems);
  if (problems.length === 0) return 'Nothing is the matter.';
  const stops = count.stop === 0 ? 'None stops the handoff.' : `${count.stop} to be settled before the handoff.`;
  const rest = count.caution > 0 ? ` ${count.caution} to be careful of.` : '';
  const notes = count.note > 0 ? ` ${counted(count.note, 'note')}.` : '';
  return stops + rest + notes;
}

/** Problems with keys that stay with them while others come and go. */
function keyed(problems: readonly Problem[]): readonly { readonly key: string; readonly problem: Problem }[] {
  const seen = new Map<string, number>();
  return problems.map((problem) => {
    const base = `${problem.code} ${placeText(problem.at)} ${problem.message}`;
    const times = seen.get(base) ?? 0;
    seen.set(base, times + 1);
    return { key: `${base} ${times}`, problem };
  });
}

export const ProblemList = ({
  problems,
  at = -1,
}: {
  readonly problems: readonly Problem[];
  readonly at?: number;
}): ReactElement => (
  <>
    {keyed(problems).map(({ key, problem }, index) => (
      <ProblemItem key={key} problem={problem} here={index === at} />
    ))}
  </>
);

const asText = (problem: Problem): string =>
  [problem.message, whereText(problem), problem.remedy].filter((line) => line !== '').join('\n');

/** `Soil · lab.csv, row 8, column K`. The setting's path is left to the button that leads there. */
export function whereText(problem: Problem): string {
  const stage = problem.stage ? STAGE_NAMES[problem.stage] : '';
  const { setting: _, lngLat, ...place } = problem.at ?? {};
  const words = placeText(lngLat ? { ...place, lngLat } : place);
  return [stage, words].filter((part) => part !== '').join(' · ');
}

export function ProblemItem({
  problem,
  here = false,
}: {
  readonly problem: Problem;
  readonly here?: boolean;
}): ReactElement {
  const first = useRef<HTMLDivElement>(null);
  const isNotice = useResults((state) => state.notices.includes(problem));
  const ways = waysTo(problem);
  useEffect(() => {
    if (!here) return;
    first.current?.scrollIntoView({ block: 'nearest' });
    (first.current?.querySelector<HTMLElement>('button') ?? first.current)?.focus();
  }, [here]);
  return (
    <div className="prob" data-code={problem.code}>
      <SeverityMark severity={problem.severity} />
      <div ref={first} tabIndex={-1}>
        <h3>{problem.message}</h3>
        {whereText(problem) !== '' && <div className="where">{whereText(problem)}</div>}
        <p>{problem.remedy}</p>
        {problem.detail !== undefined && (
          <details>
            <summary>Detail</summary>
            {problem.detail}
          </details>
        )}
        <div className="acts">
          {ways.map((way) => (
            <button type="button" className="btn s" key={way.label} onClick={way.go}>
              {way.label}
            </button>
          ))}
          {problem.severity === 'stop' && /withheld|far/.test(problem.code) && (
            <button type="button" className="btn s" onClick={writeZero}>
              Write 0 there
            </button>
          )}
          {isNotice && (
            <button type="button" className="btn s" onClick={() => dropNotice(problem)}>
              Put aside
            </button>
          )}
        </div>
      </div>
    </div>
  );
}

const writeZero = (): void =>
  edit('withheld ground is written as 0', (plan) => ({
    ...plan,
    handoff: { ...plan.handoff, withheld: 'written 0' },
  }));
