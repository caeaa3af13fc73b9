import { parentPort } from 'node:worker_threads';
import type { RunHooks } from '../../core/base/hooks.ts';
import type { Stage } from '../../core/base/problem.ts';
import { basisJob } from './basis-job.ts';
import { buildJob } from './build-job.ts';
import { checkJob } from './check-job.ts';
import { proveJob } from './prove-job.ts';
import type { Job, Report } from './reports.ts';
import { startJob } from './start-job.ts';

/** From the worker: how far it is, its answer, or what went wrong in the program itself. */
export type WorkerWord =
  | { readonly says: 'progress'; readonly stage: Stage; readonly done: number; readonly total: number }
  | { readonly says: 'report'; readonly report: Report }
  | { readonly says: 'fault'; readonly why: string };

const run = (job: Job, hooks: RunHooks): Promise<Report> => {
  switch (job.kind) {
    case 'build':
      return buildJob(job, hooks);
    case 'check':
      return checkJob(job, hooks);
    case 'prove':
      return proveJob(job);
    case 'start-plan':
      return startJob(job);
    case 'basis':
      return basisJob(job);
  }
};

const port = parentPort;
if (port === null) throw new Error('this file runs as a worker');
const say = (word: WorkerWord): void => port.postMessage(word);

port.on('message', (job: Job) => {
  const hooks: RunHooks = { progress: (stage, done, total) => say({ says: 'progress', stage, done, total }) };
  run(job, hooks).then(
    (report) => say({ says: 'report', report }),
    (error: unknown) =>
      say({ says: 'fault', why: error instanceof Error ? (error.stack ?? error.message) : String(error) }),
  );
});
