import { resolve } from 'node:path';
import { problemLine } from '../../core/base/problem.ts';
import { findProgram } from '../program.ts';
import { createPlanStore } from '../services/plan-store.ts';
import { runBrowserHost } from './run.ts';

/** The browser host alone: `node dist/web/main.js [plan]`. Prints its address and runs until it is ended. */
async function main(path: string | undefined): Promise<void> {
  const program = findProgram(import.meta.url);
  const store = createPlanStore({ home: program.home, sampleFields: program.sampleFields });
  const taken = path === undefined ? null : await store.adopt(resolve(path));
  if (taken && !taken.ok) {
    console.error(problemLine(taken.problem));
    process.exitCode = 1;
    return;
  }
  const served = await runBrowserHost(program, store, taken?.value.planId ?? null);
  console.log(served.address);
}

await main(process.argv[2]);
