import type { Plan } from '../../core/plan/schema.ts';

/** Paths of the inputs that something in the plan is made from. */
export const usedInputs = (plan: Plan): ReadonlySet<string> =>
  new Set([
    ...plan.field.boundaryFiles,
    ...plan.field.keepOutFiles,
    ...plan.soil.pointFiles,
    ...plan.soil.sampleFiles,
    ...layerInputs(plan),
  ]);

/** Those of layers, setbacks and zones: no reading of boundary and samples takes them away. */
export const layerInputs = (plan: Plan): ReadonlySet<string> =>
  new Set([
    ...plan.rasters.map(({ file }) => file),
    ...plan.field.setbacks.flatMap(({ ground }) => (ground.from === 'files' ? ground.files : [])),
    ...plan.zones.polygons.files,
  ]);

/** The plan without those of the inputs that nothing in it is made from any more. */
export function withoutUnused(plan: Plan, files: readonly string[]): Plan {
  const used = usedInputs(plan);
  return { ...plan, inputs: plan.inputs.filter(({ path }) => used.has(path) || !files.includes(path)) };
}
