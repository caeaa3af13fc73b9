import { inflateSync, zipSync } from 'fflate';
import { fail, note, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { decodeGuessed, decodeText } from '../base/text.ts';
import { crc32 } from './crc32.kernel.ts';
import type { NamedBytes } from './types.ts';

/** Bounds that keep a hostile archive from filling the memory. */
export interface ZipLimits {
  readonly entries: number;
  /** All files together, unpacked. */
  readonly total_bytes: number;
  /** Unpacked to packed, looked at only above `ratioFrom_bytes`: a small table of blanks packs 300 to 1. */
  readonly ratio: number;
  readonly ratioFrom_bytes: number;
}

export const ZIP_LIMITS: ZipLimits = {
  entries: 5000,
  total_bytes: 1_000_000_000,
  ratio: 200,
  ratioFrom_bytes: 64_000_000,
};

const END_RECORD = 0x06054b50;
const CENTRAL_RECORD = 0x02014b50;
const LOCAL_RECORD = 0x04034b50;
const END_LENGTH = 22;
const LONGEST_COMMENT = 0xffff;
const STORED = 0;
const DEFLATED = 8;
const ZIP64_EXTRA = 1;

interface Entry {
  readonly name: string;
  readonly encrypted: boolean;
  readonly method: number;
  readonly crc: number;
  readonly packed_bytes: number;
  readonly unpacked_bytes: number;
  readonly offset: number;
}

/**
 * Files packed into one archive, in the order given. Deterministic: every file carries the same date, and the packing
 * depends on the bytes alone. Names may hold folders with forward slashes. Throws when a name comes twice.
 * Source: PKWARE APPNOTE, by way of fflate.
 */
export function zipFiles(files: readonly NamedBytes[]): Uint8Array {
  const tree: Record<string, Uint8Array> = Object.create(null);
  for (const file of files) {
    if (file.name in tree) throw new Error(`zipFiles: ${file.name} comes twice`);
    tree[file.name] = file.bytes;
  }
  // The format stores local time without a zone: a date made of local parts gives the same bytes everywhere.
  return zipSync(tree, { level: 6, mtime: new Date(1980, 0, 1, 12) });
}

/**
 * The files of an archive, in its own order, folders kept in their names. Housekeeping of operating systems
 * (`__MACOSX/`, `._name`, `.DS_Store`, `Thumbs.db`) is left out with a note. One damaged entry refuses the archive.
 *
 * Problems: `zip-not-a-zip`, `zip-truncated`, `zip-encrypted`, `zip-path` (leaves its folder), `zip-twice` (two entries
 * of one name), `zip-too-large` (limits), `zip-method` (packed another way than deflate), `zip-damaged` (does not
 * unpack, or its CRC-32 differs); `zip-housekeeping` (a note).
 * Source: PKWARE APPNOTE 6.3.10, sections 4.3 and 4.5.3.
 */
export function unzipFiles(
  bytes: Uint8Array,
  name: string,
  limits: ZipLimits = ZIP_LIMITS,
): Result<readonly NamedBytes[]> {
  const entries = listEntries(bytes, name, limits);
  if (!entries.ok) return entries;
  const files: NamedBytes[] = [];
  const seen = new Set<string>();
  let skipped = 0;
  let total = 0;
  let packed = 0;
  for (const entry of entries.value) {
    const at = { file: `${name}/${entry.name}` };
    if (entry.name.endsWith('/')) continue;
    if (isHousekeeping(entry.name)) {
      skipped++;
      continue;
    }
    const refused = judge(entry, name, limits);
    if (refused) return fail(refused);
    if (seen.has(entry.name))
      return fail(
        stop('zip-twice', `${name} holds two files named ${entry.name}.`, 'Pack the files again, each once.', at),
      );
    seen.add(entry.name);
    total += entry.unpacked_bytes;
    if (total > limits.total_bytes) return fail(tooLarge(name, `unpacks to more than ${inMb(limits.total_bytes)}`));
    packed += entry.packed_bytes;
    // Entries that share their bytes cost time without end for a small file.
    if (packed > bytes.length) return fail(damaged(entry, name, 'entries overlap'));
    const unpacked = unpack(bytes, entry, name);
    if (!unpacked.ok) return unpacked;
    files.push({ name: entry.name, bytes: unpacked.value });
  }
  const notes: Problem[] =
    skipped === 0
      ? []
      : [
          note(
            'zip-housekeeping',
            `${name} holds ${skipped} ${skipped === 1 ? 'file' : 'files'} that an operating system left there; they are not read.`,
            'Nothing to do.',
            { file: name },
          ),
        ];
  return ok(files, notes);
}

function listEntries(bytes: Uint8Array, name: string, limits: ZipLimits): Result<readonly Entry[]> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = findEnd(view);
  if (end < 0) {
    return bytes[0] === 0x50 && bytes[1] === 0x4b
      ? fail(truncated(name))
      : fail(
          stop('zip-not-a-zip', `${name} is not a zip archive.`, 'Take the zip again from where it came from.', {
            file: name,
          }),
        );
  }
  const count = view.getUint16(end + 10, true);
  const size = view.getUint32(end + 12, true);
  const start = view.getUint32(end + 16, true);
  if (start === 0xffffffff || count === 0xffff)
    return fail(tooLarge(name, 'is a zip of more than 4 GB or 65,000 files'));
  if (count > limits.entries) return fail(tooLarge(name, `holds ${count} files`));
  if (start + size > end) return fail(truncated(name));
  const entries: Entry[] = [];
  let at = start;
  for (let i = 0; i < count; i++) {
    if (at + 46 > end || view.getUint32(at, true) !== CENTRAL_RECORD) return fail(truncated(name));
    const nameLength = view.getUint16(at + 28, true);
    const extraLength = view.getUint16(at + 30, true);
    const next = at + 46 + nameLength + extraLength + view.getUint16(at + 32, true);
    if (next > end) return fail(truncated(name));
    const flags = view.getUint16(at + 8, true);
    const entry = {
      name: entryName(bytes.subarray(at + 46, at + 46 + nameLength), (flags & 0x800) !== 0),
      encrypted: (flags & 1) !== 0,
      method: view.getUint16(at + 10, true),
      crc: view.getUint32(at + 16, true),
      packed_bytes: view.getUint32(at + 20, true),
      unpacked_bytes: view.getUint32(at + 24, true),
      offset: view.getUint32(at + 42, true),
    };
    entries.push(widen(entry, view, at + 46 + nameLength, extraLength));
    at = next;
  }
  return ok(entries);
}

