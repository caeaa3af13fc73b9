import { readdir, readFile, stat } from 'node:fs/promises';
import { basename, dirname, extname, join } from 'node:path';
import { fail, ok, type Problem, type Result, stop } from '../../core/base/problem.ts';
import { encodeUtf8 } from '../../core/base/text.ts';
import type { NamedBytes } from '../../core/formats/types.ts';
import { planText } from '../../core/plan/open.ts';
import { type OpenedPlan, PLAN_FILE, packPlan } from '../../core/plan/pack.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { startPlan } from '../../core/plan/start.ts';
import { headerKey } from '../../core/soil/mapping-memory.ts';
import { homeFolder } from '../services/home.ts';
import { createMappings, type MappingStore } from '../services/mappings.ts';
import { PACKED_ENDING } from '../services/plan-folder.ts';
import { diskTrouble } from '../services/trouble.ts';
import { commitFiles, exists, makeFolder, writeWhole } from '../services/whole.ts';
import { failedReport, type Job, type Report, type StartJob } from './reports.ts';

/** Makes a plan from raw files and writes it as a folder, or packed into one file. */
export async function startJob(job: Job & { kind: 'start-plan' }): Promise<Report> {
  const taken = await takenPlace(job.out);
  if (taken) return failedReport(job, [taken]);
  const read = await readAll(job);
  if (!read.ok) return failedReport(job, read.problems);
  const { crop, yieldGoal, governs, crs, columns, depth_in, extractant, soil } = job;
  const memory = createMappings(homeFolder(process.env));
  const started = startPlan({
    name: job.name,
    ...read.value,
    ...(crop === undefined ? {} : { crop }),
    ...(yieldGoal === undefined ? {} : { yieldGoal }),
    ...(governs === undefined ? {} : { governs }),
    ...(crs === undefined ? {} : { crs }),
    ...(columns === undefined ? {} : { columns }),
    ...(depth_in === undefined ? {} : { depth_in }),
    ...(extractant === undefined ? {} : { extractant }),
    ...(soil === undefined ? {} : { soil }),
    remembered: job.forget ? [] : await memory.list(),
  });
  if (!started.ok) return failedReport(job, started.problems);
  const { plan, inputs, guesses } = started.value;
  const kept = await keepInMind(job, plan, memory);
  if (kept) return failedReport(job, [...started.problems, kept]);
  try {
    await writePlan(job.out, { plan, inputs });
  } catch (error) {
    return failedReport(job, [
      ...started.problems,
      diskTrouble('disk-write', 'The plan cannot be written', job.out, error),
    ]);
  }
  return { kind: 'start-plan', name: job.name, out: job.out, guesses, ok: true, problems: started.problems };
}

/** Does to the memory of columns what the options say; answers what went wrong. */
async function keepInMind(job: StartJob, { soil }: Plan, memory: MappingStore): Promise<Problem | null> {
  if (!job.remember && !job.forget) return null;
  for (const [role, columns] of [
    ['samples', soil.sampleColumns],
    ['points', soil.pointColumns],
  ] as const) {
    if (columns.length === 0) continue;
    const key = headerKey(columns.map(({ column }) => column));
    const saved = await memory.save(key, job.remember ? columns : null, { role });
    if (!saved.ok) return saved.problem;
  }
  return null;
}

const isPacked = (path: string): boolean => extname(path).toLowerCase() === PACKED_ENDING;

/** A plan is never written over something: there is no way back from it. */
export async function takenPlace(out: string): Promise<Problem | null> {
  if (!(await exists(out))) return null;
  const entries = await readdir(out).catch(() => [basename(out)]);
  if (!isPacked(out) && entries.length === 0) return null;
  return stop(
    'start-out-taken',
    'There is something at the place of the new plan already.',
    'Name a new folder or file.',
    {
      file: out,
    },
  );
}

/** Writes a plan as a folder, or packed into one file. Throws what the disk says. */
export async function writePlan(out: string, { plan, inputs }: OpenedPlan): Promise<void> {
  if (isPacked(out)) {
    await makeFolder(dirname(out));
    return await writeWhole(out, packPlan(plan, inputs));
  }
  await commitFiles(out, [
    ...[...inputs].map(([path, bytes]) => ({ path, bytes })),
    { path: PLAN_FILE, bytes: encodeUtf8(planText(plan)) },
  ]);
}

type Gathered = Readonly<Record<'boundary' | 'keepOut' | 'points' | 'samples', readonly NamedBytes[]>>;

async function readAll(job: Job & { kind: 'start-plan' }): Promise<Result<Gathered>> {
  const problems: Problem[] = [];
  const all = async (paths: readonly string[]): Promise<NamedBytes[]> => {
    const files: NamedBytes[] = [];
    for (const path of paths) {
      const found = await gather(path);
      if (found.ok) files.push(...found.value);
      else problems.push(...found.problems);
    }
    return files;
  };
  const gathered: Gathered = {
    boundary: await all(job.boundary),
    keepOut: await all(job.keepOut),
    points: await all(job.points),
    samples: await all(job.samples),
  };
  return problems.length > 0 ? fail(...problems) : ok(gathered);
}

/** Endings of the parts that make up one shapefile. */
const PARTS = new Set(['.shp', '.shx', '.dbf', '.prj', '.cpg']);

/** One file; a .shp brings the parts of its name that lie beside it. */
async function gather(path: string): Promise<Result<readonly NamedBytes[]>> {
  try {
    if ((await stat(path)).isDirectory()) {
      const remedy = 'Name a file: .zip, .shp, .geojson, .csv or .xlsx.';
      return fail(stop('start-folder', 'A folder is no input.', remedy, { file: path }));
    }
    const folder = dirname(path);
    const names =
      extname(path).toLowerCase() === '.shp' ? partsOf(basename(path), await readdir(folder)) : [basename(path)];
    const files: NamedBytes[] = [];
    for (const name of names) files.push({ name, bytes: new Uint8Array(await readFile(join(folder, name))) });
    return ok(files);
  } catch (error) {
    return fail(diskTrouble('disk-read', 'The file cannot be read', path, error));
  }
}

function partsOf(shp: string, beside: readonly string[]): readonly string[] {
  const base = shp.slice(0, -extname(shp).length).toLowerCase();
  const parts = beside.filter((name) => {
    const ending = extname(name);
    return name !== shp && PARTS.has(ending.toLowerCase()) && name.slice(0, -ending.length).toLowerCase() === base;
  });
  return [shp, ...parts.sort()];
}
