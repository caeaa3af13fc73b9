import { randomBytes } from 'node:crypto';
import { lstat, mkdir, open, readdir, rename, rm, stat } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { staysInside } from './inner-path.ts';

/** Files written whole or not at all: a crash at any moment leaves the old state or the new one, never a mixture. */
export interface WholeFile {
  /** Below the folder, with forward slashes. */
  readonly path: string;
  readonly bytes: Uint8Array;
}

/** Replaces one file: a temporary file in the same folder, flushed to the disk, then renamed over the old one. */
export async function writeWhole(file: string, bytes: Uint8Array): Promise<void> {
  const draft = join(dirname(file), `.${basename(file)}.${randomBytes(6).toString('hex')}`);
  try {
    await writeFlushed(draft, bytes);
    await rename(draft, file);
  } catch (error) {
    await rm(draft, { force: true });
    throw error;
  }
  await flushFolder(dirname(file));
}

const SAVING = '.pearlash-saving';
const SAVED = '.pearlash-saved';

/**
 * Puts several files into a folder as one change. All are written and flushed in one folder; the rename of that folder is the
 * moment the change holds; then each is moved to its place. Whoever opens the folder calls `finishCommit` first.
 */
export async function commitFiles(folder: string, files: readonly WholeFile[]): Promise<void> {
  await makeFolder(folder);
  await finishCommit(folder);
  const saving = join(folder, SAVING);
  await writeTree(saving, files);
  await rename(saving, join(folder, SAVED));
  await flushFolder(folder);
  await finishCommit(folder);
}

/** Ends what a crash interrupted: a change that held is carried out, one that did not is taken back. */
export async function finishCommit(folder: string): Promise<void> {
  const saved = join(folder, SAVED);
  const entry = await lstat(saved).catch(() => null);
  const paths = entry?.isDirectory() ? await filesBelow(saved) : [];
  for (const path of paths) {
    if (!(await staysInside(folder, path))) throw new Error(`${path} would be saved outside ${folder}`);
    const target = join(folder, ...path.split('/'));
    await makeFolder(dirname(target));
    await rename(join(saved, path), target);
    await flushFolder(dirname(target));
  }
  await rm(saved, { recursive: true, force: true });
  await rm(join(folder, SAVING), { recursive: true, force: true });
}

/** Replaces a whole folder: written beside it first, then the two change names. */
export async function swapFolder(folder: string, files: readonly WholeFile[]): Promise<void> {
  const { fresh, old } = besides(folder);
  await makeFolder(dirname(folder));
  await finishSwap(folder);
  try {
    await writeTree(fresh, files);
  } catch (error) {
    await rm(fresh, { recursive: true, force: true });
    throw error;
  }
  const had = await exists(folder);
  if (had) await rename(folder, old);
  try {
    await rename(fresh, folder);
  } catch (error) {
    if (had) await rename(old, folder);
    await rm(fresh, { recursive: true, force: true });
    throw error;
  }
  await flushFolder(dirname(folder));
  await rm(old, { recursive: true, force: true });
}

/** Ends an interrupted swap: the old folder comes back where the new one had not yet taken its name. */
export async function finishSwap(folder: string): Promise<void> {
  const { fresh, old } = besides(folder);
  if ((await exists(old)) && !(await exists(folder))) await rename(old, folder);
  await rm(old, { recursive: true, force: true });
  await rm(fresh, { recursive: true, force: true });
}

/** Paths of all regular files below a folder, sorted, with forward slashes; links are not followed. */
export async function filesBelow(folder: string, most = 20_000): Promise<string[]> {
  const found: string[] = [];
  const walk = async (inner: string): Promise<void> => {
    const entries = await readdir(join(folder, inner), { withFileTypes: true });
    for (const entry of entries) {
      const path = inner === '' ? entry.name : `${inner}/${entry.name}`;
      if (entry.isDirectory()) await walk(path);
      else if (entry.isFile()) found.push(path);
      if (found.length > most) throw new RangeError(`${folder} holds more than ${most} files`);
    }
  };
  if (await exists(folder)) await walk('');
  return found.sort();
}

/** Makes a folder and those above it, one by one: where the system answers "not there" for ever, as /proc does, Node's own way never ends. */
export async function makeFolder(folder: string): Promise<void> {
  if (await isFolder(folder)) return;
  const above = dirname(folder);
  if (above !== folder) await makeFolder(above);
  try {
    await mkdir(folder);
  } catch (error) {
    // Another may have made it in between.
    if (!(await isFolder(folder))) throw error;
  }
}

const isFolder = async (path: string): Promise<boolean> => (await stat(path).catch(() => null))?.isDirectory() ?? false;

export async function exists(path: string): Promise<boolean> {
  return (await stat(path).catch(() => null)) !== null;
}

const besides = (folder: string): { readonly fresh: string; readonly old: string } => ({
  fresh: join(dirname(folder), `.${basename(folder)}.pearlash-new`),
  old: join(dirname(folder), `.${basename(folder)}.pearlash-old`),
});

async function writeTree(folder: string, files: readonly WholeFile[]): Promise<void> {
  await makeFolder(folder);
  for (const file of files) {
    const target = join(folder, ...file.path.split('/'));
    await makeFolder(dirname(target));
    await writeFlushed(target, file.bytes);
  }
}

async function writeFlushed(file: string, bytes: Uint8Array): Promise<void> {
  const handle = await open(file, 'wx');
  try {
    await handle.writeFile(bytes);
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** Makes a rename last. Windows has no handle on a folder and keeps its own journal. */
async function flushFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return;
  const handle = await open(folder, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
