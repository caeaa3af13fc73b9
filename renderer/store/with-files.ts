import type { Plan } from '../../core/plan/schema.ts';
import { type FilePart, type IntakeState, partsOf } from './intake.ts';
import { layerInputs } from './plan-inputs.ts';

/** The open plan with the files just read; every other choice in it stays. */
export function withFiles(plan: Plan, read: Plan, intake: IntakeState): Plan {
  const given = givenParts(intake);
  const told = intake.crs.trim() === '' ? null : intake.crs.trim();
  return {
    ...plan,
    inputs: [
      ...read.inputs,
      ...plan.inputs.filter(({ path }) => layerInputs(plan).has(path) && !read.inputs.some((one) => one.path === path)),
    ],
    field: {
      ...plan.field,
      boundaryFiles: read.field.boundaryFiles,
      keepOutFiles: read.field.keepOutFiles,
      crs: told ?? plan.field.crs,
    },
    soil: {
      ...plan.soil,
      crs: told ?? plan.soil.crs,
      pointFiles: read.soil.pointFiles,
      sampleFiles: read.soil.sampleFiles,
      sampleTable: given.has('samples') ? read.soil.sampleTable : plan.soil.sampleTable,
      pointColumns: given.has('points') ? read.soil.pointColumns : plan.soil.pointColumns,
      sampleColumns: given.has('samples') ? read.soil.sampleColumns : plan.soil.sampleColumns,
    },
    zones: given.has('samples') ? { ...plan.zones, method: read.zones.method } : plan.zones,
  };
}

/** What the files of the intake are taken for, all together. */
export const givenParts = (intake: IntakeState): ReadonlySet<FilePart> =>
  new Set(intake.files.flatMap((file) => partsOf(intake, file.name)));
