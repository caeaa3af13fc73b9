/** A .shp made byte by byte, right or wrong as a test wants it. */
export interface RawRecord {
  readonly type?: number;
  /** Rings or lines; a point is one part of one position. */
  readonly parts: readonly (readonly (readonly [number, number])[])[];
}

const WORDS = 2;

/** Content of a record of type 1, 3 or 5 (and 8, from its first part), as the technical description lays it out. */
function content({ type, parts }: RawRecord, fileType: number): Uint8Array {
  const kind = type ?? fileType;
  const points = parts.flat();
  if (kind === 0) return new Uint8Array(4);
  const head = kind === 1 ? 4 : kind === 8 ? 40 : 44 + 4 * parts.length;
  const view = new DataView(new ArrayBuffer(head + 16 * points.length));
  view.setInt32(0, kind, true);
  if (kind === 8) view.setInt32(36, points.length, true);
  if (kind === 3 || kind === 5) {
    view.setInt32(36, parts.length, true);
    view.setInt32(40, points.length, true);
    let first = 0;
    for (const [i, part] of parts.entries()) {
      view.setInt32(44 + 4 * i, first, true);
      first += part.length;
    }
  }
  for (const [i, [x, y]] of points.entries()) {
    view.setFloat64(head + 16 * i, x, true);
    view.setFloat64(head + 16 * i + 8, y, true);
  }
  return new Uint8Array(view.buffer);
}

export function rawShp(type: number, records: readonly RawRecord[]): Uint8Array<ArrayBuffer> {
  const contents = records.map((record) => content(record, type));
  const bytes = new Uint8Array(contents.reduce((sum, one) => sum + 8 + one.length, 100));
  const view = new DataView(bytes.buffer);
  view.setInt32(0, 9994);
  view.setInt32(24, bytes.length / WORDS);
  view.setInt32(28, 1000, true);
  view.setInt32(32, type, true);
  let at = 100;
  for (const [i, one] of contents.entries()) {
    view.setInt32(at, i + 1);
    view.setInt32(at + 4, one.length / WORDS);
    bytes.set(one, at + 8);
    at += 8 + one.length;
  }
  return bytes;
}

/** A square, clockwise as the format wants an outer ring. */
export const square = (x: number, y: number, side: number): [number, number][] => [
  [x, y],
  [x, y + side],
  [x + side, y + side],
  [x + side, y],
  [x, y],
];
