import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { pairsOf } from '../../core/soil/near-misses.ts';
import type { SoilOut } from '../../core/soil/types.ts';
import type { TableColumns } from '../compute/protocol.ts';
import { howRead } from '../store/how-read.ts';
import { rowKey, useOutliers } from '../store/outliers.ts';
import { useResults } from '../store/results.ts';
import { asideKinds, eachOnce, keptKinds, type SoilKind, wholeProblems } from '../store/soil-kinds.ts';
import { openPanel } from '../store/view.ts';
import { counted, number, readable } from '../ui/format.ts';
import { SeverityMark } from '../ui/marks.tsx';
import { Section } from '../ui/PanelFrame.tsx';
import { ProblemList } from './Problems.tsx';
import { Remembered } from './Remembered.tsx';
import { RowCount } from './RowCount.tsx';
import { OutlierMark } from './RowDecision.tsx';
import { RowLinks } from './RowLinks.tsx';
import { SoilDensity } from './SoilDensity.tsx';
import { Differences } from './SoilDifferences.tsx';
import { Doubts } from './SoilDoubts.tsx';
import { NearMisses } from './SoilNearMisses.tsx';
import { SeriesChooser } from './SoilSeries.tsx';
import { SheetChooser } from './SoilSheet.tsx';
import { columnUse, roleWord, unitWord } from './soil-columns.ts';

/** One screen: what was understood of the files on the left, what was not, and why, on the right. */
export function SoilReading({ plan, soil }: { readonly plan: Plan; readonly soil: SoilOut | null }): ReactElement {
  const results = useResults();
  const outliers = useOutliers();
  const table = results.columns.samples;
  const problems = wholeProblems(results.out?.stages.soil.problems ?? []);
  if (!table)
    return (
      <>
        <ProblemList problems={problems} />
        <p className="section ink3">
          {plan.soil.sampleFiles.length === 0 ? 'Choose the lab values first.' : 'Reading the table'}
        </p>
      </>
    );
  return (
    <>
      {soil && (
        <Section>
          <RowCount soil={soil} />
          <Summary soil={soil} standOut={standingOut(soil, outliers).length} />
        </Section>
      )}
      <div className="soil-reading">
        <div>
          <SheetChooser table={table} />
          {soil && <SeriesChooser plan={plan} soil={soil} />}
          <Understood plan={plan} soil={soil} table={table} />
        </div>
        <div>
          <NotUnderstood plan={plan} soil={soil} table={table} />
        </div>
      </div>
    </>
  );
}

const standingOut = (soil: SoilOut, outliers: ReturnType<typeof useOutliers>) =>
  soil.rows.filter((row) => row.kept && outliers.has(rowKey(row)));

/** What lies further down, in one line: each leads there. */
function Summary({ soil, standOut }: { readonly soil: SoilOut; readonly standOut: number }): ReactElement | null {
  const parts = [
    ['alike', eachOnce(soil.nearMisses).length, 'id that looks alike', 'ids that look alike'],
    [
      'watch',
      keptKinds(soil.rows).length + (standOut > 0 ? 1 : 0),
      'kind of doubt in kept rows',
      'kinds of doubt in kept rows',
    ],
    ['differences', soil.differences.length, 'difference from the lab', 'differences from the lab'],
  ] as const;
  const there = parts.filter(([, count]) => count > 0);
  if (there.length === 0) return null;
  return (
    <p className="small ink2 jumps">
      {there.map(([part, count, one, many]) => (
        <button
          type="button"
          key={part}
          className="btn link s"
          onClick={() => document.getElementById(`soil-${part}`)?.scrollIntoView({ block: 'start' })}
        >
          {counted(count, one, many)}
        </button>
      ))}
    </p>
  );
}

