import proj4 from 'proj4';
import { fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import type { LngLat } from '../geo/types.ts';
import { definitionOfCode, LIKE_WGS84 } from './crs-codes.ts';
import { datumProblem } from './crs-datum.ts';

/** A coordinate reference system that can be left for WGS84 and come back to. Axes are x east, y north. */
export interface Crs {
  /** In words: `WGS 84 / UTM zone 15N`. */
  readonly name: string;
  /** Coordinates are degrees (geographic) or lengths on a plane (projected). */
  readonly kind: 'geographic' | 'projected';
  /** NaN where the system has no such place. */
  readonly toLngLat: (x: number, y: number) => LngLat;
  readonly fromLngLat: (p: LngLat) => [x: number, y: number];
}

/** What is used of the library's object: the datum type is 1 to 3 where a shift is known (PJD_3PARAM .. GRIDSHIFT). */
interface Definition {
  readonly projName?: string;
  readonly units?: string;
  readonly datum?: { readonly datum_type?: number };
}
const NO_DATUM_SHIFT = 5;

export const WGS84: Crs = {
  name: 'WGS 84',
  kind: 'geographic',
  toLngLat: (x, y) => [x, y],
  fromLngLat: (p) => [p[0], p[1]],
};

/** WGS84 longitude and latitude as ESRI writes it in a .prj. */
export const WGS84_PRJ =
  'GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]';

/** The codes that `--crs` takes, for remedies. */
export const KNOWN_CODES =
  'EPSG:4326 (WGS 84), 4269 (NAD83), 4258 (ETRS89), 3857, UTM: 326xx and 327xx (WGS 84), 269xx (NAD83), 258xx (ETRS89), 5070 (Conus Albers) and the state plane zones of NAD83';

/**
 * The system that a text names: an EPSG code (`EPSG:32615`, `32615`, the URN that GeoJSON of 2008 carried) or the text
 * of a .prj (ESRI or OGC well-known text, version 1 or 2; the horizontal part of a compound one).
 * NAD83, ETRS89 and the like are taken for WGS84, which holds to about 2 m.
 *
 * Problems: `crs-unknown` (a code that is not in the list), `crs-unreadable` (text that names no usable system, a local
 * grid, or degrees that are not degrees); `crs-datum` (a caution with the size of the error, no shift known).
 * Source: projections by proj4; codes by the EPSG Geodetic Parameter Dataset.
 */
export function parseCrs(text: string, file?: string): Result<Crs> {
  const trimmed = text.replace(/^\uFEFF/, '').trim();
  if (/^(urn:ogc:def:crs:)?OGC:(1\.3|2)?:?CRS84$/i.test(trimmed)) return ok(WGS84);
  const code =
    /^(?:epsg:|urn:ogc:def:crs:epsg:[\d.]*:|https?:\/\/www\.opengis\.net\/def\/crs\/epsg\/[\d.]+\/)?(\d{4,6})$/i.exec(
      trimmed,
    )?.[1];
  if (code !== undefined) return byCode(Number(code), file);
  const horizontal = horizontalPart(trimmed);
  if (horizontal === null) return fail(unreadable(file, 'it is no coordinate system text'));
  const name = prettyName(/"([^"]*)"/.exec(horizontal)?.[1] ?? '');
  const datum = /\b(?:DATUM|ENSEMBLE|TRF|GEODETICDATUM)\s*[[(]\s*"([^"]+)"/i.exec(horizontal)?.[1];
  return crsOfDefinition(horizontal, name, datum ?? 'unknown', file);
}

function byCode(code: number, file: string | undefined): Result<Crs> {
  if (code === 4326) return ok(WGS84);
  const like = LIKE_WGS84[code];
  if (like !== undefined) return ok({ ...WGS84, name: like });
  const coded = definitionOfCode(code);
  if (coded) return crsOfDefinition(coded.definition, coded.name, coded.datum, file);
  return fail(
    stop(
      'crs-unknown',
      `The coordinate system EPSG:${code} is not in the list that is known by number.`,
      `Give the text of a .prj, or one of ${KNOWN_CODES}.`,
      file === undefined ? undefined : { file },
    ),
  );
}

