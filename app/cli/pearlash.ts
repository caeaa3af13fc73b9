#!/usr/bin/env node
import { fileURLToPath } from 'node:url';
import { packageRoot, packageVersion } from '../package-root.ts';
import { readArguments } from './arguments.ts';
import { clockText } from './clock.ts';
import { plainJson, plainText } from './plain.ts';
import { placeOf, runJobs } from './pool.ts';
import { problemLines, reportLines } from './print.ts';
import type { Job } from './reports.ts';

/** Exit codes: 0 done, 1 the input has problems, 2 wrong usage. */
async function main(args: readonly string[]): Promise<number> {
  const asked = readArguments(args);
  switch (asked.asks) {
    case 'text':
      process.stdout.write(asked.text);
      return 0;
    case 'version':
      process.stdout.write(`${packageVersion(packageRoot(fileURLToPath(new URL('.', import.meta.url))))}\n`);
      return 0;
    case 'wrong':
      process.stderr.write(plainText(asked.usage === '' ? `${asked.why}\n` : `${asked.why}\n\n${asked.usage}`));
      return 2;
  }
  const { json, command } = asked;
  // One command, one time: pages of one season made together say the same.
  const when = clockText(new Date());
  const jobs = asked.jobs.map((job): Job => (job.kind === 'build' ? { ...job, when } : job));
  const reports = await runJobs(jobs, {
    worker: new URL('./worker.js', import.meta.url),
    workers: asked.workers,
    still_ms: asked.still_ms,
    ...(process.stderr.isTTY ? { onProgress: showProgress } : {}),
  });
  if (process.stderr.isTTY) process.stderr.write('\r\u001b[K');
  const ok = reports.every((report) => report.ok);
  for (const [index, report] of reports.entries()) {
    const job = jobs[index];
    if (job)
      for (const line of problemLines(report, job, jobs.length > 1)) process.stderr.write(`${plainText(line)}\n`);
    if (!json) process.stdout.write(`${plainText(reportLines(report).join('\n'))}\n`);
  }
  if (json) process.stdout.write(`${plainJson({ command, ok, results: reports })}\n`);
  return ok ? 0 : 1;
}

function showProgress(job: Job, stage: string, done: number, total: number): void {
  process.stderr.write(
    `\r\u001b[K${plainText(placeOf(job))}: ${stage} ${Math.floor((100 * done) / Math.max(1, total))} %`,
  );
}

// Whoever reads the output may stop early, as `head` does: that is no failure.
process.stdout.on('error', () => process.exit());

// The exit code is left for the end of the event loop, so that a pipe still gets all of the output.
process.exitCode = await main(process.argv.slice(2));
