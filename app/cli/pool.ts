import { Worker } from 'node:worker_threads';
import { type Problem, type Stage, stop } from '../../core/base/problem.ts';
import { failedReport, type Job, type Report } from './reports.ts';
import type { WorkerWord } from './worker.ts';

export interface PoolOptions {
  /** The built worker. */
  readonly worker: URL;
  /** Most at once. */
  readonly workers: number;
  /** A worker that gives no sign for so long is ended: a file can make a reader run for ever. */
  readonly still_ms: number;
  readonly onProgress?: (job: Job, stage: Stage, done: number, total: number) => void;
}

/** Does every job, several at once, and answers their reports in the jobs' order. Ends all workers that it started. */
export async function runJobs(jobs: readonly Job[], options: PoolOptions): Promise<readonly Report[]> {
  const reports: Report[] = [];
  const waiting = [...jobs.entries()];
  const lane = async (): Promise<void> => {
    let worker: Worker | null = null;
    for (let next = waiting.shift(); next !== undefined; next = waiting.shift()) {
      const [index, job] = next;
      worker ??= new Worker(options.worker);
      const end = await runOne(worker, job, options);
      reports[index] = end.report;
      if (end.spent) {
        await worker.terminate();
        worker = null;
      }
    }
    await worker?.terminate();
  };
  const lanes = Math.max(1, Math.min(options.workers, jobs.length));
  await Promise.all(Array.from({ length: lanes }, lane));
  return reports;
}

interface End {
  readonly report: Report;
  /** True where the worker cannot take another job. */
  readonly spent: boolean;
}

function runOne(worker: Worker, job: Job, { still_ms, onProgress }: PoolOptions): Promise<End> {
  return new Promise((resolve) => {
    const finish = (end: End): void => {
      clearTimeout(timer);
      // One by one: the worker has listeners of its own, without which it hears nothing any more.
      worker.off('message', onWord).off('error', onError).off('exit', onExit);
      // A worker that is being ended may still fail: nobody waits for it any more.
      if (end.spent) worker.on('error', () => undefined);
      resolve(end);
    };
    const lost = (problem: Problem): void => finish({ report: failedReport(job, [problem]), spent: true });
    const timer = setTimeout(() => lost(tooLong(job, still_ms)), still_ms);
    const onWord = (word: WorkerWord): void => {
      if (word.says === 'report') finish({ report: word.report, spent: false });
      else if (word.says === 'fault') lost(fault(job, word.why));
      else {
        timer.refresh();
        onProgress?.(job, word.stage, word.done, word.total);
      }
    };
    const onError = (error: Error): void => lost(isOutOfMemory(error) ? tooLarge(job) : fault(job, String(error)));
    const onExit = (): void => lost(fault(job, 'the worker ended'));
    worker.on('message', onWord).on('error', onError).on('exit', onExit);
    worker.postMessage(job);
  });
}

const isOutOfMemory = (error: Error): boolean => 'code' in error && error.code === 'ERR_WORKER_OUT_OF_MEMORY';

/** What a person would look at for a job. */
export const placeOf = (job: Job): string => {
  if (job.kind === 'prove') return job.folder;
  return job.kind === 'start-plan' ? job.name : job.plan;
};

const tooLong = (job: Job, still_ms: number): Problem =>
  stop(
    'work-too-long',
    `Reading or working out took longer than ${still_ms / 1000} s without a sign of life, and was ended.`,
    'One of the files may be damaged: leave them out one by one, or allow more time with --time-limit.',
    { file: placeOf(job) },
  );

const tooLarge = (job: Job): Problem =>
  stop('work-out-of-memory', 'The inputs need more memory than there is.', 'Use larger cells, or smaller files.', {
    file: placeOf(job),
  });

const fault = (job: Job, why: string): Problem =>
  stop(
    'work-fault',
    'The program ran into a mistake of its own.',
    'Check the plan and its files; report it with the detail if they are in order.',
    { file: placeOf(job) },
    why,
  );
