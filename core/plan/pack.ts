import { sha256Hex } from '../base/hash.ts';
import { fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { decodeText, encodeUtf8 } from '../base/text.ts';
import type { NamedBytes } from '../formats/types.ts';
import { unzipFiles, zipFiles } from '../formats/zip.ts';
import { planText, readPlan } from './open.ts';
import type { Plan, PlanInput } from './schema.ts';

/** A plan with the bytes of its inputs by their path. */
export interface OpenedPlan {
  readonly plan: Plan;
  readonly inputs: Map<string, Uint8Array>;
}

export const PLAN_FILE = 'plan.json';

/**
 * One .pearlash file: the plan's folder as a zip, plan.json first, then the inputs in the plan's order.
 * Deterministic. Throws when an input's bytes are not at hand: the caller has them or may not pack.
 */
export function packPlan(plan: Plan, inputs: ReadonlyMap<string, Uint8Array>): Uint8Array {
  const files: NamedBytes[] = [{ name: PLAN_FILE, bytes: encodeUtf8(planText(plan)) }];
  for (const input of plan.inputs) {
    const bytes = inputs.get(input.path);
    if (!bytes) throw new Error(`input ${input.path} is not at hand`);
    files.push({ name: input.path, bytes });
  }
  return zipFiles(files);
}

/**
 * A plan out of a .pearlash file. The folder may lie at the top or one level down, as zip programs make it.
 * Problems: those of the zip and of readPlan; `plan-none` (no plan.json), and those of openInputs.
 */
export function unpackPlan(bytes: Uint8Array, name: string): Result<OpenedPlan> {
  const unzipped = unzipFiles(bytes, name);
  if (!unzipped.ok) return unzipped;
  const planFile = unzipped.value.find(
    (file) => file.name === PLAN_FILE || file.name.split('/').slice(1).join('/') === PLAN_FILE,
  );
  if (!planFile) {
    return fail(
      stop('plan-none', 'The file holds no plan.json.', 'Choose a .pearlash file or a plan folder.', { file: name }),
    );
  }
  const prefix = planFile.name.slice(0, planFile.name.length - PLAN_FILE.length);
  const plan = readPlan(decodeText(planFile.bytes), name);
  if (!plan.ok) return plan;
  const found = new Map(
    unzipped.value
      .filter((file) => file.name.startsWith(prefix))
      .map((file) => [file.name.slice(prefix.length), file.bytes] as const),
  );
  const inputs = openInputs(plan.value, found, name);
  if (!inputs.ok) return inputs;
  return ok({ plan: plan.value, inputs: inputs.value }, [...unzipped.problems, ...plan.problems, ...inputs.problems]);
}

/**
 * The bytes of the plan's inputs, each compared with the plan's SHA-256.
 * Problems: `plan-input-missing`, `plan-input-changed`; each stops, since a rate from other bytes would be another plan's.
 */
export function openInputs(
  plan: Plan,
  found: ReadonlyMap<string, Uint8Array>,
  file: string,
): Result<Map<string, Uint8Array>> {
  const problems: Problem[] = [];
  const inputs = new Map<string, Uint8Array>();
  for (const input of plan.inputs) {
    const bytes = found.get(input.path);
    if (!bytes) {
      problems.push(
        stop(
          'plan-input-missing',
          `The plan's input ${input.name} is missing.`,
          `Put the file back as ${input.path}, or choose it anew in the field or soil stage.`,
          { file },
        ),
      );
    } else if (sha256Hex(bytes) !== input.sha256) {
      problems.push(
        stop(
          'plan-input-changed',
          `The plan's input ${input.name} is not the file the plan was made from.`,
          'Put the first file back, or take the new one in through the field or soil stage.',
          { file, setting: input.path },
        ),
      );
    } else inputs.set(input.path, bytes);
  }
  return problems.length > 0 ? fail(...problems) : ok(inputs);
}

/** An input's entry for the plan: stored below `inputs/`, named by its hash and its own name. */
export function describeInput(file: NamedBytes): PlanInput {
  const sha256 = sha256Hex(file.bytes);
  const safeName =
    file.name
      .replace(/[^A-Za-z0-9._-]+/g, '-')
      .replace(/^\.+/, '')
      .slice(-80) || 'file';
  return { path: `inputs/${sha256.slice(0, 12)}-${safeName}`, name: file.name, sha256, size: file.bytes.length };
}
