import { access, constants, readFile, realpath, stat } from 'node:fs/promises';
import { basename, dirname, extname } from 'node:path';
import { sha256Hex } from '../../core/base/hash.ts';
import type { HostReply } from '../../core/bridge/host-api.ts';
import { planText } from '../../core/plan/open.ts';
import { type OpenedPlan, unpackPlan } from '../../core/plan/pack.ts';
import { PACKED_ENDING, readPlanFolder } from './plan-folder.ts';
import { type PlanStore, type SavedFolder, unknownPlan } from './plan-store.ts';
import type { Memory } from './recent.ts';
import { listSampleFields, SAMPLE } from './sample-fields.ts';
import { diskTrouble, firstOf, reply } from './trouble.ts';

export type TakingIn = Pick<PlanStore, 'adopt'> & {
  copySample(field: string): Promise<HostReply<SavedFolder>>;
};

/** How plans from elsewhere become plans of the store. */
export function createTakingIn(
  store: Pick<PlanStore, 'plansFolder' | 'folderOf' | 'save'>,
  memory: Memory,
  sampleFields: string | null,
): TakingIn {
  const { save, folderOf, plansFolder } = store;
  const saveNew = ({ plan, inputs }: OpenedPlan): Promise<HostReply<SavedFolder>> =>
    save(
      null,
      planText(plan),
      [...inputs].map(([path, bytes]) => ({ path, bytes })),
    );

  /** A sample's copy: as it is where a person changed it, made again where only the sample changed. */
  const copySample = async (field: string): Promise<HostReply<SavedFolder>> => {
    const sample = (await listSampleFields(sampleFields)).find((entry) => entry.field === field);
    if (sample === undefined) return reply.refused(unknownPlan(SAMPLE + field));
    const source = await readPlanFolder(sample.folder);
    if (!source.ok) return reply.refused(firstOf(source.problems));
    const sha256 = sha256Hex(planText(source.value.plan));
    const before = (await memory.read()).samples[field];
    const folder = before ? await folderOf(before.planId) : null;
    const copied = before && folder?.ok ? { planId: before.planId, folder: folder.value } : null;
    if (copied && (before?.sha256 === sha256 || (await documentHash(copied.folder)) !== before?.sha256)) {
      return reply.done(copied);
    }
    const inputs = [...source.value.inputs].map(([path, bytes]) => ({ path, bytes }));
    const saved = await save(copied?.planId ?? null, planText(source.value.plan), inputs);
    if (!saved.ok) return saved;
    const { planId } = saved.value;
    await memory.change((now) => ({ ...now, samples: { ...now.samples, [field]: { planId, sha256 } } }));
    return saved;
  };

  const adoptPacked = async (path: string): Promise<HostReply<SavedFolder>> => {
    const bytes = new Uint8Array(await readFile(path));
    const hash = sha256Hex(bytes);
    const before = (await memory.read()).unpacked[hash];
    const folder = before === undefined ? null : await folderOf(before);
    if (before !== undefined && folder?.ok) return reply.done({ planId: before, folder: folder.value });
    const opened = unpackPlan(bytes, basename(path));
    if (!opened.ok) return reply.refused(firstOf(opened.problems));
    const saved = await saveNew(opened.value);
    if (!saved.ok) return saved;
    await memory.change((now) => ({ ...now, unpacked: { ...now.unpacked, [hash]: saved.value.planId } }));
    return saved;
  };

  const adoptFolder = async (given: string): Promise<HostReply<SavedFolder>> => {
    const folder = await realpath(given);
    const opened = await readPlanFolder(folder);
    if (!opened.ok) return reply.refused(firstOf(opened.problems));
    const home = await realpath(plansFolder).catch(() => null);
    if (home !== null && dirname(folder) === home) return reply.done({ planId: basename(folder), folder });
    const writable = await access(folder, constants.W_OK).then(
      () => true,
      () => false,
    );
    if (!writable) return await saveNew(opened.value);
    const planId = `@${sha256Hex(folder).slice(0, 16)}`;
    await memory.change((now) => ({
      ...now,
      outside: [{ planId, folder }, ...now.outside.filter((entry) => entry.planId !== planId)],
    }));
    return reply.done({ planId, folder });
  };

  const adopt = async (path: string): Promise<HostReply<SavedFolder>> => {
    try {
      if ((await stat(path)).isDirectory()) return await adoptFolder(path);
      if (extname(path).toLowerCase() === PACKED_ENDING) return await adoptPacked(path);
      return await adoptFolder(dirname(path));
    } catch (error) {
      return reply.refused(diskTrouble('disk-read', 'The plan cannot be opened', path, error));
    }
  };

  return { adopt, copySample };
}

async function documentHash(folder: string): Promise<string> {
  const document = await readPlanFolder(folder);
  return document.ok ? sha256Hex(planText(document.value.plan)) : '';
}
