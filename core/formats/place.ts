import { caution, fail, note, ok, type Problem, type Result, stop } from '../base/problem.ts';
import type { LngLat } from '../geo/types.ts';
import { type Crs, KNOWN_CODES, parseCrs, WGS84 } from './crs.ts';
import type { CrsInfo } from './types.ts';

/** West, south, east, north of the coordinates as the file has them. */
export type Extent = readonly [west: number, south: number, east: number, north: number];

/** How a file's coordinates become WGS84. */
export interface Placing {
  readonly info: CrsInfo;
  readonly kind: Crs['kind'];
  readonly toLngLat: Crs['toLngLat'];
  readonly fromLngLat: Crs['fromLngLat'];
}

export interface PlaceQuestion {
  readonly file: string;
  readonly extent: Extent;
  /** Text of the .prj beside the file, and its name. */
  readonly prj?: { readonly text: string; readonly file: string } | undefined;
  /** CRS named inside the file. */
  readonly inside?: string | undefined;
  /** CRS that the file tells otherwise than in words, read already. */
  readonly insideRead?: Result<Crs> | undefined;
  /** The format itself fixes WGS84. */
  readonly wgs84ByFormat?: boolean;
  /** CRS told by a person, for where the file names none. */
  readonly told?: string | undefined;
}

/** No farmland lies south or north of these: a field there has its axes swapped. Ours. */
const SOUTHERNMOST_FIELD_DEG = -56;
const NORTHERNMOST_FIELD_DEG = 72;

/**
 * Which system a file's coordinates are in: what the file names, else what a person told, else WGS84 where all values
 * could be degrees. Never a guess where they could not.
 *
 * Problems: `crs-missing` (no system, values outside degrees), `crs-unreadable`, `crs-unknown`, `crs-swapped` (latitude
 * stands first), `crs-outside` (values that the system cannot have), `crs-degrees` (a system in metres, values in
 * degrees); cautions `crs-datum`, `crs-told-instead` (the file's own cannot be read) and `crs-told-unused`; note
 * `crs-assumed`.
 */
export function findPlacing(question: PlaceQuestion): Result<Placing> {
  const named = namedCrs(question);
  if (!named.ok) return named;
  const { crs, from } = named.value;
  const problem = misplaced(question, crs);
  if (problem) return fail(...named.problems, problem);
  return ok(
    { info: { name: crs.name, from }, kind: crs.kind, toLngLat: crs.toLngLat, fromLngLat: crs.fromLngLat },
    named.problems,
  );
}

interface Named {
  readonly crs: Crs;
  readonly from: CrsInfo['from'];
}

function namedCrs(question: PlaceQuestion): Result<Named> {
  const { file, prj, inside, told } = question;
  const own = inside ?? prj?.text;
  const { insideRead } = question;
  if (insideRead || (own !== undefined && own.trim() !== '')) {
    const byPrj = !insideRead && inside === undefined;
    const read = insideRead ?? parseCrs(own ?? '', byPrj ? prj?.file : file);
    if (read.ok) return ok({ crs: read.value, from: byPrj ? 'prj' : 'format' }, read.problems);
    if (told === undefined) return read;
    const instead = parseCrs(told);
    if (!instead.ok) return fail(...read.problems, ...instead.problems);
    return ok({ crs: instead.value, from: 'told' }, [
      ...instead.problems,
      caution(
        'crs-told-instead',
        `The coordinate system that ${file} names cannot be read; ${instead.value.name} is taken, as told.`,
        'Compare its place with a file that is known to be right.',
        { file },
      ),
    ]);
  }
  const degrees = inDegrees(question.extent);
  if (question.wgs84ByFormat && (degrees || told === undefined)) return ok({ crs: WGS84, from: 'format' });
  if (told !== undefined) {
    const read = parseCrs(told);
    if (!read.ok) return read;
    if (!degrees || read.value.kind === 'geographic') return ok({ crs: read.value, from: 'told' }, read.problems);
    return ok({ crs: WGS84, from: 'assumed' }, [
      caution(
        'crs-told-unused',
        `${file} names no coordinate system and its values are degrees, so ${read.value.name} as told cannot be meant; WGS 84 is assumed.`,
        'Check that the field lies where it should on the map.',
        { file },
      ),
    ]);
  }
  if (!degrees) return fail(looksSwapped(question.extent) ? swapped(question) : missing(question));
  return ok({ crs: WGS84, from: 'assumed' }, [
    note(
      'crs-assumed',
      `${file} names no coordinate system; its values can be degrees, so WGS 84 is assumed.`,
      'If that is wrong, say which it is with --crs EPSG:..., or in the window.',
      { file },
    ),
  ]);
}

/** Why the coordinates cannot be in that system, or null. */
function misplaced(question: PlaceQuestion, crs: Crs): Problem | null {
  const { file, extent } = question;
  if (crs.kind === 'projected') {
    if (!inDegrees(extent)) return null;
    return stop(
      'crs-degrees',
      `${file} is said to be in ${crs.name}, which counts in lengths, but its values are degrees.`,
      'Export it again with the right .prj, or take the .prj away so that the values are read as degrees.',
      { file },
    );
  }
  if (looksSwapped(extent)) return swapped(question);
  if (inDegrees(extent)) return null;
  if (crs === WGS84 && question.wgs84ByFormat) return missing(question);
  return stop(
    'crs-outside',
    `${file} is said to be in ${crs.name}, which counts in degrees, but its values are outside them: ${place(extent)}.`,
    'Export it again with the right .prj, or take the .prj away and say which system it is with --crs EPSG:..., or in the window.',
    { file },
  );
}

const inDegrees = ([west, south, east, north]: Extent): boolean =>
  west >= -180 && east <= 180 && south >= -90 && north <= 90;

function looksSwapped([west, south, east, north]: Extent): boolean {
  const xIsLatitude = west >= SOUTHERNMOST_FIELD_DEG && east <= NORTHERNMOST_FIELD_DEG;
  const yIsNoLatitude = north < SOUTHERNMOST_FIELD_DEG || south > NORTHERNMOST_FIELD_DEG;
  return xIsLatitude && yIsNoLatitude && south >= -180 && north <= 180;
}

const place = ([west, south, east, north]: Extent): string =>
  `x ${plain(west)} to ${plain(east)}, y ${plain(south)} to ${plain(north)}`;
const plain = (value: number): string => String(Number(value.toPrecision(8)));

const swapped = ({ file, extent }: PlaceQuestion): Problem =>
  stop(
    'crs-swapped',
    `${file} seems to have latitude and longitude swapped: it lies at ${place(extent)}.`,
    'Write longitude first (x) and latitude second (y), and take the file in again.',
    { file },
  );

const missing = ({ file, extent }: PlaceQuestion): Problem =>
  stop(
    'crs-missing',
    `${file} names no coordinate system, and its values are not degrees: ${place(extent)}.`,
    `Put its .prj beside it, or say which system it is with --crs EPSG:..., or in the window; known are ${KNOWN_CODES}.`,
    { file },
  );

/** Whether a system gave a place on earth: NaN and latitudes past the poles are none. */
export const isPlace = (p: LngLat): boolean =>
  Number.isFinite(p[0]) && Number.isFinite(p[1]) && Math.abs(p[1]) <= 90 && Math.abs(p[0]) <= 180 + 1e-9;
