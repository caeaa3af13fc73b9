import { proveFiles } from '../../core/handoff/prove.ts';
import { readExportsAt } from '../services/exports.ts';
import { failedReport, type Job, type Report } from './reports.ts';

/** Reads an export folder as it is on disk and compares it with the plan's figures in its manifest. Not in order where files lie there that a controller may load and the plan did not write. */
export async function proveJob(job: Job & { kind: 'prove' }): Promise<Report> {
  const found = await readExportsAt(job.folder);
  if (!found.ok) return failedReport(job, [found.problem]);
  const proof = proveFiles(found.value.files);
  return { kind: 'prove', folder: job.folder, proof, ok: proof.proved && proof.strays === 0, problems: proof.problems };
}
