import { fail } from '../../core/base/problem.ts';
import type { NamedBytes } from '../../core/formats/types.ts';
import type { Against } from '../../core/handoff/back/compare.ts';
import type { Looked, Told } from '../../core/handoff/back/types.ts';
import { compute } from '../compute/index.ts';
import { currentPlan } from '../store/document.ts';
import { NOTHING_OPENED, openedNow, useOpened } from '../store/opened.ts';
import { useResults } from '../store/results.ts';
import { openPanel, useView } from '../store/view.ts';

/** Opens the system's file chooser for a prescription. */
export function choosePrescription(): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.multiple = true;
  input.addEventListener('change', () => void takePrescription(input.files ?? []));
  input.click();
}

/** Files to be looked at as a prescription: they take the place of those opened before, and never touch the plan. */
export async function takePrescription(list: Iterable<File>): Promise<void> {
  const files = await Promise.all(
    [...list].map(async (file) => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) })),
  );
  if (files.length === 0) return;
  follow();
  useOpened.setState({ ...NOTHING_OPENED, files });
  if (currentPlan()) openPanel('handoff', 'opened');
  await read(files, {});
}

/** What the file leaves open: layer, column, unit or coordinate system. Another layer has columns of its own. */
export async function tellOpened(patch: Told): Promise<void> {
  const { files, told } = useOpened.getState();
  const { column: _column, unit: _unit, ...place } = told;
  await read(files, { ...(patch.layer === undefined ? told : place), ...patch });
}

export function closePrescription(): void {
  const { layer } = useView.getState();
  if (layer === 'opened' || layer === 'openedLess') useView.setState({ layer: null });
  useOpened.setState(NOTHING_OPENED);
}

export async function compareOpenedWith(against: Against): Promise<void> {
  useOpened.setState({ against });
  await compare();
}

async function read(files: readonly NamedBytes[], told: Told): Promise<void> {
  useOpened.setState({ files, told, reading: true });
  const look = await lookAt(files, told);
  const now = useOpened.getState();
  // Another file was opened, or another thing told, in the meantime.
  if (now.files !== files || now.told !== told) return;
  useOpened.setState({ reading: false, look, back: null });
  if (!look.read.ok) return;
  await compare();
  if (currentPlan() && useView.getState().layer === null) useView.setState({ layer: 'opened' });
}

async function lookAt(files: readonly NamedBytes[], told: Told): Promise<Looked> {
  const outcome = await compute.call('openPrescription', { files, told });
  if (outcome.ok) return outcome.response;
  const nothing = { layers: [], layer: null, candidates: [], column: null, unit: null, unitOpen: false };
  return { asked: nothing, read: fail(outcome.problem) };
}

/** Holds the file against the plan as it was made last. */
async function compare(): Promise<void> {
  const { files, told, against, look } = useOpened.getState();
  if (!openedNow()) return;
  if (!useResults.getState().out?.handoff) return useOpened.setState({ back: null });
  let outcome = await compute.call('compareOpened', { against });
  if (outcome.ok && outcome.response === null) {
    // A worker that was begun anew does not know the file.
    await lookAt(files, told);
    outcome = await compute.call('compareOpened', { against });
  }
  const now = useOpened.getState();
  if (now.look === look && now.against === against) useOpened.setState({ back: outcome.ok ? outcome.response : null });
}

let following = false;

/** From the first file on: each new result of the plan is compared anew. */
function follow(): void {
  if (following) return;
  following = true;
  let last = useResults.getState().out?.handoff ?? null;
  useResults.subscribe(({ out }) => {
    const handoff = out?.handoff ?? null;
    if (handoff === last) return;
    last = handoff;
    void compare();
  });
}
