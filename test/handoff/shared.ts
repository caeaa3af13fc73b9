import { readFiles } from '../../core/formats/read.ts';
import type { Dataset } from '../../core/formats/types.ts';
import type { HandoffOut, OutFile } from '../../core/handoff/types.ts';
import { createMemo, type Memo, runPlan } from '../../core/pipeline/run.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import { type Plan, planSchema } from '../../core/plan/schema.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';

export interface Made {
  readonly plan: Plan;
  readonly out: PlanOut;
  readonly handoff: HandoffOut;
}

/** A maker of handoffs that keeps the stages before them, so that only what a test changes is made again. */
export function maker(): (change?: (plan: Plan) => unknown) => Promise<Made> {
  const memo: Memo = createMemo();
  return async (change = (plan) => plan) => {
    const { plan, inputs } = samplePlan();
    const changed = planSchema.parse(change(plan));
    const out = await runPlan({ plan: changed, inputs }, {}, memo);
    if (!out.handoff) throw new Error(JSON.stringify(out.problems.filter((one) => one.severity === 'stop')));
    return { plan: changed, out, handoff: out.handoff };
  };
}

/** The plan with other handoff settings. */
export const withHandoff =
  (patch: object) =>
  (plan: Plan): unknown => ({ ...plan, handoff: { ...plan.handoff, ...patch } });

export const bytesOf = (files: readonly OutFile[], path: string): Uint8Array => {
  const file = files.find((one) => one.path === path);
  if (!file) throw new Error(`${path} is not among ${files.map((one) => one.path).join(', ')}`);
  return file.bytes;
};

export function readBack(files: readonly OutFile[], path: string): Dataset {
  const read = readFiles([{ name: path, bytes: bytesOf(files, path) }]);
  const [dataset] = read.ok ? read.value : [];
  if (!dataset) throw new Error(`cannot read ${path}`);
  return dataset;
}

/** Files with the bytes of one changed. */
export const changed = (
  files: readonly OutFile[],
  path: string,
  change: (bytes: Uint8Array) => Uint8Array,
): readonly OutFile[] => {
  bytesOf(files, path);
  return files.map((file) => (file.path === path ? { ...file, bytes: change(file.bytes.slice()) } : file));
};
