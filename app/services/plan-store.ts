import { mkdir, readdir, readFile, rm, stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { type Problem, stop } from '../../core/base/problem.ts';
import type { HostReply, NamedInput, PlanEntry } from '../../core/bridge/host-api.ts';
import { readPlan } from '../../core/plan/open.ts';
import { type OpenedPlan, PLAN_FILE } from '../../core/plan/pack.ts';
import { filesToSave } from './files-to-save.ts';
import { createTurns } from './in-turn.ts';
import { folderName, innerFile, pathFault } from './inner-path.ts';
import { createMappings, type MappingStore } from './mappings.ts';
import { readPlanFolder } from './plan-folder.ts';
import { createMemory } from './recent.ts';
import { listSampleFields, SAMPLE } from './sample-fields.ts';
import { createTakingIn } from './taking-in.ts';
import { diskTrouble, firstOf, reply } from './trouble.ts';
import { commitFiles, exists } from './whole.ts';

export interface OpenFolder {
  readonly planId: string;
  readonly folder: string;
  readonly opened: OpenedPlan;
}

export interface SavedFolder {
  readonly planId: string;
  readonly folder: string;
}

/**
 * Plans by an id that only this store can turn into a folder: the folder's name in the plans folder, `@...` for a folder
 * elsewhere that a person opened, `sample@...` for a sample field not copied yet.
 */
export interface PlanStore {
  readonly plansFolder: string;
  list(): Promise<readonly PlanEntry[]>;
  folderOf(planId: string): Promise<HostReply<string>>;
  open(planId: string): Promise<HostReply<OpenFolder>>;
  save(planId: string | null, plan: string, inputs: readonly NamedInput[]): Promise<HostReply<SavedFolder>>;
  /** Takes in what a person named: a plan's folder, its plan.json, or a packed file, which is unpacked as a new plan. */
  adopt(path: string): Promise<HostReply<SavedFolder>>;
  /** What persons said of the columns of files. */
  readonly mappings: MappingStore;
}

export interface StorePlaces {
  /** Where the program keeps its own: plans below `plans`, its memory beside them. */
  readonly home: string;
  /** The sample fields that came with the program. */
  readonly sampleFields: string | null;
}

export function createPlanStore(places: StorePlaces): PlanStore {
  const plansFolder = join(places.home, 'plans');
  const memory = createMemory(places.home);
  const inTurn = createTurns();

  const list = async (): Promise<readonly PlanEntry[]> => {
    const names = await readdir(plansFolder).catch(noFolder);
    const known = await memory.read();
    const samples = await listSampleFields(places.sampleFields);
    const entries = await Promise.all([
      ...names.map((name) => (pathFault(name) === null ? entryOf(name, join(plansFolder, name)) : null)),
      ...known.outside.map(({ planId, folder }) => entryOf(planId, folder)),
      ...samples
        .filter(({ field }) => !names.includes(known.samples[field]?.planId ?? ''))
        .map(({ field, folder }) => entryOf(SAMPLE + field, folder)),
    ]);
    const plans = entries.filter((entry) => entry !== null);
    return plans.sort((a, b) => (a.savedAt === b.savedAt ? 0 : a.savedAt < b.savedAt ? 1 : -1));
  };

  const folderOf = async (planId: string): Promise<HostReply<string>> => {
    const outside = (await memory.read()).outside.find((entry) => entry.planId === planId);
    if (outside) return reply.done(outside.folder);
    const plain = pathFault(planId) === null && !planId.includes('/');
    const folder = join(plansFolder, planId);
    return plain && (await exists(folder)) ? reply.done(folder) : reply.refused(unknownPlan(planId));
  };

  const open = async (planId: string): Promise<HostReply<OpenFolder>> => {
    if (planId.startsWith(SAMPLE)) {
      const copy = await takingIn.copySample(planId.slice(SAMPLE.length));
      return copy.ok ? await open(copy.value.planId) : copy;
    }
    const folder = await folderOf(planId);
    if (!folder.ok) return folder;
    const opened = await readPlanFolder(folder.value);
    if (!opened.ok) return reply.refused(firstOf(opened.problems));
    return reply.done({ planId, folder: folder.value, opened: opened.value });
  };

  const saveNow: PlanStore['save'] = async (planId, text, inputs) => {
    const read = readPlan(text);
    if (!read.ok) return reply.refused(firstOf(read.problems));
    try {
      const place = planId === null ? null : await folderOf(planId);
      if (place?.ok === false) return place;
      const files = await filesToSave(read.value, place?.value ?? null, inputs);
      if (!files.ok) return files;
      const folder = place?.value ?? (await newFolder(read.value.name));
      try {
        await commitFiles(folder, files.value);
      } catch (error) {
        if (planId === null) await rm(folder, { recursive: true, force: true });
        throw error;
      }
      return reply.done({ planId: planId ?? basename(folder), folder });
    } catch (error) {
      return reply.refused(diskTrouble('disk-write', 'The plan cannot be saved', plansFolder, error));
    }
  };

  const save: PlanStore['save'] = (planId, text, inputs) => inTurn(() => saveNow(planId, text, inputs));

  const newFolder = async (name: string): Promise<string> => {
    await mkdir(plansFolder, { recursive: true });
    for (let count = 1; ; count++) {
      const folder = join(plansFolder, count === 1 ? folderName(name) : `${folderName(name)}-${count}`);
      try {
        await mkdir(folder);
        return folder;
      } catch (error) {
        if (!(error instanceof Error && 'code' in error && error.code === 'EEXIST')) throw error;
      }
    }
  };

  const takingIn = createTakingIn({ plansFolder, folderOf, save }, memory, places.sampleFields);
  const mappings = createMappings(places.home);
  return { plansFolder, list, folderOf, open, save, adopt: takingIn.adopt, mappings };
}

/** No plan was saved yet; any other failure must not look like that. */
function noFolder(error: unknown): string[] {
  if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return [];
  throw error;
}

export const unknownPlan = (planId: string): Problem =>
  stop(
    'plan-unknown',
    `There is no plan ${JSON.stringify(planId.slice(0, 80))} here.`,
    'Choose one from the list of plans.',
  );

async function entryOf(planId: string, folder: string): Promise<PlanEntry | null> {
  const document = await innerFile(folder, PLAN_FILE);
  if (document === null) return null;
  try {
    const [text, entry] = await Promise.all([readFile(document, 'utf8'), stat(document)]);
    const plan = readPlan(text);
    return { planId, name: plan.ok ? plan.value.name : basename(folder), folder, savedAt: entry.mtime.toISOString() };
  } catch {
    return null;
  }
}
