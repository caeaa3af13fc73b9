import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import type { LngLat, MultiPolygon } from '../geo/types.ts';
import { findPlacing, isPlace, type PlaceQuestion, type Placing } from './place.ts';
import { boxOf, isFlatRing } from './rings.kernel.ts';
import { closeRing, windPolygon } from './rings.ts';
import { count, listed } from './say.ts';
import type { CellValue, CrsInfo, DataRecord, Dataset, Geometry } from './types.ts';

export type Position = readonly [number, number];

/** Geometry as a file has it, in its own coordinates. Polygons are parts of rings, the outer one first. */
export type RawGeometry =
  | { readonly type: 'points'; readonly points: readonly Position[] }
  | { readonly type: 'lines'; readonly lines: readonly (readonly Position[])[] }
  | { readonly type: 'polygons'; readonly polygons: readonly (readonly (readonly Position[])[])[] };

export interface RawFeature {
  readonly row: number;
  readonly geometry: RawGeometry | null;
  readonly cells: readonly CellValue[];
  /** Rings without area that the reader left out already. */
  readonly flatRings?: number;
}

export interface PlacedFeatures {
  readonly records: readonly DataRecord[];
  readonly geometry: Dataset['geometry'];
  /** Null where there is no geometry at all. */
  readonly crs: CrsInfo | null;
}

/**
 * Features with their coordinates in WGS84, rings closed and wound as RFC 7946 says. A record of several points becomes
 * as many records with the same row. Rings without area are left out, and told.
 *
 * Problems: those of `findPlacing`; `geometry-not-a-number` and `geometry-off-earth` with the first features concerned;
 * cautions `geometry-flat`, `geometry-several-points` and `geometry-none` (features without any geometry).
 */
export function placeFeatures(
  features: readonly RawFeature[],
  question: Omit<PlaceQuestion, 'extent'>,
): Result<PlacedFeatures> {
  const { file } = question;
  const box = [Infinity, Infinity, -Infinity, -Infinity] satisfies [number, number, number, number];
  const notNumbers: number[] = [];
  for (const feature of features) {
    let sound = true;
    for (const path of paths(feature.geometry)) {
      const [west, south, east, north] = boxOf(path);
      if (path.some((p) => !Number.isFinite(p[0]) || !Number.isFinite(p[1]))) sound = false;
      box[0] = Math.min(box[0], west);
      box[1] = Math.min(box[1], south);
      box[2] = Math.max(box[2], east);
      box[3] = Math.max(box[3], north);
    }
    if (!sound) notNumbers.push(feature.row);
  }
  if (notNumbers.length > 0) {
    return fail(
      stop(
        'geometry-not-a-number',
        `${file} has coordinates that are not numbers, in ${listed('feature', notNumbers)}.`,
        'Export the file again, or mend these features in the program that wrote it.',
        { file, ...(notNumbers[0] === undefined ? {} : { feature: notNumbers[0] }) },
      ),
    );
  }
  if (box[0] === Infinity) return ok({ records: features.map(bare), geometry: 'none', crs: null });
  const placing = findPlacing({ ...question, extent: box });
  return placing.ok ? place(features, placing.value, placing.problems, file) : placing;
}

const bare = ({ row, cells }: RawFeature): DataRecord => ({ row, geometry: null, cells });

