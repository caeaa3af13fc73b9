import { lstat, realpath } from 'node:fs/promises';
import { dirname, join, sep } from 'node:path';
import { isInnerPath } from '../../core/plan/schema.ts';

/** Names that some system reads as a device, whatever their ending. */
const DEVICE = /^(con|prn|aux|nul|com[0-9]|lpt[0-9])(\.|$)/i;
/** Letters that some file system refuses, or a shell or person cannot see. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for.
const FOREIGN = /[<>:"|?*\\\u0000-\u001f\u007f]/;

/** Why a path may not be written below a plan's folder, in words; null when it may, on every system. */
export function pathFault(path: string): string | null {
  if (!isInnerPath(path)) return 'it would leave the folder';
  for (const part of path.split('/')) {
    if (FOREIGN.test(part)) return `"${part}" holds a character that not every system allows in a file name`;
    if (DEVICE.test(part)) return `"${part}" is the name of a device`;
    if (part.endsWith('.') || part.endsWith(' ')) return `"${part}" ends with a dot or a space`;
    if (part.startsWith('.')) return `"${part}" begins with a dot, which is kept for unfinished work`;
    if (part.length > 200) return `"${part.slice(0, 20)}..." is longer than 200 characters`;
  }
  return null;
}

/** The same name for paths that a file system blind to case or accents' form takes for one file. */
export const foldedPath = (path: string): string => path.normalize('NFC').toLowerCase();

/** A folder's name made of a plan's: `Hollow quarter, 2026` gives `hollow-quarter-2026`. */
export function folderName(planName: string): string {
  const plain = planName
    .normalize('NFKD')
    .replace(/\p{Mark}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 60)
    .replace(/-+$/, '');
  return plain === '' || DEVICE.test(plain) ? `plan${plain === '' ? '' : `-${plain}`}` : plain;
}

/**
 * The file's place on disk, or null where it is not a plain file of this folder: a link in it, or above it inside the
 * folder, may lead anywhere.
 */
export async function innerFile(folder: string, path: string): Promise<string | null> {
  if (!isInnerPath(path)) return null;
  const file = join(folder, ...path.split('/'));
  try {
    const [root, parent, entry] = await Promise.all([realpath(folder), realpath(dirname(file)), lstat(file)]);
    const inside = parent === root || parent.startsWith(root + sep);
    return inside && entry.isFile() ? file : null;
  } catch {
    return null;
  }
}

/** True where no folder on the way to the file is a link out of the root; folders that are not there yet are fine. */
export async function staysInside(folder: string, path: string): Promise<boolean> {
  if (!isInnerPath(path)) return false;
  const parts = path.split('/').slice(0, -1);
  let here = folder;
  for (const part of parts) {
    here = join(here, part);
    const entry = await lstat(here).catch(() => null);
    if (entry === null) return true;
    if (!entry.isDirectory()) return false;
  }
  return true;
}
