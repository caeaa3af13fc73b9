import { sha256Hex } from '../../core/base/hash.ts';
import { writeGeoJson } from '../../core/formats/geojson-write.ts';
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

/** The sample field without its hole and keep-outs: one ring, all of it ground to spread. */
export function bareField(): { readonly plan: Plan; readonly inputs: Map<string, Uint8Array> } {
  const { plan, inputs } = samplePlan();
  const read = readFiles([{ name: 'boundary.zip', bytes: inputs.get('boundary.zip') ?? new Uint8Array() }]);
  const geometry = read.ok ? read.value[0]?.records[0]?.geometry : null;
  if (geometry?.type !== 'MultiPolygon') throw new Error('the sample field has no boundary');
  const polygons = geometry.polygons.map((polygon) => polygon.slice(0, 1));
  const bytes = writeGeoJson([{ polygons, properties: {} }], { name: 'outer' });
  const input = { path: 'outer.geojson', name: 'outer.geojson', sha256: sha256Hex(bytes), size: bytes.length };
  return {
    plan: {
      ...plan,
      inputs: [...plan.inputs, input],
      field: { ...plan.field, boundaryFiles: ['outer.geojson'], keepOutFiles: [] },
    },
    inputs: new Map([...inputs, ['outer.geojson', bytes]]),
  };
}

/** A maker of handoffs that keeps the stages before them, so that only what a test changes is made again. */
export function maker(field = samplePlan): (change?: (plan: Plan) => unknown) => Promise<Made> {
  const memo: Memo = createMemo();
  return async (change = (plan) => plan) => {
    const { plan, inputs } = field();
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
