import './handoff.css';
import type { ReactElement } from 'react';
import { cellsChange } from '../../core/handoff/cells-change.ts';
import { SHEET_FILE } from '../../core/handoff/manifest.ts';
import type { HandoffOut } from '../../core/handoff/types.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { ProofSeal } from '../charts/ProofSeal.tsx';
import { download } from '../commands/download.ts';
import { exportFiles, proveAgain, whyNoExport } from '../commands/export.ts';
import { printSheet, whyNoPrint } from '../commands/print-sheet.ts';
import { exportCount, gathered, isFresh, validProof } from '../store/derive.ts';
import { useDocument, usePlan } from '../store/document.ts';
import type { ProofState } from '../store/results.ts';
import { useResults } from '../store/results.ts';
import { useView } from '../store/view.ts';
import { clock, counted, figure, fileSize, money, quantity, unitOf } from '../ui/format.ts';
import { SeverityMark, Tick } from '../ui/marks.tsx';
import { PanelFrame, Section } from '../ui/PanelFrame.tsx';
import { HandoffLoads } from './HandoffLoads.tsx';
import { HandoffWritten } from './HandoffWritten.tsx';
import { OpenedPart } from './OpenedPart.tsx';
import { ProblemList } from './Problems.tsx';

/** What leaves the program, and that it is right. */
export function HandoffPanel(): ReactElement | null {
  const plan = usePlan();
  const results = useResults();
  const planId = useDocument((state) => state.planId);
  if (!plan) return null;
  const out = results.out;
  const handoff = out?.handoff ?? null;
  const fresh = isFresh(plan, results);
  const proof = validProof(plan, results);
  // The store's own state decides; the results above make this panel follow it.
  const why = whyNoExport();
  return (
    <PanelFrame
      panel="handoff"
      title="Handoff"
      sentence="What leaves the program, and that it is right."
      foot={
        <>
          <button
            type="button"
            className="btn"
            disabled={planId === null || !fresh || handoff === null || results.exporting !== null}
            onClick={() => void proveAgain()}
          >
            Prove again
          </button>
          <button
            type="button"
            className="btn"
            title={whyNoPrint() ?? 'One PDF: for the cab, for whoever spreads, and for the grower'}
            disabled={whyNoPrint() !== null}
            onClick={() => void printSheet()}
          >
            Print sheet
          </button>
          <span className="grow" />
          <button type="button" className="btn main" disabled={why !== null} onClick={() => void exportFiles()}>
            {why ?? `Save ${counted(out ? exportCount(plan, out) : 0, 'file')}`}
          </button>
        </>
      }
      tabs={[
        {
          id: 'files',
          label: 'Files',
          body: (
            <>
              {handoff && out ? (
                <div className={fresh ? undefined : 'stale-figures'}>
                  <ProofPart plan={plan} out={out} handoff={handoff} proof={proof} />
                  <Files handoff={handoff} proof={proof} fresh={fresh} sheet={plan.handoff.files.sheet} />
                  <HandoffLoads loads={handoff.loads} />
                  <Checks handoff={handoff} />
                </div>
              ) : (
                <p className="section ink3">
                  {out?.stages.handoff.state === 'problem'
                    ? 'Nothing is written until what stands below is settled.'
                    : 'Nothing to write yet: a stage before this one waits or has stopped.'}
                </p>
              )}
              {out && <ProblemList problems={problemsOf(out)} />}
            </>
          ),
        },
        { id: 'written', label: 'Written as', body: <HandoffWritten plan={plan} /> },
        { id: 'opened', label: 'Opened prescription', body: <OpenedPart /> },
      ]}
    />
  );
}

/** The handoff's own problems, and whatever stops an earlier stage. */
const problemsOf = (out: PlanOut) =>
  gathered([
    ...Object.values(out.stages)
      .filter((stage) => stage.stage !== 'handoff')
      .flatMap((stage) => stage.problems.filter((problem) => problem.severity === 'stop')),
    ...out.stages.handoff.problems,
  ]);

interface ProofPartProps {
  readonly plan: Plan;
  readonly out: PlanOut;
  readonly handoff: HandoffOut;
  readonly proof: ProofState | null;
}

