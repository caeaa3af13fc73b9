import type { RunHooks } from '../../core/base/hooks.ts';
import { stopsBeforeBuild } from '../../core/pipeline/before-build.ts';
import { makeField } from '../../core/pipeline/field-stage.ts';
import { makeSoil } from '../../core/pipeline/soil-stage.ts';
import type { FieldOut } from '../../core/pipeline/types.ts';
import type { SoilOut } from '../../core/soil/types.ts';
import { readPlanAt } from '../services/plan-folder.ts';
import { failedReport, type InputsReport, isStopped, type Job, type Report } from './reports.ts';

/** Reads and judges the plan's inputs: boundary, keep-outs, samples, and whether a build can go on from them. Nothing is worked out. */
export async function checkJob(job: Job & { kind: 'check' }, hooks: RunHooks): Promise<Report> {
  const opened = await readPlanAt(job.plan);
  if (!opened.ok) return failedReport(job, opened.problems);
  const request = opened.value;
  hooks.progress?.('field', 0, 1);
  const field = makeField(request);
  hooks.progress?.('soil', 0, 1);
  // Without a boundary the samples cannot be judged: inside or outside is part of it.
  const soil = field.ok ? makeSoil(request, field.value.boundary) : null;
  const stops = field.ok && soil?.ok ? stopsBeforeBuild(soil.value, field.value.spreadable, request.plan.surfaces) : [];
  const problems = [...opened.problems, ...field.problems, ...(soil?.problems ?? []), ...stops];
  return {
    kind: 'check',
    plan: job.plan,
    name: request.plan.name,
    ...inputsReport(field.ok ? field.value : null, soil?.ok ? soil.value : null),
    ok: soil?.ok === true && !isStopped(problems),
    problems,
  };
}

export const inputsReport = (field: FieldOut | null, soil: SoilOut | null): InputsReport => ({
  field: field && {
    boundary_ac: field.boundary_ac,
    keepOut_ac: field.keepOut_ac,
    spreadable_ac: field.spreadable_ac,
    reading: field.reading,
  },
  soil: soil && {
    read: soil.read,
    kept: soil.kept,
    setAside: soil.setAside,
    reading: soil.reading,
    series: soil.series,
    differences: soil.differences,
    nearMisses: soil.nearMisses,
  },
});
