import { readFile, stat } from 'node:fs/promises';
import { basename, dirname, extname } from 'node:path';
import { fail, type Result, stop } from '../../core/base/problem.ts';
import { decodeText } from '../../core/base/text.ts';
import { readPlan } from '../../core/plan/open.ts';
import { type OpenedPlan, openInputs, PLAN_FILE, unpackPlan } from '../../core/plan/pack.ts';
import { innerFile } from './inner-path.ts';
import { diskTrouble } from './trouble.ts';
import { finishCommit } from './whole.ts';

export const PACKED_ENDING = '.pearlash';

/** A plan from a path that a person names: its folder, its JSON document, or the packed file. */
export async function readPlanAt(path: string): Promise<Result<OpenedPlan>> {
  try {
    if ((await stat(path)).isDirectory()) return await readPlanFolder(path);
    if (extname(path).toLowerCase() === PACKED_ENDING) return unpackPlan(await readFile(path), basename(path));
    return await readPlanFolder(dirname(path), basename(path));
  } catch (error) {
    return fail(diskTrouble('disk-read', 'The plan cannot be read', path, error));
  }
}

/**
 * The plan document in a folder and the bytes of its inputs, each held against the plan's SHA-256.
 * Problems: those of readPlan and openInputs; `plan-none` (no document there), `disk-read`.
 */
export async function readPlanFolder(folder: string, document: string = PLAN_FILE): Promise<Result<OpenedPlan>> {
  try {
    // A folder that cannot be written is read as it is; half a save there shows by the hashes.
    await finishCommit(folder).catch(() => undefined);
    const file = await innerFile(folder, document);
    if (file === null) return fail(noPlan(folder, document));
    const plan = readPlan(decodeText(await readFile(file)), document);
    if (!plan.ok) return plan;
    const inputs = openInputs(plan.value, await readInputs(folder, plan.value.inputs), document);
    if (!inputs.ok) return inputs;
    return {
      ok: true,
      value: { plan: plan.value, inputs: inputs.value },
      problems: [...plan.problems, ...inputs.problems],
    };
  } catch (error) {
    return fail(diskTrouble('disk-read', 'The plan cannot be read', folder, error));
  }
}

/** Bytes of the inputs that are plain files inside the folder; what is missing is for openInputs to tell. */
export async function readInputs(
  folder: string,
  inputs: readonly { readonly path: string }[],
): Promise<Map<string, Uint8Array>> {
  const found = new Map<string, Uint8Array>();
  for (const { path } of inputs) {
    const file = await innerFile(folder, path);
    if (file !== null) found.set(path, new Uint8Array(await readFile(file)));
  }
  return found;
}

const noPlan = (folder: string, document: string) =>
  stop(
    'plan-none',
    `There is no ${document} in the folder.`,
    'Choose a plan folder, a plan.json or a .pearlash file.',
    {
      file: folder,
    },
  );
