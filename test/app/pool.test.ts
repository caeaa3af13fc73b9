import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { describe, expect, it } from 'vitest';
import { runJobs } from '../../app/cli/pool.ts';
import type { Job } from '../../app/cli/reports.ts';
import { tempFolder } from './helpers.ts';

/** A worker that does by the name of its plan what a damaged file can make a reader do. */
const WORKER = `
import { parentPort, threadId } from 'node:worker_threads';
parentPort.on('message', async ({ plan }) => {
  const say = (word) => parentPort.postMessage(word);
  const progress = () => say({ says: 'progress', stage: 'soil', done: 1, total: 2 });
  if (plan === 'for ever') for (;;);
  if (plan === 'for ever after a sign') { progress(); for (;;); }
  if (plan === 'throws') throw new Error('thrown outside');
  if (plan === 'faults') return say({ says: 'fault', why: 'a mistake' });
  if (plan === 'ends') process.exit(3);
  if (plan === 'slow') for (let i = 0; i < 5; i++) { await new Promise((go) => setTimeout(go, 400)); progress(); }
  say({ says: 'report', report: { kind: 'check', plan, name: String(threadId), ok: true, problems: [], field: null, soil: null } });
});
`;

async function run(plans: readonly string[], workers = 2) {
  const file = join(await tempFolder(), 'worker.mjs');
  await writeFile(file, WORKER);
  const jobs = plans.map((plan): Job => ({ kind: 'check', plan }));
  return await runJobs(jobs, { worker: pathToFileURL(file), workers, still_ms: 1500 });
}

describe('work in threads', () => {
  it('answers in the order of the jobs, with no more threads than allowed', async () => {
    const reports = await run(['a', 'b', 'c', 'd', 'e']);
    expect(reports.map((report) => (report.kind === 'check' ? report.plan : ''))).toEqual(['a', 'b', 'c', 'd', 'e']);
    expect(new Set(reports.map((report) => (report.kind === 'check' ? report.name : ''))).size).toBeLessThanOrEqual(2);
  });

  it.each([
    ['for ever', 'work-too-long'],
    ['for ever after a sign', 'work-too-long'],
    ['throws', 'work-fault'],
    ['faults', 'work-fault'],
    ['ends', 'work-fault'],
  ])('a job that goes %s becomes a Problem, and the next one is done', async (plan, code) => {
    const [bad, good] = await run([plan, 'fine'], 1);
    expect(bad).toMatchObject({ ok: false, problems: [{ code, severity: 'stop', at: { file: plan } }] });
    expect(good).toMatchObject({ ok: true, plan: 'fine' });
  });

  it('a slow job that gives signs is left to end', async () => {
    const [slow] = await run(['slow']);
    expect(slow).toMatchObject({ ok: true });
  });
});
