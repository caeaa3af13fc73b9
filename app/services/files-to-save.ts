import { sha256Hex } from '../../core/base/hash.ts';
import { type Problem, stop } from '../../core/base/problem.ts';
import { encodeUtf8 } from '../../core/base/text.ts';
import type { HostReply, NamedInput } from '../../core/bridge/host-api.ts';
import { planText } from '../../core/plan/open.ts';
import { PLAN_FILE } from '../../core/plan/pack.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { EXPORT_FOLDER } from './exports.ts';
import { foldedPath, pathFault, staysInside } from './inner-path.ts';
import { readInputs } from './plan-folder.ts';
import { reply } from './trouble.ts';
import type { WholeFile } from './whole.ts';

/** What must be written so that the folder holds the plan and every one of its inputs, or why that cannot be. */
export async function filesToSave(
  plan: Plan,
  folder: string | null,
  given: readonly NamedInput[],
): Promise<HostReply<readonly WholeFile[]>> {
  const wanted = new Map(plan.inputs.map((input) => [input.path, input]));
  const stray = given.find((file) => !wanted.has(file.path));
  if (stray) return reply.refused(inputProblem('plan-input-unknown', stray.path, 'the plan does not name it'));
  const sent = new Map(given.map((file) => [file.path, file.bytes]));
  const held = folder === null ? new Map<string, Uint8Array>() : await readInputs(folder, plan.inputs);
  const folded = new Set([foldedPath(PLAN_FILE)]);
  const files: WholeFile[] = [];
  for (const { path, sha256 } of plan.inputs) {
    const fault = folded.has(foldedPath(path)) ? 'another file has the same name' : inputFault(path);
    if (fault !== null) return reply.refused(inputProblem('plan-input-path', path, fault));
    if (folder !== null && !(await staysInside(folder, path))) {
      return reply.refused(inputProblem('plan-input-path', path, 'a link on its way leads out of the folder'));
    }
    folded.add(foldedPath(path));
    const here = held.get(path);
    const bytes = sent.get(path) ?? here;
    if (bytes === undefined)
      return reply.refused(inputProblem('plan-input-missing', path, 'its bytes are not at hand'));
    if (sha256Hex(bytes) !== sha256) {
      return reply.refused(inputProblem('plan-input-changed', path, 'its bytes are not those that the plan names'));
    }
    if (here === undefined || sha256Hex(here) !== sha256) files.push({ path, bytes });
  }
  return reply.done([...files, { path: PLAN_FILE, bytes: encodeUtf8(planText(plan)) }]);
}

const inputFault = (path: string): string | null =>
  pathFault(path) ??
  (foldedPath(path).startsWith(`${EXPORT_FOLDER}/`) ? `the folder ${EXPORT_FOLDER} is kept for exports` : null);

const inputProblem = (code: string, path: string, why: string): Problem =>
  stop(code, `The plan cannot be saved with the input ${path}: ${why}.`, 'Take the file in again, then save.', {
    file: path,
  });