function place(
  features: readonly RawFeature[],
  placing: Placing,
  before: readonly Problem[],
  file: string,
): Result<PlacedFeatures> {
  const records: DataRecord[] = [];
  const kinds = new Set<'point' | 'polygon' | 'line'>();
  const offEarth: number[] = [];
  const flat: number[] = [];
  const several: number[] = [];
  const none: number[] = [];
  for (const feature of features) {
    const { row, cells, geometry: raw } = feature;
    const made = raw === null ? { geometries: [], flatRings: 0 } : convert(raw, placing.toLngLat);
    if (made === null) {
      offEarth.push(row);
      continue;
    }
    if (made.flatRings + (feature.flatRings ?? 0) > 0) flat.push(row);
    if (made.geometries.length > 1) several.push(row);
    if (made.geometries.length === 0) {
      none.push(row);
      records.push({ row, geometry: null, cells });
    }
    for (const geometry of made.geometries) {
      kinds.add(geometry.type === 'Point' ? 'point' : geometry.type === 'Lines' ? 'line' : 'polygon');
      records.push({ row, geometry, cells });
    }
  }
  if (offEarth.length > 0) {
    return fail(
      ...before,
      stop(
        'geometry-off-earth',
        `${file} has places that ${placing.info.name} cannot have, in ${listed('feature', offEarth)}.`,
        'Check that the coordinate system is the right one.',
        { file, ...(offEarth[0] === undefined ? {} : { feature: offEarth[0] }) },
      ),
    );
  }
  const [kind] = kinds;
  return ok({ records, geometry: kinds.size > 1 ? 'mixed' : (kind ?? 'none'), crs: placing.info }, [
    ...before,
    ...cautions(file, flat, several, none),
  ]);
}

function cautions(
  file: string,
  flat: readonly number[],
  several: readonly number[],
  none: readonly number[],
): Problem[] {
  const found: Problem[] = [];
  const at = (rows: readonly number[]) => ({ file, ...(rows[0] === undefined ? {} : { feature: rows[0] }) });
  if (flat.length > 0)
    found.push(
      caution(
        'geometry-flat',
        `${file} has rings without any area, in ${listed('feature', flat)}; these rings are left out.`,
        'Nothing to do if the shape looks right on the map.',
        at(flat),
      ),
    );
  if (several.length > 0)
    found.push(
      caution(
        'geometry-several-points',
        `${file} has several points in one record, in ${listed('feature', several)}; each is read as a record of its own.`,
        'Check that the values belong to each of the points.',
        at(several),
      ),
    );
  if (none.length > 0)
    found.push(
      caution(
        'geometry-none',
        `${count(none.length, 'record')} of ${file} without geometry: ${listed('feature', none)}.`,
        'Check that nothing is missing on the map.',
        at(none),
      ),
    );
  return found;
}

/** What one feature becomes; null where a coordinate has no place on earth. */
function convert(
  raw: RawGeometry,
  toLngLat: Placing['toLngLat'],
): { readonly geometries: readonly Geometry[]; readonly flatRings: number } | null {
  let sound = true;
  const move = (p: Position): LngLat => {
    const moved = toLngLat(p[0], p[1]);
    if (!isPlace(moved)) sound = false;
    return moved;
  };
  let flatRings = 0;
  let geometries: readonly Geometry[];
  if (raw.type === 'points') geometries = raw.points.map((p): Geometry => ({ type: 'Point', at: move(p) }));
  else if (raw.type === 'lines') {
    const lines = raw.lines.filter((line) => line.length > 0).map((line) => line.map(move));
    geometries = lines.length === 0 ? [] : [{ type: 'Lines', lines }];
  } else {
    const polygons: MultiPolygon = raw.polygons.flatMap((part) => {
      const rings = part.map((ring) => closeRing(ring).map(move));
      const solid = rings.filter((ring) => !isFlatRing(ring));
      flatRings += rings.length - solid.length;
      return rings[0] !== undefined && rings[0] === solid[0] ? [windPolygon(solid)] : [];
    });
    geometries = polygons.length === 0 ? [] : [{ type: 'MultiPolygon', polygons }];
  }
  return sound ? { geometries, flatRings } : null;
}

function* paths(geometry: RawGeometry | null): Generator<readonly Position[]> {
  if (geometry === null) return;
  if (geometry.type === 'points') yield geometry.points;
  else if (geometry.type === 'lines') yield* geometry.lines;
  else for (const part of geometry.polygons) yield* part;
}
