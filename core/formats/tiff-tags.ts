import { decodeText } from '../base/text.ts';

/** One image file directory: where the values of each tag stand. Everything it points at lies inside the file. */
export interface TiffDirectory {
  /** Numbers of a tag, or empty where it is not there. Fractions are divided out; text gives its bytes. */
  readonly numbers: (tag: number) => readonly number[];
  /** The first number of a tag, or what stands for it where it is not there. */
  readonly number: (tag: number, otherwise: number) => number;
  /** Text of a tag without its closing zero; null where it is not there. */
  readonly text: (tag: number) => string | null;
  readonly has: (tag: number) => boolean;
}

export type TiffDirectories =
  | { readonly ok: true; readonly littleEndian: boolean; readonly directories: readonly TiffDirectory[] }
  | { readonly ok: false; readonly why: 'not-a-tiff' | 'cut-off' | 'damaged'; readonly detail: string };

/** Bytes of one value by the type's number (TIFF 6.0 section 2; 13 and 16 to 18 of BigTIFF). */
const SIZES: Readonly<Record<number, number>> = {
  1: 1,
  2: 1,
  3: 2,
  4: 4,
  5: 8,
  6: 1,
  7: 1,
  8: 2,
  9: 4,
  10: 8,
  11: 4,
  12: 8,
  13: 4,
  16: 8,
  17: 8,
  18: 8,
};
/** An image and its overviews and masks come to a dozen; a chain that goes on is a ring. */
const MOST_DIRECTORIES = 64;
/** Far above the blocks of any image that is read here. */
const MOST_VALUES = 4_000_000;

interface Entry {
  readonly type: number;
  readonly count: number;
  readonly at: number;
}

/**
 * The directories of a TIFF or BigTIFF, in their order. Nothing is copied or made larger than the file: a tag that says it
 * holds more than there is refuses the file. Source: TIFF revision 6.0, sections 2 and 8; the BigTIFF design of libtiff.
 */
export function readTiffDirectories(bytes: Uint8Array): TiffDirectories {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < 8) return { ok: false, why: 'not-a-tiff', detail: `${bytes.length} bytes` };
  const order = view.getUint16(0);
  const littleEndian = order === 0x4949;
  const magic = view.getUint16(2, littleEndian);
  const big = magic === 43;
  if ((!littleEndian && order !== 0x4d4d) || (magic !== 42 && !big))
    return { ok: false, why: 'not-a-tiff', detail: 'no byte order and magic number of a TIFF' };
  if (big && bytes.length < 16) return { ok: false, why: 'cut-off', detail: 'the header is not whole' };
  const reader: Reader = { bytes, view, littleEndian, big };
  const directories: TiffDirectory[] = [];
  const seen = new Set<number>();
  let at = offsetAt(reader, big ? 8 : 4);
  while (at !== 0) {
    if (seen.has(at) || directories.length >= MOST_DIRECTORIES)
      return { ok: false, why: 'damaged', detail: 'its directories go round in a ring' };
    seen.add(at);
    const read = directoryAt(reader, at);
    if (typeof read === 'string') return { ok: false, why: 'cut-off', detail: read };
    directories.push(read.directory);
    at = read.next;
  }
  return directories.length === 0
    ? { ok: false, why: 'damaged', detail: 'no directory' }
    : { ok: true, littleEndian, directories };
}

interface Reader {
  readonly bytes: Uint8Array;
  readonly view: DataView;
  readonly littleEndian: boolean;
  readonly big: boolean;
}

/** A 64-bit offset past 2^53 lies past every file, which is all that matters. */
const wide = ({ view, littleEndian }: Reader, at: number): number => Number(view.getBigUint64(at, littleEndian));
const offsetAt = (reader: Reader, at: number): number =>
  reader.big ? wide(reader, at) : reader.view.getUint32(at, reader.littleEndian);

function directoryAt(
  reader: Reader,
  at: number,
): { readonly directory: TiffDirectory; readonly next: number } | string {
  const { bytes, view, littleEndian, big } = reader;
  const [countSize, entrySize, offsetSize] = big ? ([8, 20, 8] as const) : ([2, 12, 4] as const);
  if (at + countSize > bytes.length) return `a directory is said to stand at ${at}, past the end`;
  const count = big ? wide(reader, at) : view.getUint16(at, littleEndian);
  const end = at + countSize + count * entrySize;
  if (end + offsetSize > bytes.length) return `a directory of ${count} entries at ${at} goes past the end`;
  const entries = new Map<number, Entry>();
  for (let i = 0; i < count; i++) {
    const from = at + countSize + i * entrySize;
    const tag = view.getUint16(from, littleEndian);
    const type = view.getUint16(from + 2, littleEndian);
    const size = SIZES[type];
    // A type that is not in the standard holds nothing for us (TIFF 6.0, section 2: readers skip it).
    if (size === undefined) continue;
    const values = big ? wide(reader, from + 4) : view.getUint32(from + 4, littleEndian);
    const inside = from + (big ? 12 : 8);
    const where = values * size <= offsetSize ? inside : offsetAt(reader, inside);
    if (values > MOST_VALUES || where + values * size > bytes.length) return `tag ${tag} goes past the end`;
    entries.set(tag, { type, count: values, at: where });
  }
  return { directory: directoryOf(reader, entries), next: offsetAt(reader, end) };
}

function directoryOf(reader: Reader, entries: ReadonlyMap<number, Entry>): TiffDirectory {
  const kept = new Map<number, readonly number[]>();
  const numbers = (tag: number): readonly number[] => {
    const before = kept.get(tag);
    if (before) return before;
    const entry = entries.get(tag);
    const values = entry
      ? Array.from({ length: entry.count }, (_, i) =>
          valueAt(reader, entry.type, entry.at + i * (SIZES[entry.type] ?? 0)),
        )
      : [];
    kept.set(tag, values);
    return values;
  };
  return {
    numbers,
    number: (tag, otherwise) => numbers(tag)[0] ?? otherwise,
    has: (tag) => entries.has(tag),
    text: (tag) => {
      const entry = entries.get(tag);
      return entry ? decodeText(reader.bytes.subarray(entry.at, entry.at + entry.count)).replace(/\0+$/, '') : null;
    },
  };
}

function valueAt({ view, littleEndian }: Reader, type: number, at: number): number {
  switch (type) {
    case 3:
      return view.getUint16(at, littleEndian);
    case 4:
    case 13:
      return view.getUint32(at, littleEndian);
    case 5:
      return view.getUint32(at, littleEndian) / view.getUint32(at + 4, littleEndian);
    case 6:
      return view.getInt8(at);
    case 8:
      return view.getInt16(at, littleEndian);
    case 9:
      return view.getInt32(at, littleEndian);
    case 10:
      return view.getInt32(at, littleEndian) / view.getInt32(at + 4, littleEndian);
    case 11:
      return view.getFloat32(at, littleEndian);
    case 12:
      return view.getFloat64(at, littleEndian);
    case 16:
    case 18:
      return Number(view.getBigUint64(at, littleEndian));
    case 17:
      return Number(view.getBigInt64(at, littleEndian));
    default:
      return view.getUint8(at);
  }
}
