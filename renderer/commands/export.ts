import type { Problem } from '../../core/base/problem.ts';
import { MANIFEST_FILE, readManifest, samePlanned } from '../../core/handoff/manifest.ts';
import type { OutFile, Proof } from '../../core/handoff/types.ts';
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

/** Saves the plan, has the host write the files, proves them from the bytes read back from disk, and does so again with the page and the proof. */
export async function exportFiles(): Promise<void> {
  const { out } = useResults.getState();
  if (whyNoExport() !== null || !out?.handoff) return;
  try {
    useResults.setState({ exporting: 'saving' });
    if ((unsaved() || useDocument.getState().planId === null) && !(await savePlan())) return;
    const { planId } = useDocument.getState();
    if (planId === null) return;
    const first = await writeAndProve(planId, out.handoff.files);
    if (!first) return;
    if (!first.proof.proved) return take(out, first.proof, first.files, first.folder);
    // The page and the manifest say what the proof found; then all is written, read back and proved as it is handed on.
    const finished = await compute.call('finish', {
      key: out.stages.handoff.key,
      proof: first.proof,
      when: clockText(new Date()),
    });
    if (!finished.ok) return report([finished.problem]);
    if (finished.response === null) return report([OVERTAKEN]);
    const last = await writeAndProve(planId, finished.response);
    if (last) take(out, last.proof, last.files, last.folder);
  } finally {
    useResults.setState({ exporting: null });
  }
}

interface Written {
  readonly proof: Proof;
  readonly files: readonly InputFile[];
  readonly folder: string;
}

/** Has the host write the files, and proves what it read back from the disk; null where something was reported instead. */
async function writeAndProve(planId: string, out: readonly OutFile[]): Promise<Written | null> {
  useResults.setState({ exporting: 'writing' });
  const files = out.map(({ path, bytes }) => ({ path, bytes: plainBytes(bytes) }));
  const asked = await askHost('saveExports', { planId, files });
  const answer = asked.ok ? asked.value : asked;
  if (!answer.ok) {
    report([answer.problem]);
    return null;
  }
  useResults.setState({ exporting: 'proving' });
  const outcome = await compute.call('prove', {
    files: answer.value.files.map(({ path, bytes }) => ({ path, bytes })),
  });
  if (outcome.ok) return { proof: outcome.response, files: answer.value.files, folder: answer.value.folder };
  report([outcome.problem]);
  return null;
}

const OVERTAKEN: Problem = {
  code: 'handoff-overtaken',
  severity: 'caution',
  stage: 'handoff',
  message: 'The plan changed while its files were written, so they are without their page and proof.',
  remedy: 'Save the files again.',
};

/** Date and time here: `2026-04-02 14:41`. */
const clockText = (at: Date): string => {
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())} ${two(at.getHours())}:${two(at.getMinutes())}`;
};

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
  take(out, outcome.response, files, folder, quietly);
}

/** Shows a proof, unless it is of files of another state of the plan. */
function take(out: PlanOut, proof: Proof, files: readonly InputFile[], folder: string, quietly = false): void {
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
  useResults.setState({ proof: { proof, key, at: new Date(), folder, files: files.length } });
}

/** The manifest among the files read back is the one this plan writes, whatever the proof added to it. */
function sameManifest(out: PlanOut, files: readonly InputFile[]): boolean {
  const manifestOf = (all: readonly InputFile[]) => {
    const bytes = all.find((file) => file.path === MANIFEST_FILE)?.bytes;
    const read = bytes && readManifest(bytes, MANIFEST_FILE);
    return read?.ok ? read.value : null;
  };
  const planned = manifestOf(out.handoff?.files ?? []);
  const found = manifestOf(files);
  return planned !== null && found !== null && samePlanned(planned, found);
}
