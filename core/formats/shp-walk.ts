import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';

/** Shapes that are read, without their heights and measures. */
export type ShapeKind = 'point' | 'multipoint' | 'line' | 'polygon';

export interface ShpRecord {
  /** Byte where the record's header begins. */
  readonly offset: number;
  /** Content, without the 8 bytes of header. */
  readonly length_bytes: number;
  readonly isNull: boolean;
}

export interface ShpWalk {
  /** Null where the file says that every shape is null. */
  readonly kind: ShapeKind | null;
  readonly records: readonly ShpRecord[];
  /** Byte after the last record. */
  readonly end: number;
}

const HEADER_BYTES = 100;
const FILE_CODE = 9994;
const NULL_SHAPE = 0;
const MULTIPATCH = 31;
const KINDS: ReadonlyMap<number, ShapeKind> = new Map([
  [1, 'point'],
  [3, 'line'],
  [5, 'polygon'],
  [8, 'multipoint'],
]);
/** The plain type that a type with heights (+10) or measures (+20) is built on. */
const plainType = (type: number): number => (type > 20 ? type - 20 : type > 10 ? type - 10 : type);

/** A record's least content, and most points, for a shape of so many parts and points. */
const FIXED_BYTES: Record<ShapeKind, number> = { point: 20, multipoint: 40, line: 44, polygon: 44 };

/**
 * Where every record of a .shp stands, after checking that each fits: file code, type, lengths, counts of parts and
 * points, order of the parts. Only a file that passes is safe to hand to a parser of geometry.
 *
 * Problems: `shp-not-a-shp`, `shp-truncated` (header or a record promises more bytes than there are), `shp-multipatch`,
 * `shp-type` (a type that is not in the format), `shp-damaged` (a record that cannot be so), `shp-tail` (a caution:
 * bytes after the last record).
 * Source: ESRI Shapefile Technical Description, July 1998, pages 2-25. Cost: linear in records and parts.
 */
export function walkShp(bytes: Uint8Array, file: string): Result<ShpWalk> {
  const at = { file };
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < HEADER_BYTES) {
    return bytes.length >= 4 && view.getInt32(0) === FILE_CODE
      ? fail(truncated(file, 'its header is not whole'))
      : fail(notAShp(file));
  }
  if (view.getInt32(0) !== FILE_CODE) return fail(notAShp(file));
  const type = view.getInt32(32, true);
  if (type === MULTIPATCH) {
    return fail(
      stop(
        'shp-multipatch',
        `${file} holds three-dimensional surfaces (multipatch), which are not areas on the ground.`,
        'Export the outlines as polygons and take that file in.',
        at,
      ),
    );
  }
  const kind = type === NULL_SHAPE ? null : KINDS.get(plainType(type));
  if (kind === undefined || type < 0 || type > 28)
    return fail(
      stop('shp-type', `${file} says it holds shapes of type ${type}, which the format does not know.`, AGAIN, at),
    );
  const told_bytes = view.getInt32(24) * 2;
  if (told_bytes > bytes.length) return fail(truncatedAfter(view, told_bytes, file));
  return walkRecords(view, kind, type, Math.max(told_bytes, HEADER_BYTES), file);
}

function walkRecords(
  view: DataView,
  kind: ShapeKind | null,
  type: number,
  told_bytes: number,
  file: string,
): Result<ShpWalk> {
  const records: ShpRecord[] = [];
  let offset = HEADER_BYTES;
  // Writers that forget to set the header's length leave it at the header's own 100 bytes.
  const stopAt = told_bytes > HEADER_BYTES ? told_bytes : view.byteLength;
  while (offset < stopAt) {
    const feature = records.length + 1;
    if (offset + 8 > stopAt) break;
    const length_bytes = view.getInt32(offset + 4) * 2;
    if (length_bytes < 4) return fail(damaged(file, feature, `record length ${length_bytes}`));
    if (offset + 8 + length_bytes > view.byteLength)
      return fail(truncated(file, `it ends inside feature ${feature}`, feature));
    const shape = view.getInt32(offset + 8, true);
    if (shape !== NULL_SHAPE) {
      if (shape !== type || kind === null) return fail(damaged(file, feature, `shape type ${shape} among ${type}`));
      const wrong = misfit(view, kind, offset + 8, length_bytes);
      if (wrong) return fail(damaged(file, feature, wrong));
    }
    records.push({ offset, length_bytes, isNull: shape === NULL_SHAPE });
    offset += 8 + length_bytes;
  }
  const problems: Problem[] =
    offset === view.byteLength
      ? []
      : [
          caution(
            'shp-tail',
            `${file} has ${view.byteLength - offset} bytes after its last feature; they are not read.`,
            'Compare the number of features with the program that wrote the file.',
            { file },
          ),
        ];
  return ok({ kind, records, end: offset }, problems);
}

/** Why a record's content cannot hold the shape it says, or null. `at` is where the content begins. */
function misfit(view: DataView, kind: ShapeKind, at: number, length_bytes: number): string | null {
  const fixed = FIXED_BYTES[kind];
  if (length_bytes < fixed) return `${length_bytes} bytes for a ${kind}`;
  if (kind === 'point') return null;
  const parts = kind === 'multipoint' ? 0 : view.getInt32(at + 36, true);
  const points = view.getInt32(at + (kind === 'multipoint' ? 36 : 40), true);
  if (parts < 0 || points < 0) return `${parts} parts, ${points} points`;
  if (fixed + parts * 4 + points * 16 > length_bytes)
    return `${parts} parts, ${points} points in ${length_bytes} bytes`;
  if (kind === 'multipoint') return points === 0 ? 'no point' : null;
  if (parts === 0) return points === 0 ? null : `${points} points in no part`;
  let before = -1;
  for (let part = 0; part < parts; part++) {
    const first = view.getInt32(at + 44 + part * 4, true);
    if (part === 0 ? first !== 0 : first <= before || first >= points) return `part ${part + 1} begins at ${first}`;
    before = first;
  }
  return points === 0 ? 'a part without points' : null;
}

const AGAIN = 'Export or send the file again.';

const notAShp = (file: string): Problem =>
  stop('shp-not-a-shp', `${file} is not a .shp file, whatever its name says.`, AGAIN, { file });

/** Says how many features are whole before the end that came too early. */
function truncatedAfter(view: DataView, told_bytes: number, file: string): Problem {
  let whole = 0;
  for (let at = HEADER_BYTES; at + 8 <= view.byteLength; whole++) {
    at += 8 + Math.max(0, view.getInt32(at + 4)) * 2;
    if (at > view.byteLength) break;
  }
  const how = `it holds ${view.byteLength} of the ${told_bytes} bytes that its header promises, and ends after feature ${whole}`;
  return truncated(file, how, whole + 1);
}

const truncated = (file: string, how: string, feature?: number): Problem =>
  stop(
    'shp-truncated',
    `${file} is cut off: ${how}.`,
    'Copy or send the file again, whole.',
    feature === undefined ? { file } : { file, feature },
  );

const damaged = (file: string, feature: number, detail: string): Problem =>
  stop('shp-damaged', `Feature ${feature} of ${file} is damaged.`, AGAIN, { file, feature }, detail);