function ProofPart({ plan, out, handoff, proof }: ProofPartProps): ReactElement {
  const units = useView((view) => view.units);
  const exact_lb = out.rates?.totals.exact_lb;
  const change = out.rates && cellsChange(handoff.totals, out.rates, plan.handoff, plan.rates.machine);
  const proved = proof?.proof.proved ?? false;
  const found = proof ? quantity(proof.proof.product_tons * 2000, 'pounds', units) : 'not written yet';
  return (
    <>
      <div className="proof">
        {proof && proved ? (
          <ProofSeal when={clock(proof.at)} />
        ) : (
          <div className="no-seal">{proof ? 'Not the same' : 'Not proved yet'}</div>
        )}
        <dl className="figures">
          <dt>Plan</dt>
          <dd>{quantity(handoff.totals.product_lb, 'pounds', units)}</dd>
          <dt>Files, read back</dt>
          <dd className={proof ? undefined : 'ink3'}>{found}</dd>
          <dt>Before rounding</dt>
          <dd className="ink3">{quantity(exact_lb, 'pounds', units)}</dd>
          {change && (
            <>
              <dt>The zones ask</dt>
              <dd className="ink3">{quantity(change.zones_lb, 'pounds', units)}</dd>
              <dt>
                {change.what} {change.change_lb < 0 ? 'take' : 'add'}
              </dt>
              <dd>{quantity(Math.abs(change.change_lb), 'pounds', units)}</dd>
            </>
          )}
          <dt>{unitOf('area', units) === 'ac' ? 'Acres' : 'Hectares'}, plan</dt>
          <dd>{figure(handoff.totals.acres, 'areaFine', units)}</dd>
          <dt>{unitOf('area', units) === 'ac' ? 'Acres' : 'Hectares'}, files</dt>
          <dd className={proof ? undefined : 'ink3'}>{proof ? figure(proof.proof.acres, 'areaFine', units) : '–'}</dd>
          <dt>Load in all</dt>
          <dd>{quantity(handoff.totals.product_tons, 'tons', units, 2)}</dd>
          <dt>Cost</dt>
          <dd>{money(handoff.totals.cost)}</dd>
        </dl>
      </div>
      {proof && (
        <>
          <p className="small ink2 folder">
            {counted(proof.files, 'file')} in <b>{proof.folder}</b>
          </p>
          <details className="proof-lines">
            <summary>{counted(proof.proof.lines.length, 'comparison')} made</summary>
            <table className="table">
              <thead>
                <tr>
                  <th scope="col">File</th>
                  <th scope="col">What</th>
                  <th scope="col" className="num">
                    plan
                  </th>
                  <th scope="col" className="num">
                    read back
                  </th>
                </tr>
              </thead>
              <tbody>
                {proof.proof.lines.map((line) => (
                  <tr key={`${line.file} ${line.what}`}>
                    <td className="path">{line.file}</td>
                    <td>{line.what}</td>
                    <td className="num path">{short(line.planned)}</td>
                    <td className={line.holds ? 'num path' : 'num path differs'}>{short(line.found)}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </details>
          <ProblemList problems={proof.proof.problems} />
        </>
      )}
    </>
  );
}

/** A hash is known by its beginning. */
const short = (text: string): string => (/^[0-9a-f]{64}$/.test(text) ? `${text.slice(0, 10)}…` : text);

interface FilesProps {
  readonly handoff: HandoffOut;
  readonly proof: ProofState | null;
  readonly fresh: boolean;
  /** Whether the plan writes the page for people. */
  readonly sheet: boolean;
}

function Files({ handoff, proof, fresh, sheet }: FilesProps): ReactElement {
  const loose = handoff.files.filter((file) => file.path.startsWith('shapefile/'));
  const whole = handoff.files.filter((file) => !loose.includes(file));
  const size = loose.reduce((sum, file) => sum + file.bytes.length, 0);
  const copy = (file: HandoffOut['files'][number]): void =>
    download(file.path.split('/').at(-1) ?? file.path, file.bytes);
  const mark = proof?.proof.proved ? <Tick /> : <span />;
  return (
    <Section title="Files" aside={baseOf(handoff)}>
      <ul className="files">
        {whole.map((file) => (
          <li key={file.path} data-file={file.path}>
            {mark}
            <span className="path">{file.path}</span>
            <span className="ink2">{fileSize(file.bytes.length)}</span>
            <small>{file.what}</small>
            {fresh && (
              <button type="button" className="btn s" aria-label={`Copy of ${file.path}`} onClick={() => copy(file)}>
                Copy
              </button>
            )}
          </li>
        ))}
        {sheet && (
          <li data-file={SHEET_FILE}>
            {mark}
            <span className="path">{SHEET_FILE}</span>
            <small>for the cab and for the grower; made with the proof once the others are read back</small>
          </li>
        )}
        {loose.length > 0 && (
          <li>
            {mark}
            <span className="path">shapefile/</span>
            <span className="ink2">{fileSize(size)}</span>
            <small>the same shapefiles loose, {counted(loose.length, 'part')}</small>
          </li>
        )}
      </ul>
    </Section>
  );
}

/** The base that the files are named by. */
const baseOf = (handoff: HandoffOut): string =>
  handoff.files.find((file) => file.path.endsWith('.geojson'))?.path.replace(/(_p\d)?\.geojson$/, '') ?? '';

function Checks({ handoff }: { readonly handoff: HandoffOut }): ReactElement {
  const good = handoff.checks.filter((check) => check.holds).length;
  return (
    <Section title="Checks" aside={`${good} of ${handoff.checks.length}`}>
      <table className="table">
        <tbody>
          {handoff.checks.map((check) => (
            <tr key={check.what}>
              <td>
                {!check.holds && (
                  <span className="check-mark">
                    <SeverityMark severity="stop" />
                  </span>
                )}
                {check.what}
              </td>
              <td className="num ink2">{check.figure}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Section>
  );
}
