import './soil.css';
import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { SoilOut } from '../../core/soil/types.ts';
import { chooseFiles } from '../commands/files.ts';
import { usePlan } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { openPanel } from '../store/view.ts';
import { counted, number } from '../ui/format.ts';
import { PanelFrame, type PanelTab, Section } from '../ui/PanelFrame.tsx';
import { AboutTest, Chemistry } from './AboutTest.tsx';
import { KeptAndAside } from './KeptAndAside.tsx';
import { LabTable } from './LabTable.tsx';
import { ProblemList } from './Problems.tsx';
import { Doubts } from './SoilDoubts.tsx';
import { doubtfulColumns } from './soil-columns.ts';

/** What each column is, which rows count, and what the test is: what the lab numbers rest on. */
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
            Say what each column of <b>{file}</b> is. Guesses are filled in; change any of them.
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
  const table: PanelTab = { id: 'table', label: 'Lab table', body: <TableTab plan={plan} soil={soil} /> };
  const points: PanelTab = { id: 'points', label: 'Sample points', body: <PointsTab plan={plan} soil={soil} /> };
  const chemistry: PanelTab = { id: 'about', label: 'Chemistry', body: <Chemistry plan={plan} soil={soil} /> };
  const aside: PanelTab = { id: 'aside', label: 'Kept and set aside', body: <KeptAndAside plan={plan} soil={soil} /> };
  return plan.soil.pointFiles.length > 0 ? [table, points, chemistry, aside] : [table, chemistry, aside];
}

const nameOf = (plan: Plan, paths: readonly string[]): string | null =>
  plan.inputs.find((input) => input.path === paths[0])?.name ?? null;

/** `66 rows read = 60 kept + 6 set aside, each with its reason`. */
export const RowCount = ({ soil }: { readonly soil: SoilOut }): ReactElement => (
  <p className="row-count">
    {number(soil.read)} <span>rows read</span>
    <i>=</i>
    {number(soil.kept)} <span>kept</span>
    <i>+</i>
    {number(soil.setAside)} <span>set aside, each with its reason</span>
  </p>
);

function TableTab({ plan, soil }: { readonly plan: Plan; readonly soil: SoilOut | null }): ReactElement {
  const results = useResults();
  const table = results.columns.samples;
  const problems = (results.out?.stages.soil.problems ?? []).filter((problem) => problem.at?.row === undefined);
  return (
    <>
      {soil && (
        <Section>
          <RowCount soil={soil} />
        </Section>
      )}
      {table ? (
        <LabTable which="sampleColumns" table={table} uses={plan.soil.sampleColumns} rows={soil?.rows ?? []} />
      ) : (
        <p className="section ink3">
          {plan.soil.sampleFiles.length === 0 ? 'Choose the lab values first.' : 'Reading the table'}
        </p>
      )}
      <div className="two-columns far soil-pair">
        <AboutTest plan={plan} />
        <Section title="Checks" aside={checksAside(problems.length)}>
          {table && <Doubts which="sampleColumns" table={table} uses={plan.soil.sampleColumns} />}
          <ProblemList problems={problems} />
          {problems.length === 0 && table && doubtfulColumns(table, plan.soil.sampleColumns).length === 0 && (
            <p className="small ink2">Nothing of the table as a whole is in doubt.</p>
          )}
        </Section>
      </div>
    </>
  );
}

const checksAside = (count: number): string | undefined => (count === 0 ? undefined : counted(count, 'finding'));

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