/**
 * The system of a definition that proj4 takes, under a name for people. `datum` decides whether positions count as WGS84.
 * Problems: `crs-unreadable`; caution `crs-datum`.
 */
export function crsOfDefinition(
  definition: string,
  name: string,
  datum: string,
  file: string | undefined,
): Result<Crs> {
  let forward: (p: [number, number]) => [number, number];
  let inverse: (p: [number, number]) => [number, number];
  let about: Definition;
  try {
    const converter = proj4(definition);
    forward = (p) => converter.forward(p);
    inverse = (p) => converter.inverse(p);
    // The library's types leave out the object that it returns beside the two functions.
    about = (converter as unknown as { readonly oProj: Definition }).oProj;
  } catch (error) {
    return fail(unreadable(file, error instanceof Error ? error.message : String(error)));
  }
  if (about.projName === 'identity') return fail(unreadable(file, 'it is a local grid that is not tied to the earth'));
  const kind = about.projName === 'longlat' ? 'geographic' : 'projected';
  if (kind === 'geographic' && about.units !== undefined && !/^deg/i.test(about.units))
    return fail(unreadable(file, `its angles are in ${about.units}, not degrees`));
  const shifts = (about.datum?.datum_type ?? NO_DATUM_SHIFT) < 4;
  const problem = datumProblem(datum, shifts, file);
  const plain = kind === 'geographic' && !shifts && !/PRIMEM\["(?!Greenwich)/i.test(definition);
  const crs: Crs = plain
    ? { ...WGS84, name }
    : {
        name,
        kind,
        toLngLat: (x, y) => {
          const [lng, lat] = convert(inverse, x, y);
          return [lng, lat];
        },
        fromLngLat: (p) => convert(forward, p[0], p[1]),
      };
  if (!Number.isFinite(crs.toLngLat(0, 0)[0]) && !Number.isFinite(crs.fromLngLat([-90, 45])[0]))
    return fail(unreadable(file, 'its parameters give no position'));
  return ok(crs, problem ? [problem] : []);
}

/** The library throws for some places and gives NaN for others: one way is enough. */
function convert(run: (p: [number, number]) => [number, number], x: number, y: number): [number, number] {
  try {
    return run([x, y]);
  } catch {
    return [Number.NaN, Number.NaN];
  }
}

/** The projected or geographic part of well-known text, or null where there is none. */
function horizontalPart(text: string): string | null {
  const start =
    /\b(?:PROJCS|PROJCRS|PROJECTEDCRS)\s*[[(]/i.exec(text) ??
    /\b(?:GEOGCS|GEOGCRS|GEODCRS|GEODETICCRS|GEOGRAPHICCRS)\s*[[(]/i.exec(text);
  if (!start) return null;
  let depth = 0;
  let quoted = false;
  for (let i = start.index; i < text.length; i++) {
    const char = text[i];
    if (char === '"') quoted = !quoted;
    if (quoted) continue;
    if (char === '[' || char === '(') depth++;
    if ((char === ']' || char === ')') && --depth === 0) return text.slice(start.index, i + 1);
  }
  return null;
}

/** `NAD_1983_UTM_Zone_15N` as people write it: `NAD83 / UTM zone 15N`. */
function prettyName(name: string): string {
  return name
    .replace(/^GCS[_ ]/, '')
    .replace(/_/g, ' ')
    .replace(/\bWGS 1984\b/, 'WGS 84')
    .replace(/\b(?:NAD 1983|North American 1983)\b/, 'NAD83')
    .replace(/\b(?:NAD 1927|North American 1927)\b/, 'NAD27')
    .replace(/\bETRS 1989\b/, 'ETRS89')
    .replace(/(?<! \/) UTM Zone /i, ' / UTM zone ');
}

function unreadable(file: string | undefined, detail: string): Problem {
  return stop(
    'crs-unreadable',
    file === undefined
      ? 'The coordinate system told cannot be read.'
      : `The coordinate system of ${file} cannot be read.`,
    `Say which it is with --crs EPSG:..., or in the window; known are ${KNOWN_CODES}.`,
    file === undefined ? undefined : { file },
    detail,
  );
}
