import { parseValue } from '../base/parse-value.ts';
import { type Problem, stop } from '../base/problem.ts';
import type { DataRecord, Dataset } from '../formats/types.ts';
import { intersection } from '../geo/clip.ts';
import { contains } from '../geo/contains.ts';
import { localFrame, toLocal } from '../geo/frame.ts';
import { widestSpot } from '../geo/spot.ts';
import type { LngLat, MultiPolygon } from '../geo/types.ts';
import { cellOf, type Mapping } from './mapping.ts';

/** Where a record's value stands: a point, or the ground of a zone composite and its widest spot. */
export interface Spot {
  readonly at: LngLat;
  readonly polygons?: MultiPolygon;
}
/** From coordinates of the table to degrees; null where they are degrees already. */
export type ToDegrees = ((x: number, y: number) => LngLat) | null;

/** How a place is typed so that it is read. */
export const PLACE_FORMS =
  'Type latitude and longitude as 42.7059 and -94.2241, as 42\u00b042\'21"N, or as N 42 42 21.';

/** Whether the records of a table can have places: shapes, or a column each for longitude and latitude. */
export const hasPlaces = (dataset: Dataset, mapping: Mapping): boolean =>
  dataset.geometry !== 'none' || (mapping.of.has('lng') && mapping.of.has('lat'));

/**
 * The place of a record, or why it has none, in a few words for people: from its shape, else from its coordinate columns.
 * Degrees must lie within -180 to 180 and -90 to 90.
 */
export function spotOf(record: DataRecord, dataset: Dataset, mapping: Mapping, toDegrees: ToDegrees): Spot | string {
  const { geometry } = record;
  if (geometry?.type === 'Point') return finite(geometry.at) ? { at: geometry.at } : 'its point has no coordinates';
  if (geometry?.type === 'MultiPolygon')
    return geometry.polygons.length > 0
      ? { at: widestSpot(geometry.polygons), polygons: geometry.polygons }
      : 'its polygon is empty';
  if (geometry?.type === 'Lines') return 'it is a line; a sample is a point or a polygon';
  if (dataset.geometry !== 'none') return 'it has no shape';
  const x = parseValue(cellOf(record, mapping, 'lng'), dataset.decimal);
  const y = parseValue(cellOf(record, mapping, 'lat'), dataset.decimal);
  if (x.kind !== 'number' || y.kind !== 'number') {
    const [lng, lat] = [cellOf(record, mapping, 'lng'), cellOf(record, mapping, 'lat')];
    return lng === null || lat === null
      ? 'a coordinate is blank'
      : `its coordinates "${String(lat)}" and "${String(lng)}" are no numbers`;
  }
  const at: LngLat = toDegrees ? toDegrees(x.value, y.value) : [x.value, y.value];
  if (finite(at) && Math.abs(at[0]) <= 180 && Math.abs(at[1]) <= 90) return { at };
  return `its coordinates ${x.value}, ${y.value} are no longitude and latitude`;
}

/**
 * A stop where most rows of a table have longitude and latitude exchanged: a latitude beyond 90, or a place outside the field that lies
 * inside it once exchanged. Null for files with shapes, whose order the file format says, and for coordinates in metres.
 */
export function swappedColumns(
  boundary: MultiPolygon,
  dataset: Dataset,
  mapping: Mapping,
  toDegrees: ToDegrees,
): Problem | null {
  if (dataset.geometry !== 'none' || toDegrees) return null;
  let read = 0;
  let swapped = 0;
  for (const record of dataset.records) {
    const x = parseValue(cellOf(record, mapping, 'lng'), dataset.decimal);
    const y = parseValue(cellOf(record, mapping, 'lat'), dataset.decimal);
    if (x.kind !== 'number' || y.kind !== 'number') continue;
    read++;
    if (Math.abs(x.value) > 90 || Math.abs(y.value) > 180) continue;
    const isLat = Math.abs(y.value) <= 90;
    const outside = !isLat || !contains(boundary, [x.value, y.value]);
    if (!isLat || (outside && contains(boundary, [y.value, x.value]))) swapped++;
  }
  if (swapped <= read / 2) return null;
  return stop(
    'soil-swapped',
    `${swapped} of ${read} samples of ${mapping.file} seem to have latitude and longitude exchanged.`,
    'Exchange the two columns: say of each that it is the other.',
    { file: mapping.file, column: mapping.of.get('lat')?.column ?? '' },
  );
}

const finite = (at: LngLat): boolean => Number.isFinite(at[0]) && Number.isFinite(at[1]);

/** Whether a point lies in the field, or any ground of a composite does. */
export const touches = (boundary: MultiPolygon, spot: Spot): boolean =>
  spot.polygons ? intersection(spot.polygons, boundary).length > 0 : contains(boundary, spot.at);

/** Metres from a place to the nearest edge of the polygons. Linear in their positions. */
export function edgeDistance_m(polygons: MultiPolygon, at: LngLat): number {
  const frame = localFrame(at);
  let least = Number.POSITIVE_INFINITY;
  for (const polygon of polygons)
    for (const ring of polygon) {
      let previous = ring[ring.length - 1];
      for (const here of ring) {
        if (previous) least = Math.min(least, segmentDistance(toLocal(frame, previous), toLocal(frame, here)));
        previous = here;
      }
    }
  return least;
}

/** Distance from the origin to a segment. */
function segmentDistance(a: readonly [number, number], b: readonly [number, number]): number {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const length2 = dx * dx + dy * dy;
  const t = length2 === 0 ? 0 : Math.min(1, Math.max(0, -(a[0] * dx + a[1] * dy) / length2));
  return Math.hypot(a[0] + t * dx, a[1] + t * dy);
}

/** A distance in words a person measures by: feet below a thousand, else miles. */
export function distanceText(distance_m: number): string {
  const feet = distance_m / 0.3048;
  if (feet < 1000) return `${Math.round(feet)} ft`;
  const miles = feet / 5280;
  return `${miles < 10 ? miles.toFixed(1) : Math.round(miles).toLocaleString('en-US')} miles`;
}

/**
 * A stop where samples have places and none lies in the field; null where one does or there are none. Tells how far the nearest one is,
 * and whether swapped axes or a lost minus would put them inside.
 */
export function anotherField(boundary: MultiPolygon, spots: readonly Spot[], file: string): Problem | null {
  if (spots.length === 0 || spots.some((spot) => touches(boundary, spot))) return null;
  const inside = (turn: (p: LngLat) => LngLat): boolean => spots.some(({ at }) => contains(boundary, turn(at)));
  const hint = inside(([x, y]) => [y, x])
    ? 'Longitude and latitude are swapped: swap the two columns.'
    : inside(([x, y]) => [-x, y])
      ? 'The minus of the longitude is missing: longitudes west of Greenwich are below 0.'
      : 'Check that boundary and samples are of the same field, and that both have the right coordinate system.';
  const nearest_m = spots.reduce((least, { at }) => Math.min(least, edgeDistance_m(boundary, at)), Infinity);
  return stop(
    'soil-another-field',
    `None of the ${spots.length} sample places lies in the field; the nearest is ${distanceText(nearest_m)} away.`,
    hint,
    { file },
  );
}
