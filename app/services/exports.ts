import { readFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { sha256Hex } from '../../core/base/hash.ts';
import { type Problem, stop } from '../../core/base/problem.ts';
import { encodeUtf8 } from '../../core/base/text.ts';
import type { HostReply, NamedInput } from '../../core/bridge/host-api.ts';
import { MANIFEST_FILE, manifestText, readManifest, SHEET_FILE } from '../../core/handoff/manifest.ts';
import { SHEET_PDF } from '../../core/handoff/sheet/make.ts';
import { createTurns } from './in-turn.ts';
import { foldedPath, innerFile, pathFault } from './inner-path.ts';
import { diskTrouble, reply } from './trouble.ts';
import { exists, filesBelow, finishSwap, swapFolder, writeWhole } from './whole.ts';

export const EXPORT_FOLDER = 'handoff';
/** Left behind by file browsers; nobody's work. */
const LITTER = new Set(['.ds_store', 'thumbs.db', 'desktop.ini']);

export interface ExportsOnDisk {
  readonly folder: string;
  readonly files: readonly NamedInput[];
}

/**
 * Writes an export as one folder, in the place of an earlier one, and answers the bytes as the disk gives them back.
 * A folder that holds anything else than an export of ours is left alone.
 * Problems: `export-path`, `export-no-manifest`, `export-foreign-files`, `export-not-as-written`, `disk-write`.
 */
export function writeExports(folder: string, files: readonly NamedInput[]): Promise<HostReply<ExportsOnDisk>> {
  return inTurn(() => writeNow(folder, files));
}

/** One export after the other: two at once would take each other's unfinished folder for a crashed one's. */
const inTurn = createTurns();

async function writeNow(folder: string, files: readonly NamedInput[]): Promise<HostReply<ExportsOnDisk>> {
  const fault = faultOf(files);
  if (fault) return reply.refused(fault);
  try {
    await finishSwap(folder);
    const foreign = await foreignFiles(folder);
    if (foreign.length > 0) return reply.refused(foreignProblem(folder, foreign));
    await swapFolder(folder, files);
  } catch (error) {
    return reply.refused(diskTrouble('disk-write', 'The export cannot be written', folder, error));
  }
  const back = await readExportsAt(folder);
  if (!back.ok) return back;
  const found = new Map(back.value.files.map((file) => [file.path, file.bytes]));
  const changed = files.find((file) => !sameBytes(file.bytes, found.get(file.path)));
  if (changed === undefined && found.size === files.length) return back;
  return reply.refused(
    stop(
      'export-not-as-written',
      'The export read back from the disk is not what was written.',
      'Write it to another disk, and do not use these files.',
      { file: join(folder, changed?.path ?? '') },
    ),
  );
}

/**
 * Lays the page as it was printed beside the export, and its SHA-256 into the manifest, where the page still is the one that was printed: else nothing is
 * written, and the answer is false. The page is the manifest's own: a folder of another kind is left without the entry, and its proof says so.
 */
export function keepPrinted(folder: string, page: Uint8Array, pdf: Uint8Array): Promise<boolean> {
  return inTurn(async () => {
    const now = await innerFile(folder, SHEET_FILE);
    if (now === null || !sameBytes(page, new Uint8Array(await readFile(now)))) return false;
    await writeWhole(join(folder, SHEET_PDF), pdf);
    const file = await innerFile(folder, MANIFEST_FILE);
    const manifest = file === null ? null : readManifest(new Uint8Array(await readFile(file)), MANIFEST_FILE);
    const ofPage = manifest?.ok ? manifest.value.files.find(({ path }) => path === SHEET_FILE) : undefined;
    if (manifest?.ok && manifest.value.version === 2 && ofPage?.sha256 === sha256Hex(page)) {
      const printed = { path: SHEET_PDF, size: pdf.length, sha256: sha256Hex(pdf) };
      await writeWhole(join(folder, MANIFEST_FILE), encodeUtf8(manifestText({ ...manifest.value, printed })));
    }
    return true;
  });
}

/** The export as it is on disk now. Problems: `export-none`, `disk-read`. */
export async function readExportsAt(folder: string): Promise<HostReply<ExportsOnDisk>> {
  try {
    // A folder that cannot be written holds no unfinished export of ours.
    await finishSwap(folder).catch(() => undefined);
    if ((await innerFile(folder, MANIFEST_FILE)) === null) {
      return reply.refused(
        stop(
          'export-none',
          `There is no export in ${basename(folder)}: it holds no ${MANIFEST_FILE}.`,
          'Export the plan first.',
          {
            file: folder,
          },
        ),
      );
    }
    const files: NamedInput[] = [];
    for (const path of await filesBelow(folder)) {
      if (isLitter(path)) continue;
      files.push({ path, bytes: new Uint8Array(await readFile(join(folder, ...path.split('/')))) });
    }
    return reply.done({ folder, files });
  } catch (error) {
    return reply.refused(diskTrouble('disk-read', 'The export cannot be read', folder, error));
  }
}

function faultOf(files: readonly NamedInput[]): Problem | null {
  const seen = new Set<string>();
  for (const { path } of files) {
    const fault = seen.has(foldedPath(path)) ? 'another file has the same name' : pathFault(path);
    if (fault !== null) {
      const remedy =
        'Type another name for the files in the handoff stage, or give the plan another name, then export again.';
      const at = { file: path, setting: 'handoff.baseName' };
      return stop('export-path', `The export file ${path} cannot be written: ${fault}.`, remedy, at);
    }
    seen.add(foldedPath(path));
  }
  return seen.has(MANIFEST_FILE)
    ? null
    : stop('export-no-manifest', `The export holds no ${MANIFEST_FILE}.`, 'Export the plan again.');
}

async function foreignFiles(folder: string): Promise<readonly string[]> {
  if (!(await exists(folder))) return [];
  const own = await filesOfManifest(folder);
  return (await filesBelow(folder)).filter((path) => !own.has(path) && !isLitter(path));
}

async function filesOfManifest(folder: string): Promise<ReadonlySet<string>> {
  const file = await innerFile(folder, MANIFEST_FILE);
  if (file === null) return new Set();
  const manifest = readManifest(new Uint8Array(await readFile(file)), MANIFEST_FILE);
  if (!manifest.ok) return new Set();
  const own = new Set([MANIFEST_FILE, ...manifest.value.files.map((entry) => entry.path)]);
  // The page printed beside it is ours too.
  if (own.has(SHEET_FILE)) own.add(SHEET_PDF);
  return own;
}

const foreignProblem = (folder: string, foreign: readonly string[]): Problem =>
  stop(
    'export-foreign-files',
    `The folder holds ${foreign.length === 1 ? 'a file' : `${foreign.length} files`} that no export of Pearlash wrote, and an export replaces the whole folder.`,
    'Move them elsewhere, or choose an empty or new folder.',
    { file: join(folder, foreign[0] ?? '') },
    foreign.slice(0, 10).join(', '),
  );

/** Statistics and spatial indices that mapping software lays beside a file it opened, and makes again when they are gone. */
const SIDE_FILE = /\.(aux\.xml|qix|sbn|sbx)$/;

function isLitter(path: string): boolean {
  const name = (path.split('/').at(-1) ?? '').toLowerCase();
  return LITTER.has(name) || SIDE_FILE.test(name);
}

const sameBytes = (a: Uint8Array, b: Uint8Array | undefined): boolean => b !== undefined && Buffer.compare(a, b) === 0;
