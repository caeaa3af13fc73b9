/**
 * `npm run bench [-- S M L Y nearest all others trace sieve edits memory --json]` (fields and tasks; all where none is named): our time, each reference's and the ratio, on the same seeded data in one run. One thread each, in milliseconds of processor; warm
 * is the median of interleaved rounds of repeated calls, cold the first call in a fresh process; beside each stands how far its numbers are off. A reference that is
 * not installed is named. Nothing gates but our own correctness.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { buildSync } from 'esbuild';
import { coldTimeOf, Helper, HOW_TO_HAVE, PROGRAM_OF, type Request, type ToolName, timeOf } from './outside.ts';
import { type Entry, median, printMemory, printTable, printTargets, type Table, targetsOf } from './report.ts';
import { type Reference, TARGETS, TASKS, type TaskName, WAYS } from './tasks.ts';
import { makeWorkload, NEAREST, processor_ms, WORKLOAD_NAMES, type Workload } from './workloads.ts';
import { EDITS, editFault, editOf, LEAST_CELLS, makeLabels, sieve, sieveFault, trace, traceFault } from './zones.ts';

/** Rounds of all ways in turn; in each a way is repeated, as often as fits into the time, and its median counts. */
const ROUNDS = 3;
const REPEATS = 9;
const BUDGET_MS = 800;
/** A first run longer than this differs too little from a cold one to be made twice. */
const SLOW_MS = 2500;
/** Cells of a field with too many samples that are compared with the textbook. */
const SPOT_CHECKS = 300;

const asked = process.argv.slice(2).filter((word) => !word.startsWith('-'));
const unless = <T extends string>(names: readonly T[]): readonly T[] => {
  const some = names.filter((name) => asked.includes(name));
  return some.length > 0 ? some : names;
};
const wanted = unless(WORKLOAD_NAMES);
const tasks = unless(['nearest', 'all', 'others', 'trace', 'sieve', 'edits', 'memory']);
const asJson = process.argv.includes('--json');
const folder = mkdtempSync(join(tmpdir(), 'bench-'));
const helpers = { python: new Helper('python'), R: new Helper('R') };
const tools: Partial<Record<ToolName, string>> = {};
const tables: Table[] = [];

/** Something that is timed: its milliseconds and numbers, or why there are none. */
interface Runner {
  readonly entry: Entry;
  readonly run: () => Promise<{ readonly ms: number; readonly fault: number } | string>;
  readonly cold: () => Promise<number>;
}

async function main(): Promise<void> {
  for (const helper of Object.values(helpers)) Object.assign(tools, await helper.ask({ task: 'tools' }));
  buildSync({
    entryPoints: ['cold', 'memory'].map((name) => new URL(`${name}.ts`, import.meta.url).pathname),
    bundle: true,
    platform: 'node',
    format: 'esm',
    outdir: folder,
    outExtension: { '.js': '.mjs' },
    logLevel: 'error',
  });
  say(`node ${process.version}, ${cpus()[0]?.model.trim() ?? 'unknown processor'}; ${Object.values(tools).join('; ')}`);
  for (const tool of Object.keys(HOW_TO_HAVE) as ToolName[]) // its keys are those names
    if (!tools[tool]) say(`MISSING: ${tool}, no comparison with it; to have it: ${HOW_TO_HAVE[tool]}`);
  for (const name of wanted) {
    const work = makeWorkload(name);
    for (const column of ['x', 'y', 'z'] as const) writeFileSync(join(folder, column), work[column]);
    for (const { task, title, not, ways } of TASKS) {
      if (!tasks.includes(task)) continue;
      if (not.includes(name)) {
        say(`\n${name}: ${title}: not run, too many pairs.`);
        continue;
      }
      const truth = truthOf(task, work);
      await time(
        name,
        task,
        title,
        work,
        ways.map((way) => runnerOf(task, work, way, truth)),
      );
    }
    if (name === 'M') await zones(work);
  }
  const memory =
    wanted.includes('L') && tasks.includes('memory')
      ? (JSON.parse(node(['--expose-gc', join(folder, 'memory.mjs')])) as Readonly<Record<string, number>>) // of our own script
      : null;
  const targets = targetsOf(tables, TARGETS, memory);
  if (asJson)
    console.log(JSON.stringify({ node: process.version, cpu: cpus()[0]?.model, tools, tables, memory, targets }));
  else {
    if (memory) printMemory(memory);
    printTargets(targets);
  }
  if (tables.some(({ entries }) => entries.some(({ ours, off, limit }) => ours && !(off <= limit)))) {
    console.error('A result of ours is not that of the textbook.');
    process.exitCode = 1;
  }
}