/** Where the end record stands, or -1. Looked for from the back, past a comment of any length. */
function findEnd(view: DataView): number {
  const last = view.byteLength - END_LENGTH;
  for (let at = last; at >= Math.max(0, last - LONGEST_COMMENT); at--)
    if (view.getUint32(at, true) === END_RECORD) return at;
  return -1;
}

/** Sizes that a streaming packer wrote into the 64-bit extra field instead (APPNOTE 4.5.3). */
function widen(entry: Entry, view: DataView, start: number, length: number): Entry {
  const wide = [entry.unpacked_bytes, entry.packed_bytes, entry.offset].map((value) => value === 0xffffffff);
  if (!wide.includes(true)) return entry;
  let at = start;
  while (at + 4 <= start + length) {
    const size = view.getUint16(at + 2, true);
    if (view.getUint16(at, true) === ZIP64_EXTRA && at + 4 + size <= start + length) {
      let field = at + 4;
      const read = (is: boolean | undefined, value: number): number => {
        if (!is || field + 8 > at + 4 + size) return value;
        field += 8;
        return view.getUint32(field - 8, true) + view.getUint32(field - 4, true) * 2 ** 32;
      };
      const unpacked_bytes = read(wide[0], entry.unpacked_bytes);
      const packed_bytes = read(wide[1], entry.packed_bytes);
      return { ...entry, unpacked_bytes, packed_bytes, offset: read(wide[2], entry.offset) };
    }
    at += 4 + size;
  }
  return entry;
}

