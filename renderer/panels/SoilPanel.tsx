import './soil.css';
import './soil-reading.css';
import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { SoilOut } from '../../core/soil/types.ts';
import { chooseFiles } from '../commands/files.ts';
import { useDocument, usePlan } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { openPanel } from '../store/view.ts';
import { counted, readable } from '../ui/format.ts';
import { PanelFrame, type PanelTab, Section } from '../ui/PanelFrame.tsx';
import { AboutTest } from './AboutTest.tsx';
import { KeptAndAside } from './KeptAndAside.tsx';
import { LabTable } from './LabTable.tsx';
import { ProblemList } from './Problems.tsx';
import { Remembered } from './Remembered.tsx';
import { RowCount } from './RowCount.tsx';
import { Doubts } from './SoilDoubts.tsx';
import { SoilReading } from './SoilReading.tsx';

/** What was understood of the soil test, what each column is, which rows count: what the lab numbers rest on. */
export function SoilPanel(): ReactElement | null {
  const plan = usePlan();
  const out = useResults((results) => results.out);
  if (!plan) return null;
  const soil = out?.soil ?? null;
  const file = nameOf(plan, plan.soil.sampleFiles);
  return (
    <PanelFrame
      panel="soil"
      title="Soil"
      sentence={
        file === null ? (
          'There is no soil test yet.'
        ) : (
          <>
            What was understood of <b>{file}</b>, what was not, and why. Change any of it.
          </>
        )
      }
      tabs={tabsOf(plan, soil)}
      foot={
        <>
          <button type="button" className="btn" onClick={() => chooseFiles('samples')}>
            {file === null ? 'Choose the lab values' : 'Another lab table'}
          </button>
          <button type="button" className="btn" onClick={() => chooseFiles('points')}>
            {plan.soil.pointFiles.length === 0 ? 'Add sample points' : 'Other sample points'}
          </button>
          <span className="grow" />
          <span className="small ink3 hide-narrow">The files themselves are never changed.</span>
          <button type="button" className="btn main" disabled={soil === null} onClick={() => openPanel('surfaces')}>
            {soil ? `Use ${counted(soil.samples.length, 'sample')}` : 'No samples yet'}
          </button>
        </>
      }
    />
  );
}

function tabsOf(plan: Plan, soil: SoilOut | null): readonly PanelTab[] {
  const reading: PanelTab = { id: 'reading', label: 'Reading', body: <SoilReading plan={plan} soil={soil} /> };
  const table: PanelTab = { id: 'table', label: 'Lab table', body: <TableTab plan={plan} soil={soil} /> };
  const points: PanelTab = { id: 'points', label: 'Sample points', body: <PointsTab plan={plan} soil={soil} /> };
  const about: PanelTab = { id: 'about', label: 'About the test', body: <AboutTab plan={plan} /> };
  const aside: PanelTab = { id: 'aside', label: 'Kept and set aside', body: <KeptAndAside plan={plan} soil={soil} /> };
  return [reading, table, ...(plan.soil.pointFiles.length > 0 ? [points] : []), about, aside];
}

const nameOf = (plan: Plan, paths: readonly string[]): string | null =>
  plan.inputs.find((input) => input.path === paths[0])?.name ?? null;

function TableTab({ plan, soil }: { readonly plan: Plan; readonly soil: SoilOut | null }): ReactElement {
  const table = useResults((results) => results.columns.samples);
  const problems = useResults((results) => results.out?.stages.soil.problems) ?? [];
  const stops = problems.filter((problem) => problem.severity === 'stop');
  if (!table)
    return (
      <p className="section ink3">
        {plan.soil.sampleFiles.length === 0 ? 'Choose the lab values first.' : 'Reading the table'}
      </p>
    );
  return (
    <>
      {soil && (
        <Section>
          <RowCount soil={soil} />
        </Section>
      )}
      <ProblemList problems={stops} />
      <LabTable which="sampleColumns" table={table} uses={plan.soil.sampleColumns} rows={soil?.rows ?? []} />
      <Remembered table={table} uses={plan.soil.sampleColumns} />
      <Doubts which="sampleColumns" table={table} uses={plan.soil.sampleColumns} />
    </>
  );
}

function AboutTab({ plan }: { readonly plan: Plan }): ReactElement {
  const guesses = useDocument((state) => state.guesses);
  return (
    <>
      <AboutTest plan={plan} />
      {guesses.length > 0 && (
        <Section title="Guessed when the files came in" aside={counted(guesses.length, 'guess', 'guesses')}>
          <details>
            <summary className="small ink2">Each of them</summary>
            <ul className="small ink2 sentences">
              {guesses.map((sentence) => (
                <li key={sentence}>{readable(sentence)}</li>
              ))}
            </ul>
          </details>
        </Section>
      )}
    </>
  );
}

function PointsTab({ plan, soil }: { readonly plan: Plan; readonly soil: SoilOut | null }): ReactElement {
  const table = useResults((results) => results.columns.points);
  const file = nameOf(plan, plan.soil.pointFiles);
  if (!table) return <p className="section ink3">Reading the points</p>;
  return (
    <>
      <Section title={file} aside={`${counted(table.records, 'point')}${table.crs ? ` · ${table.crs.name}` : ''}`}>
        <p className="small ink2">Points and lab rows are joined by the sample id.</p>
      </Section>
      <LabTable which="pointColumns" table={table} uses={plan.soil.pointColumns} rows={soil?.pointRows ?? []} />
      <Remembered table={table} uses={plan.soil.pointColumns} />
      <Doubts which="pointColumns" table={table} uses={plan.soil.pointColumns} />
      {soil && (
        <p className="small ink2 under">
          {soil.pointRows.length === 0
            ? 'Every point has its lab row.'
            : `${counted(soil.pointRows.length, 'point')} that no lab row could use, set aside.`}
        </p>
      )}
    </>
  );
}
