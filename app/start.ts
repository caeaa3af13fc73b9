import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { problemLine } from '../core/base/problem.ts';
import { runJobs } from './cli/pool.ts';
import { briefLines, problemLines } from './cli/print.ts';
import { electronPackage, getRuntime } from './desktop-runtime.ts';
import { findProgram, type Program } from './program.ts';
import { EXPORT_FOLDER } from './services/exports.ts';
import { createPlanStore, type PlanStore } from './services/plan-store.ts';
import { listSampleFields, SAMPLE } from './services/sample-fields.ts';
import { hasWindow } from './services/window-files.ts';
import { runBrowserHost } from './web/run.ts';

const USAGE = `npm start                 does the main job on the sample field, then opens the window on its plan
npm start -- --once       ends after the main job
npm start -- --browser    opens the window in the browser without trying the desktop
`;
const STILL_MS = 120_000;
const DOWNLOAD_STILL_MS = 15_000;
/** A desktop that ends sooner than this did not come up: a library it needs is missing, or there is no screen. */
const CAME_UP_MS = 5_000;

async function main(args: readonly string[]): Promise<number> {
  const values = readOptions(args);
  if (values === null || values.help) {
    (values === null ? process.stderr : process.stdout).write(USAGE);
    return values === null ? 2 : 0;
  }
  const program = findProgram(import.meta.url);
  const store = createPlanStore({ home: program.home, sampleFields: program.sampleFields });
  const sample = await openSample(program, store);
  if (sample === null) return 1;
  const done = await doMainJob(sample.folder);
  if (values.once) return done ? 0 : 1;
  await openWindow(program, store, sample, values.browser === true);
  return 0;
}

/** Null for wrong usage. */
function readOptions(args: readonly string[]) {
  const flag = { type: 'boolean' } as const;
  try {
    return parseArgs({ args: [...args], options: { once: flag, browser: flag, help: flag } }).values;
  } catch {
    return null;
  }
}

interface Sample {
  readonly planId: string;
  readonly folder: string;
}

async function openSample(program: Program, store: PlanStore): Promise<Sample | null> {
  const [field] = await listSampleFields(program.sampleFields);
  const opened = await store.open(SAMPLE + (field?.field ?? ''));
  if (opened.ok) return opened.value;
  console.error(problemLine(opened.problem));
  return null;
}

async function doMainJob(plan: string): Promise<boolean> {
  const job = { kind: 'build', plan, out: join(plan, EXPORT_FOLDER) } as const;
  console.log(`Planning the sample field in ${plan}`);
  const [report] = await runJobs([job], {
    worker: new URL('./cli/worker.js', import.meta.url),
    workers: 1,
    still_ms: STILL_MS,
  });
  if (report?.kind !== 'build') return false;
  if (!report.ok) for (const line of problemLines(report, job, false)) console.error(line);
  console.log(briefLines(report).join('\n'));
  return report.ok;
}

async function openWindow(program: Program, store: PlanStore, sample: Sample, browserOnly: boolean): Promise<void> {
  if (!(await hasWindow(program.window))) {
    console.error('The window is not built: run npm run build.');
    process.exitCode = 1;
    return;
  }
  const why = browserOnly ? 'as asked' : await tryDesktop(program, sample.folder);
  if (why === null) return;
  const served = await runBrowserHost(program, store, sample.planId);
  console.log(`The window is in your browser (${why}): ${served.address}`);
}

/** Null when the desktop window was shown and closed again; else why there was none. */
async function tryDesktop(program: Program, plan: string): Promise<string | null> {
  const onLinux = process.platform === 'linux';
  if (onLinux && !process.env.DISPLAY && !process.env.WAYLAND_DISPLAY) return 'there is no display here';
  console.log('Looking for the desktop runtime (Electron); where it is missing, one attempt is made to fetch it.');
  let told_MB = 0;
  const runtime = await getRuntime({
    package: electronPackage(import.meta.url),
    still_ms: DOWNLOAD_STILL_MS,
    onProgress: (received_MB) => {
      if (received_MB < told_MB + 10) return;
      told_MB = received_MB;
      console.log(`  ${received_MB.toFixed(0)} MB received`);
    },
  });
  if (!runtime.ok) return `no desktop window: ${runtime.why}`;
  console.log('The window opens on the desktop.');
  // Chromium's sandbox refuses to run for root; every other account keeps it.
  const rootFlags = onLinux && process.getuid?.() === 0 ? ['--no-sandbox'] : [];
  const started_ms = performance.now();
  const code = await new Promise<number | null>((resolve) => {
    const desktop = spawn(runtime.executable, [...rootFlags, program.root, plan], { stdio: 'ignore' });
    desktop.once('error', () => resolve(null));
    desktop.once('close', resolve);
  });
  const cameUp = code === 0 || performance.now() - started_ms > CAME_UP_MS;
  return cameUp ? null : `no desktop window: it ended at once with code ${code}`;
}

process.exitCode = await main(process.argv.slice(2));