const entryName = (raw: Uint8Array, utf8: boolean): string =>
  (utf8 ? decodeText(raw) : decodeGuessed(raw).text).replaceAll('\\', '/');

function isHousekeeping(path: string): boolean {
  const last = path.slice(path.lastIndexOf('/') + 1);
  return (
    /(?:^|\/)__MACOSX\//.test(path) || last.startsWith('._') || /^(?:\.DS_Store|Thumbs\.db|desktop\.ini)$/i.test(last)
  );
}

function judge(entry: Entry, name: string, limits: ZipLimits): Problem | null {
  const at = { file: `${name}/${entry.name}` };
  const outside = entry.name.startsWith('/') || /^[A-Za-z]:/.test(entry.name) || entry.name.includes('\0');
  if (outside || entry.name.split('/').some((part) => part === '..' || part === '.' || part === '')) {
    return stop(
      'zip-path',
      `${name} holds a file whose path leaves its folder: ${JSON.stringify(entry.name)}.`,
      'Do not trust this archive; take it again from where it came from.',
      at,
    );
  }
  if (entry.encrypted)
    return stop('zip-encrypted', `${name} is locked with a password.`, 'Unpack it and take in the files inside.', at);
  if (entry.method !== STORED && entry.method !== DEFLATED)
    return stop(
      'zip-method',
      `${entry.name} in ${name} is packed in a way that is not read.`,
      'Unpack it and take in the files inside, or pack them again as a plain zip.',
      at,
      `method ${entry.method}`,
    );
  if (entry.unpacked_bytes > limits.ratioFrom_bytes && entry.unpacked_bytes > entry.packed_bytes * limits.ratio)
    return tooLarge(name, `holds ${entry.name}, which unpacks to ${inMb(entry.unpacked_bytes)} from almost nothing`);
  return null;
}

function unpack(bytes: Uint8Array, entry: Entry, name: string): Result<Uint8Array> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (entry.offset + 30 > bytes.length || view.getUint32(entry.offset, true) !== LOCAL_RECORD)
    return fail(damaged(entry, name, 'no local header where the directory says'));
  const start = entry.offset + 30 + view.getUint16(entry.offset + 26, true) + view.getUint16(entry.offset + 28, true);
  if (start + entry.packed_bytes > bytes.length) return fail(truncated(name));
  const packed = bytes.subarray(start, start + entry.packed_bytes);
  let unpacked: Uint8Array;
  if (entry.method === STORED) unpacked = packed.slice();
  else {
    try {
      unpacked = inflateSync(packed, { out: new Uint8Array(entry.unpacked_bytes) });
    } catch (error) {
      return fail(damaged(entry, name, error instanceof Error ? error.message : String(error)));
    }
  }
  if (unpacked.length !== entry.unpacked_bytes)
    return fail(damaged(entry, name, `${unpacked.length} bytes of ${entry.unpacked_bytes}`));
  if (crc32(unpacked) !== entry.crc) return fail(damaged(entry, name, 'its CRC-32 differs'));
  return ok(unpacked);
}

const inMb = (size: number): string => `${Math.round(size / 1e6)} MB`;

const truncated = (name: string): Problem =>
  stop(
    'zip-truncated',
    `${name} is cut off or damaged: its list of files is not whole.`,
    'Copy or send it again, whole.',
    {
      file: name,
    },
  );

const damaged = (entry: Entry, name: string, detail: string): Problem =>
  stop(
    'zip-damaged',
    `${entry.name} in ${name} is damaged.`,
    'Copy or send the zip again.',
    { file: `${name}/${entry.name}` },
    detail,
  );

const tooLarge = (name: string, what: string): Problem =>
  stop('zip-too-large', `${name} ${what}, which is past the limit.`, 'Unpack it and take in only the files needed.', {
    file: name,
  });