function Understood({
  plan,
  soil,
  table,
}: {
  readonly plan: Plan;
  readonly soil: SoilOut | null;
  readonly table: TableColumns;
}): ReactElement {
  const uses = table.columns.map((column) => columnUse(plan.soil.sampleColumns, column));
  const used = uses.filter((use) => use.is !== 'unused');
  const unused = uses.filter((use) => use.is === 'unused');
  return (
    <>
      <Section title="Understood" aside={`${number(used.length)} of ${counted(uses.length, 'column')}`}>
        <ul className="columns-read" data-testid="columns-read">
          {used.map((use) => (
            <li key={use.column}>
              <span>{use.column}</span>
              <span className="ink3">is</span>
              <span>
                <b>{roleWord(use.is, use.oxide)}</b>
                {use.unit === 'none' || use.unit === 'deg' ? '' : <span className="ink2">, {unitWord(use)}</span>}
              </span>
            </li>
          ))}
        </ul>
        {unused.length > 0 && (
          <p className="small ink3 under">Not used: {unused.map((use) => use.column).join(', ')}.</p>
        )}
        <Remembered table={table} uses={plan.soil.sampleColumns} />
        <p className="under">
          <button type="button" className="btn s" onClick={() => openPanel('soil', 'table')}>
            Change a column
          </button>
        </p>
      </Section>
      {soil && soil.reading.length > 0 && (
        <Section title="How it was read">
          <ul className="small ink2 sentences">
            {howRead(soil.reading).map((sentence) => (
              <li key={sentence}>{readable(sentence)}</li>
            ))}
          </ul>
        </Section>
      )}
      <SoilDensity />
    </>
  );
}

function NotUnderstood({
  plan,
  soil,
  table,
}: {
  readonly plan: Plan;
  readonly soil: SoilOut | null;
  readonly table: TableColumns;
}): ReactElement {
  const results = useResults();
  const outliers = useOutliers();
  const problems = wholeProblems(results.out?.stages.soil.problems ?? []);
  const stops = problems.filter((problem) => problem.severity === 'stop');
  const others = problems.filter((problem) => problem.severity !== 'stop');
  const aside = soil ? asideKinds(soil.rows) : [];
  const kept = soil ? keptKinds(soil.rows) : [];
  const points = soil ? asideKinds(soil.pointRows) : [];
  const misses = soil ? soil.nearMisses : [];
  const standOut = soil ? standingOut(soil, outliers) : [];
  return (
    <>
      <ProblemList problems={stops} />
      <Doubts which="sampleColumns" table={table} uses={plan.soil.sampleColumns} />
      {soil && (
        <Section title="Set aside, and why" aside={equation(soil, aside)}>
          {aside.length === 0 ? <p className="small ink2">Every row is kept.</p> : <Kinds kinds={aside} />}
        </Section>
      )}
      {misses.length + plan.soil.sameIds.length > 0 && (
        <div id="soil-alike">
          <NearMisses plan={plan} misses={misses} pairs={pairsOf(misses)} />
        </div>
      )}
      {points.length > 0 && (
        <Section title="Points set aside" aside={counted(soil?.pointRows.length ?? 0, 'point')}>
          <Kinds kinds={points} />
        </Section>
      )}
      <div id="soil-watch" />
      {others.length > 0 && (
        <Section title="Of the table as a whole" aside={counted(others.length, 'finding')}>
          <ProblemList problems={others} />
        </Section>
      )}
      {(kept.length > 0 || standOut.length > 0) && (
        <Section title="Kept, but look at" aside={counted(kept.length + (standOut.length > 0 ? 1 : 0), 'kind')}>
          <Kinds kinds={kept} />
          {standOut.length > 0 && (
            <ul className="kinds">
              <li>
                <OutlierMark />
                <div>
                  <b>{counted(standOut.length, 'sample')}</b> unlike the samples around{' '}
                  {standOut.length === 1 ? 'it' : 'them'} <RowLinks rows={standOut} />
                </div>
              </li>
            </ul>
          )}
        </Section>
      )}
      <div id="soil-differences" />
      {soil && <Differences soil={soil} tolerance_pct={plan.soil.tolerance_pct} />}
    </>
  );
}

/** `6 = 3 + 2 + 1`. */
const equation = (soil: SoilOut, kinds: readonly SoilKind[]): string | undefined =>
  kinds.length < 2
    ? soil.setAside === 0
      ? undefined
      : counted(soil.setAside, 'row')
    : `${number(soil.setAside)} = ${kinds.map((kind) => number(kind.rows.length)).join(' + ')}`;

/** One line a kind: how many, what, which rows; what it means and what can be done under it. */
export const Kinds = ({ kinds }: { readonly kinds: readonly SoilKind[] }): ReactElement => (
  <ul className="kinds" data-testid="kinds">
    {kinds.map((kind) => (
      <li key={`${kind.severity} ${kind.code}`} data-code={kind.code}>
        <SeverityMark severity={kind.severity} />
        <div>
          <b>{number(kind.rows.length)}</b> {kind.says} <RowLinks rows={kind.rows} />
          <small>
            {readable(kind.rows.length === 1 ? `${kind.example.message} ${kind.example.remedy}` : kind.example.remedy)}
          </small>
        </div>
      </li>
    ))}
  </ul>
);
