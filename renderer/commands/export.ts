import type { PlanOut } from '../../core/pipeline/types.ts';
import { compute } from '../compute/index.ts';
import type { InputFile } from '../compute/protocol.ts';
import { useDocument } from '../store/document.ts';
import { addNotices, dropNotices, useResults } from '../store/results.ts';
import { askHost } from './ask-host.ts';
import { plainBytes } from './bytes.ts';
import { report, savePlan, unsaved } from './plans.ts';

/** Why the files may not be written now, in words for the button; null when they may. */
export function whyNoExport(): string | null {
  const { history } = useDocument.getState();
  const { out, outFor, work, exporting } = useResults.getState();
  if (!history) return 'No plan open';
  if (exporting) return WORDS[exporting];
  if (!out || outFor !== history.present)
    return work === null ? 'Stale: run the stages first' : 'Stale: being made again';
  const stopped = Object.values(out.stages).find((stage) => stage.state === 'problem');
  if (stopped) return `Stopped: a problem in ${stopped.stage}`;
  return out.handoff ? null : 'Nothing to write yet';
}
const WORDS = { saving: 'Saving the plan', writing: 'Writing the files', proving: 'Reading the files back' } as const;

/** Saves the plan, has the host write the files, and proves them from the bytes read back from disk. */
export async function exportFiles(): Promise<void> {
  const { out } = useResults.getState();
  if (whyNoExport() !== null || !out?.handoff) return;
  try {
    useResults.setState({ exporting: 'saving' });
    if ((unsaved() || useDocument.getState().planId === null) && !(await savePlan())) return;
    const { planId } = useDocument.getState();
    if (planId === null) return;
    useResults.setState({ exporting: 'writing' });
    const files = out.handoff.files.map(({ path, bytes }) => ({ path, bytes: plainBytes(bytes) }));
    const asked = await askHost('saveExports', { planId, files });
    const answer = asked.ok ? asked.value : asked;
    if (!answer.ok) return report([answer.problem]);
    useResults.setState({ exporting: 'proving' });
    await prove(out, answer.value.files, answer.value.folder);
  } finally {
    useResults.setState({ exporting: null });
  }
}

/** Reads the export folder as it is now and compares it with the plan. `quietly` says nothing where there is none yet. */
export async function proveAgain(quietly = false): Promise<void> {
  const { planId } = useDocument.getState();
  const { out } = useResults.getState();
  if (planId === null || !out?.handoff) return;
  if (!quietly) useResults.setState({ exporting: 'proving' });
  try {
    const asked = await askHost('readExports', { planId });
    const answer = asked.ok ? asked.value : asked;
    if (!answer.ok) return quietly ? undefined : report([answer.problem]);
    if (answer.value.files.length === 0) return;
    await prove(out, answer.value.files, answer.value.folder, quietly);
  } finally {
    if (!quietly) useResults.setState({ exporting: null });
  }
}

const OTHER_PLAN = 'handoff-other-plan';

async function prove(out: PlanOut, files: readonly InputFile[], folder: string, quietly = false): Promise<void> {
  const outcome = await compute.call('prove', { files: files.map(({ path, bytes }) => ({ path, bytes })) });
  if (!outcome.ok) return quietly ? undefined : report([outcome.problem]);
  dropNotices(OTHER_PLAN);
  if (!sameManifest(out, files)) {
    useResults.setState({ proof: null });
    if (!quietly) {
      addNotices([
        {
          code: OTHER_PLAN,
          severity: 'caution',
          stage: 'handoff',
          message: 'The files in the export folder are of another state of this plan.',
          remedy: 'Save the files again.',
          detail: folder,
        },
      ]);
    }
    return;
  }
  const key = out.stages.handoff.key;
  useResults.setState({ proof: { proof: outcome.response, key, at: new Date(), folder, files: files.length } });
}

/** The manifest among the files read back is the one this plan writes. */
function sameManifest(out: PlanOut, files: readonly InputFile[]): boolean {
  const planned = out.handoff?.files.find((file) => file.path === MANIFEST)?.bytes;
  const found = files.find((file) => file.path === MANIFEST)?.bytes;
  return planned !== undefined && found !== undefined && sameBytes(planned, found);
}
const MANIFEST = 'manifest.json';

const sameBytes = (a: Uint8Array, b: Uint8Array): boolean =>
  a.length === b.length && a.every((byte, i) => byte === b[i]);
