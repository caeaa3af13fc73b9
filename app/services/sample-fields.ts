import type { Dirent } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { PLAN_FILE } from '../../core/plan/pack.ts';

/** Begins the id of a sample field that is not copied yet. */
export const SAMPLE = 'sample@';

/** The sample fields that come with the program: folders with a plan, which are copied before they are opened. */
export interface SampleField {
  readonly field: string;
  readonly folder: string;
  readonly savedAt: string;
}

export async function listSampleFields(folder: string | null): Promise<readonly SampleField[]> {
  if (folder === null) return [];
  const entries = await readdir(folder, { withFileTypes: true }).catch((): Dirent[] => []);
  const found: SampleField[] = [];
  for (const entry of entries) {
    const document = await stat(join(folder, entry.name, PLAN_FILE)).catch(() => null);
    if (entry.isDirectory() && document?.isFile()) {
      found.push({ field: entry.name, folder: join(folder, entry.name), savedAt: document.mtime.toISOString() });
    }
  }
  return found.sort((a, b) => (a.field < b.field ? -1 : 1));
}
