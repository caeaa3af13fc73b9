import { create } from 'zustand';
import type { Problem } from '../../core/base/problem.ts';
import type { Proof } from '../../core/handoff/types.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import type { Plan } from '../../core/plan/schema.ts';
import type { Progress, TableColumns } from '../compute/protocol.ts';
import { type MapShapes, NO_SHAPES } from '../map/shapes.ts';

/** What the worker made of the plan, and how far it is. */
export interface ResultsState {
  readonly out: PlanOut | null;
  /** The plan that `out` was made of; older than the document while work is on its way. */
  readonly outFor: Plan | null;
  /** Of `out`, for the map. */
  readonly shapes: MapShapes;
  readonly work: Progress | 'waiting' | null;
  /** Set when a run was cancelled by hand: results stay stale until the plan changes or is run again. */
  readonly cancelled: boolean;
  /** Troubles outside the stages: opening, saving, a run that went silent. */
  readonly notices: readonly Problem[];
  /** Problems that were there in this session and are no more. */
  readonly settled: readonly Problem[];
  readonly proof: ProofState | null;
  readonly exporting: 'saving' | 'writing' | 'proving' | null;
  /** How the columns of the plan's tables were guessed, by the table's files. */
  readonly columns: { readonly samples: TableColumns | null; readonly points: TableColumns | null };
}

export interface ProofState {
  readonly proof: Proof;
  /** Key of the handoff that was written. */
  readonly key: string;
  readonly at: Date;
  readonly folder: string;
  readonly files: number;
}

export const NO_RESULTS: ResultsState = {
  out: null,
  outFor: null,
  shapes: NO_SHAPES,
  work: null,
  cancelled: false,
  notices: [],
  settled: [],
  proof: null,
  exporting: null,
  columns: { samples: null, points: null },
};

export const useResults = create<ResultsState>()(() => NO_RESULTS);

const sameProblem = (a: Problem, b: Problem): boolean =>
  a.code === b.code && a.message === b.message && JSON.stringify(a.at) === JSON.stringify(b.at);
const MOST_SETTLED = 20;

/** Takes in a finished run; problems that went away are settled, not lost. */
export function takeResults(out: PlanOut, outFor: Plan, shapes: MapShapes): void {
  const { out: before, settled } = useResults.getState();
  const now = out.problems;
  const gone = (before?.problems ?? []).filter((one) => !now.some((other) => sameProblem(one, other)));
  const kept = settled.filter((one) => ![...now, ...gone].some((other) => sameProblem(one, other)));
  useResults.setState({
    out,
    outFor,
    shapes,
    work: null,
    cancelled: false,
    settled: [...gone, ...kept].slice(0, MOST_SETTLED),
  });
}

/** Shows a trouble outside the stages; the same one again takes the older one's place. */
export function addNotices(problems: readonly Problem[]): void {
  const { notices } = useResults.getState();
  const kept = notices.filter((one) => !problems.some((other) => other.code === one.code));
  useResults.setState({ notices: [...kept, ...problems] });
}

export function dropNotice(problem: Problem): void {
  useResults.setState({ notices: useResults.getState().notices.filter((one) => one !== problem) });
}
export function dropNotices(code: string): void {
  useResults.setState({ notices: useResults.getState().notices.filter((one) => one.code !== code) });
}