const say = (line: string): void => {
  if (!asJson) console.log(line);
};
const node = (args: readonly string[]): string => execFileSync(process.execPath, args, { encoding: 'utf8' });

function entryOf(name: string, limit: number, ours: boolean): Entry {
  return { name, ours, limit, times: [], cold_ms: Number.NaN, off: 0, why: '' };
}

function runnerOf(task: TaskName, work: Workload, way: Reference, truth: Truth): Runner {
  const entry = entryOf(way.name, way.limit, way.name.startsWith('ours'));
  if (way.not?.includes(work.name))
    return { entry, run: async () => 'not run, for its time', cold: async () => Number.NaN };
  const { tool, request } = way;
  if (tool && request) {
    const program = PROGRAM_OF[tool];
    const out = join(folder, 'out');
    const places = { x: join(folder, 'x'), y: join(folder, 'y'), z: join(folder, 'z'), out };
    const whole: Request = {
      task,
      tool,
      ...places,
      cell_m: work.cell_m,
      cols: work.cols,
      rows: work.cols,
      ...request(work),
    };
    return {
      entry,
      async run() {
        if (!tools[tool]) return 'missing';
        const ms = await timeOf(helpers[program], whole);
        return typeof ms === 'string' ? ms : { ms, fault: truth(doubles(out)) };
      },
      cold: () => coldTimeOf(program, whole),
    };
  }
  const name = way.way ?? 'oursNearest';
  return { entry, ...inNode(name, work.name, () => WAYS[name](work), truth) };
}

function inNode<T>(name: string, field: string, run: () => T, faultOf: (made: T) => number): Omit<Runner, 'entry'> {
  return {
    async run() {
      const start = processor_ms();
      const made = run();
      const ms = processor_ms() - start;
      return { ms, fault: faultOf(made) };
    },
    cold: async () => Number(node([join(folder, 'cold.mjs'), name, field])),
  };
}

async function time(
  field: string,
  task: string,
  title: string,
  work: Workload,
  runners: readonly Runner[],
): Promise<void> {
  for (const { entry, run, cold } of runners) {
    const first = await run();
    if (typeof first === 'string') entry.why = first;
    else {
      entry.off = first.fault;
      if (first.ms > SLOW_MS) entry.times.push(first.ms);
      else entry.cold_ms = await cold();
    }
  }
  for (let round = 0; round < ROUNDS; round++)
    for (const { entry, run } of runners) {
      if (entry.why !== '' || (entry.times[0] ?? 0) > SLOW_MS) continue;
      const again: number[] = [];
      for (let spent = 0; again.length < REPEATS && spent < BUDGET_MS; ) {
        const made = await run();
        if (typeof made === 'string') throw new Error(`${entry.name}: ${made}`);
        again.push(made.ms);
        spent += made.ms;
        entry.off = Math.max(entry.off, made.fault);
      }
      entry.times.push(median(again));
    }
  const table: Table = { field, what: work.what, task, title, entries: runners.map(({ entry }) => entry) };
  tables.push(table);
  if (!asJson) printTable(table);
}

