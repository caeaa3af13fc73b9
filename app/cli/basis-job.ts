import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { ok, type Result } from '../../core/base/problem.ts';
import { decodeText, encodeUtf8 } from '../../core/base/text.ts';
import { awayFrom, BASES, type Basis, basisOf, basisText, readBasis, takeBasis } from '../../core/rates/basis.ts';
import { readPlanAt } from '../services/plan-folder.ts';
import { diskTrouble } from '../services/trouble.ts';
import { writeWhole } from '../services/whole.ts';
import { type BasisReport, failedReport, type Job, type Report } from './reports.ts';
import { takenPlace, writePlan } from './start-job.ts';

/** Writes the basis that a plan stands on, or the plan once more with another basis taken. Nothing is written over. */
export async function basisJob(job: Job & { kind: 'basis' }): Promise<Report> {
  const taken = await takenPlace(job.out);
  if (taken) return failedReport(job, [taken]);
  const opened = await readPlanAt(job.plan);
  if (!opened.ok) return failedReport(job, opened.problems);
  const { plan, inputs } = opened.value;
  const wanted = job.take === undefined ? null : await basisNamed(job.take);
  if (wanted && !wanted.ok) return failedReport(job, wanted.problems);
  const problems = [...opened.problems, ...(wanted?.problems ?? [])];
  const basis = wanted ? wanted.value : basisOf(plan.rates, job.name ?? (plan.rates.basis || plan.name.slice(0, 80)));
  try {
    if (wanted) await writePlan(job.out, { plan: { ...plan, rates: takeBasis(plan.rates, basis) }, inputs });
    else await writeWhole(job.out, encodeUtf8(basisText(basis)));
  } catch (error) {
    return failedReport(job, [...problems, diskTrouble('disk-write', 'Nothing can be written', job.out, error)]);
  }
  const report: BasisReport = {
    kind: 'basis',
    plan: job.plan,
    basis: basis.name,
    changed: wanted ? awayFrom(plan.rates, basis) : [],
    out: job.out,
    ok: true,
    problems,
  };
  return report;
}

/** One of the bases that come with the app by its name, else a file. */
async function basisNamed(take: string): Promise<Result<Basis>> {
  const own = BASES.find(({ name }) => name.toLowerCase() === take.toLowerCase());
  if (own) return ok(own);
  try {
    return readBasis(decodeText(await readFile(take)), basename(take));
  } catch (error) {
    return { ok: false, problems: [diskTrouble('disk-read', 'The basis cannot be read', take, error)] };
  }
}
