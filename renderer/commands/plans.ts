import { type Problem, stop } from '../../core/base/problem.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { compute } from '../compute/index.ts';
import {
  closeDocument,
  currentPlan,
  isUnsaved,
  markSaved,
  type OpenedDocument,
  openDocument,
  useDocument,
} from '../store/document.ts';
import { dropDraft } from '../store/draft.ts';
import { NO_INTAKE, useIntake } from '../store/intake.ts';
import { askLeaving } from '../store/leaving.ts';
import { NO_RASTERS, useRasters } from '../store/rasters.ts';
import { addNotices, dropNotices, NO_RESULTS, useResults } from '../store/results.ts';
import { openPanel, resetView } from '../store/view.ts';
import { askHost } from './ask-host.ts';
import { plainBytes } from './bytes.ts';
import { forgetColumns } from './columns.ts';
import { download } from './download.ts';

/** Shows troubles outside the stages, with their remedies, at once. */
export function report(problems: readonly Problem[]): void {
  if (problems.length === 0) return;
  addNotices(problems);
  if (currentPlan()) openPanel('problems');
}

/** Takes a document in as the open plan; everything seen or made of the one before it goes. */
export function showDocument(opened: OpenedDocument): void {
  forgetColumns();
  useResults.setState(NO_RESULTS);
  useIntake.setState(NO_INTAKE);
  useRasters.setState(NO_RASTERS);
  dropDraft();
  resetView();
  openDocument(opened);
}

/** True when the open plan may be left: nothing is unsaved, or a person said what shall become of it. */
export async function askFirst(): Promise<boolean> {
  if (!isUnsaved(useDocument.getState())) return true;
  const choice = await askLeaving();
  return choice === 'save' ? savePlan() : choice === 'leave';
}

/** Opens a plan of the host's by its id. */
export async function openPlan(planId: string): Promise<void> {
  if (!(await askFirst())) return;
  const asked = await askHost('openPlan', { planId });
  if (!asked.ok) return report([asked.problem]);
  if (!asked.value.ok) return report([asked.value.problem]);
  const { plan: planText, inputs, folder, planId: openedId } = asked.value.value;
  const outcome = await compute.call('open', { planText, inputs, name: folder });
  if (!outcome.ok) return report([outcome.problem]);
  if (!outcome.response.ok) return report(outcome.response.problems);
  const { value, problems } = outcome.response;
  showDocument({ plan: value.plan, inputs: mapOf(value.inputs), planId: openedId, folder });
  openPanel('rates');
  addNotices(problems);
}

/** How the host names a sample field that is not among the person's own plans yet, and the copy once it is. */
const SAMPLE_ID = /^(sample@|hollow-quarter(-\d+)?$)/;

/** Opens the sample field that comes with the program. */
export async function trySample(): Promise<void> {
  const asked = await askHost('listPlans', {});
  const answer = asked.ok ? asked.value : asked;
  if (!answer.ok) return report([answer.problem]);
  const sample = answer.value.plans.find((entry) => SAMPLE_ID.test(entry.planId));
  if (sample) return openPlan(sample.planId);
  report([stop('sample-none', 'No sample field came with this program.', 'Start with files of your own.')]);
}

/** Opens a plan that came as one .pearlash file. It is saved as a new plan. */
export async function openPlanFile(name: string, bytes: Uint8Array): Promise<void> {
  if (!(await askFirst())) return;
  const outcome = await compute.call('unpack', { name, bytes });
  if (!outcome.ok) return report([outcome.problem]);
  if (!outcome.response.ok) return report(outcome.response.problems);
  const { value, problems } = outcome.response;
  showDocument({ plan: value.plan, inputs: mapOf(value.inputs) });
  openPanel('rates');
  addNotices(problems);
}

/** Saves the plan with the host; true when it is saved. */
export async function savePlan(): Promise<boolean> {
  const { history, planId, inputs, hostHas } = useDocument.getState();
  if (!history) return false;
  const plan = history.present;
  const text = await compute.call('text', { plan });
  if (!text.ok) {
    report([text.problem]);
    return false;
  }
  const missing = plan.inputs.flatMap(({ path }) => {
    const bytes = inputs.get(path);
    return bytes && !(planId !== null && hostHas.has(path)) ? [{ path, bytes: plainBytes(bytes) }] : [];
  });
  const asked = await askHost('savePlan', { planId, plan: text.response, inputs: missing });
  const answer = asked.ok ? asked.value : asked;
  if (!answer.ok) {
    report([answer.problem]);
    return false;
  }
  dropNotices('host-gone');
  markSaved(answer.value.planId, answer.value.folder, plan, new Date());
  return true;
}

/** Hands the plan out as one .pearlash file, through the browser's own download. */
export async function saveCopy(): Promise<void> {
  const plan = currentPlan();
  if (!plan) return;
  const outcome = await compute.pack(plan, useDocument.getState().inputs);
  if (!outcome.ok) return report([outcome.problem]);
  download(`${fileStem(plan)}.pearlash`, outcome.response);
}

export async function closePlan(): Promise<void> {
  if (!(await askFirst())) return;
  forgetColumns();
  closeDocument();
  useResults.setState(NO_RESULTS);
  useIntake.setState(NO_INTAKE);
  useRasters.setState(NO_RASTERS);
  dropDraft();
  resetView();
}

export const unsaved = (): boolean => isUnsaved(useDocument.getState());

export const fileStem = (plan: Plan): string =>
  plan.name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '') || 'plan';

export const mapOf = (files: readonly { readonly path: string; readonly bytes: Uint8Array }[]) =>
  new Map(files.map((file) => [file.path, file.bytes] as const));