/** Tracing and sieving of five classes; GDAL's sieve is one pass with another rule of merging, so its zones are not ours. */
async function zones(work: Workload): Promise<void> {
  const labels = makeLabels(work);
  const { cols, cell_m } = work;
  const least_m2 = LEAST_CELLS * cell_m * cell_m;
  const file = join(folder, 'labels');
  const out = join(folder, 'out');
  writeFileSync(file, Int32Array.from(labels.labels));
  const gdal = (task: string, limit: number, name: string): Runner => {
    const request: Request = { task, tool: 'gdal', labels: file, cols, rows: cols, least_cells: LEAST_CELLS, out };
    return {
      entry: entryOf(name, limit, false),
      async run() {
        if (!tools.gdal) return 'missing';
        const ms = await timeOf(helpers.python, request);
        if (typeof ms === 'string') return ms;
        return { ms, fault: task === 'sieve' ? sieveFault(labels, doubles(out), LEAST_CELLS) : 0 };
      },
      cold: () => coldTimeOf('python', request),
    };
  };
  const traced = inNode(
    'trace',
    'M',
    () => trace(labels),
    (arcs) => traceFault(labels, arcs),
  );
  if (tasks.includes('trace'))
    await time('M', 'trace', 'lines between five classes', work, [
      { entry: entryOf('ours', 0, true), ...traced },
      gdal('trace', 0, 'gdal Polygonize'),
    ]);
  const sieved = inNode(
    'sieve',
    'M',
    () => sieve(labels, least_m2),
    (made) => sieveFault(labels, made, LEAST_CELLS),
  );
  if (tasks.includes('sieve'))
    await time('M', 'sieve', 'sieve, half an acre', work, [
      { entry: entryOf('ours', 0, true), ...sieved },
      gdal('sieve', Number.POSITIVE_INFINITY, 'gdal SieveFilter (one pass)'),
    ]);
  if (tasks.includes('edits'))
    for (const does of EDITS)
      await time('M', does, `one ${does} by hand, of 50 ms`, work, [
        {
          entry: entryOf('ours', 0, true),
          ...inNode(
            does,
            'M',
            () => editOf(does, cell_m)(labels),
            (made) => editFault(labels, made),
          ),
        },
      ]);
}

/** Largest relative difference from the truth; NaN counts as infinitely far. */
type Truth = (made: Float64Array) => number;

function truthOf(task: TaskName, work: Workload): Truth {
  if (task === 'others') return against(WAYS.plainOthers(work));
  if (work.name === 'Y') return spotChecks(work);
  return against(WAYS[task === 'nearest' ? 'plainNearest' : 'plainAll'](work));
}

function against(want: Float64Array): Truth {
  return (made) => {
    let most = made.length === want.length ? 0 : Number.POSITIVE_INFINITY;
    for (let i = 0; i < want.length; i++) most = Math.max(most, differenceOf(made[i], want[i]));
    return most;
  };
}

function spotChecks({ x, y, z, cell_m, cols }: Workload): Truth {
  const cells = Array.from({ length: SPOT_CHECKS }, (_none, n) => Math.floor(((n + 0.5) / SPOT_CHECKS) * cols * cols));
  const wants = cells.map((cell) => {
    const px = ((cell % cols) + 0.5) * cell_m;
    const py = (Math.floor(cell / cols) + 0.5) * cell_m;
    const near = Array.from(x, (sx, i) => ({ d2: (sx - px) ** 2 + ((y[i] ?? 0) - py) ** 2, z: z[i] ?? 0 }))
      .sort((a, b) => a.d2 - b.d2)
      .slice(0, NEAREST);
    const total = near.reduce((sum, { d2 }) => sum + 1 / d2, 0);
    return near.reduce((sum, one) => sum + one.z / one.d2, 0) / total;
  });
  return (made) => Math.max(...cells.map((cell, n) => differenceOf(made[cell], wants[n])));
}

function differenceOf(made = Number.NaN, want = Number.NaN): number {
  const off = Math.abs(made / want - 1);
  return Number.isNaN(off) ? Number.POSITIVE_INFINITY : off;
}

function doubles(path: string): Float64Array {
  const bytes = readFileSync(path);
  return new Float64Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
}

try {
  await main();
} finally {
  for (const helper of Object.values(helpers)) helper.end();
  rmSync(folder, { recursive: true, force: true });
}
