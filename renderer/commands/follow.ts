import type { Plan } from '../../core/plan/schema.ts';
import { compute } from '../compute/index.ts';
import { currentPlan, useDocument } from '../store/document.ts';
import { settleDraft } from '../store/draft.ts';
import { addNotices, dropNotices, takeResults, useResults } from '../store/results.ts';
import { readColumns } from './columns.ts';

/** Keeps the results after the plan: every change runs the stages again, the latest wins, an overtaken run is dropped. */
const PAUSE_MS = 120;

let timer: ReturnType<typeof setTimeout> | undefined;
let running: { id: number | null } | null = null;
let stoppedByHand = false;

/** Starts to follow the document; returns the way to stop. */
export function followPlan(): () => void {
  let seen: Plan | null = null;
  const look = (): void => {
    const plan = currentPlan();
    if (plan === seen) return;
    seen = plan;
    if (plan) changed(plan);
  };
  look();
  return useDocument.subscribe(look);
}

function changed(plan: Plan): void {
  clearTimeout(timer);
  if (running?.id) compute.cancel(running.id);
  stoppedByHand = false;
  if (useResults.getState().outFor === plan) {
    useResults.setState({ work: null, cancelled: false });
    settleDraft();
    return;
  }
  useResults.setState((results) => ({ work: results.work ?? 'waiting', cancelled: false }));
  timer = setTimeout(run, PAUSE_MS);
}

/** Runs at once: after a cancel, or when asked for. */
export function runNow(): void {
  const plan = currentPlan();
  if (!plan) return;
  clearTimeout(timer);
  stoppedByHand = false;
  useResults.setState({ work: 'waiting', cancelled: false });
  void run();
}

/** Lets go of the work under way; what was shown before stays, marked stale. */
export function cancelRun(): void {
  clearTimeout(timer);
  stoppedByHand = true;
  if (running?.id) compute.cancel(running.id);
  else useResults.setState({ work: null, cancelled: true });
}

async function run(): Promise<void> {
  // The one under way was cancelled when the plan changed; it comes back here when it has let go.
  if (running) return;
  const plan = currentPlan();
  if (!plan) return;
  const job: { id: number | null } = { id: null };
  running = job;
  const outcome = await compute.run(plan, useDocument.getState().inputs, {
    started: (id) => {
      job.id = id;
    },
    progress: (work) => useResults.setState({ work }),
  });
  running = null;
  if (currentPlan() === null) return;
  if (outcome.ok) {
    dropNotices('compute-silent');
    dropNotices('compute-fault');
    if (outcome.response) {
      takeResults(outcome.response.out, plan, outcome.response.shapes);
      if (plan === currentPlan()) settleDraft();
    }
  } else {
    useResults.setState({ work: null, cancelled: true });
    settleDraft();
    addNotices([outcome.problem]);
    return;
  }
  const latest = currentPlan();
  if (stoppedByHand) {
    useResults.setState({ work: null, cancelled: useResults.getState().outFor !== latest });
    settleDraft();
  } else if (latest && latest !== useResults.getState().outFor) {
    useResults.setState((results) => ({ work: results.work ?? 'waiting' }));
    clearTimeout(timer);
    timer = setTimeout(run, 0);
  }
  void readColumns();
}
