import { caution, fail, ok, type Place, type Problem, type Result, stop } from '../base/problem.ts';
import { parseCrs } from '../formats/crs.ts';
import type { Dataset } from '../formats/types.ts';
import { area_m2 } from '../geo/area.ts';
import { bounds } from '../geo/bounds.ts';
import { intersection } from '../geo/clip.ts';
import { widestSpot } from '../geo/spot.ts';
import type { MultiPolygon } from '../geo/types.ts';
import { type Draft, type LabDraft, rowOf, setAside } from './drafts.ts';
import { joinPoints, readPoints } from './join.ts';
import { listProblems } from './listing.ts';
import { fileOf, type Mapping } from './mapping.ts';
import {
  distanceText,
  edgeDistance_m,
  hasPlaces,
  PLACE_FORMS,
  spotOf,
  swappedColumns,
  type ToDegrees,
  touches,
} from './places.ts';
import type { SoilInput } from './read.ts';
import { WHOLE_FIELD } from './read-problems.ts';
import type { SoilSettings } from './settings.ts';
import { pairColumn } from './text-places.ts';
import type { NearMiss, SoilSample } from './types.ts';

/** Where the places came from, beside those that the rows have now. */
export interface Placed {
  readonly pointDrafts: readonly Draft[];
  readonly nearMisses: readonly NearMiss[];
  /** The one test stands for the whole field. */
  readonly whole: boolean;
}

/**
 * Gives the rows their places, from wherever they come: points by id, the file's own shapes or columns, or the whole field for the one test
 * of a file without any. Stops: `soil-no-places`, `soil-crs-missing`, `soil-swapped`, `soil-no-join`.
 */
export function placeAll(
  { points, samples, boundary, settings }: SoilInput,
  rows: readonly LabDraft[],
  lab: Mapping,
  placing: Mapping,
): Result<Placed> {
  const source = points ?? samples;
  if (!hasPlaces(source, placing)) {
    const [only, ...others] = rows.filter((row) => !row.otherSeries);
    if (points || !only || others.length > 0)
      return fail(noPlaces(source, rows.filter((row) => !row.otherSeries).length === 1));
    only.spot = { at: widestSpot(boundary), polygons: boundary };
    return ok({ pointDrafts: [], nearMisses: [], whole: true });
  }
  const toDegrees = coordinates(source, placing, settings);
  if (!toDegrees.ok) return toDegrees;
  const exchanged = swappedColumns(boundary, source, placing, toDegrees.value);
  if (exchanged) return fail(exchanged);
  if (!points) {
    placeRows(rows, samples, lab, toDegrees.value);
    return ok({ pointDrafts: [], nearMisses: [], whole: false }, toDegrees.problems);
  }
  const pointDrafts = readPoints(points, placing, settings, toDegrees.value);
  const joined = joinPoints(rows, pointDrafts, lab, settings.sameIds);
  if (!joined.ok) return fail(...joined.problems, ...listProblems(rows.map(rowOf)));
  return ok({ pointDrafts, nearMisses: joined.value, whole: false }, toDegrees.problems);
}

function placeRows(rows: readonly LabDraft[], samples: Dataset, lab: Mapping, toDegrees: ToDegrees): void {
  for (const row of rows) {
    const spot = spotOf(row.record, samples, lab, toDegrees);
    if (typeof spot !== 'string') row.spot = spot;
    else if (!row.otherSeries)
      setAside(
        row,
        caution(
          'soil-no-place',
          `The row cannot be placed: ${spot}.`,
          samples.geometry === 'none' ? PLACE_FORMS : 'Correct its place.',
          {
            file: row.file,
            row: row.record.row,
          },
        ),
        samples.geometry === 'none' ? lab.of.get('lng')?.column : undefined,
      );
  }
}

/** Sets a row outside the field aside (`soil-outside`), unless a person keeps it. */
export function judgePlace(row: Draft, boundary: MultiPolygon): void {
  if (!row.spot || touches(boundary, row.spot)) return;
  const at: Place = { file: row.file, row: row.record.row, lngLat: [row.spot.at[0], row.spot.at[1]] };
  const away = distanceText(edgeDistance_m(boundary, row.spot.at));
  const message = `The sample lies outside the field, ${away} from its boundary`;
  if (row.decision?.keep === true)
    row.reasons.push(caution('soil-outside', `${message}, and is kept by hand.`, 'Nothing is to be done.', at));
  else
    setAside(
      row,
      caution('soil-outside', `${message}.`, 'Correct its place, or keep it by hand if it stands for this field.', at),
    );
}

/** Points and zones cannot be read together: where a usable row stands for a zone, points are set aside (`soil-point-among-zones`). */
export function judgeMixed(rows: readonly LabDraft[]): void {
  if (!rows.some((row) => !row.aside && row.spot?.polygons)) return;
  for (const row of rows)
    if (!row.aside && row.spot && !row.spot.polygons)
      setAside(
        row,
        caution(
          'soil-point-among-zones',
          'The sample is a point, and the others stand for zones.',
          'Give points and zones in files of their own, and take one of them.',
          { file: row.file, row: row.record.row },
        ),
      );
}

/** How coordinate columns become degrees. A geographic system that was told is respected; a projected one only where columns are not degrees. */
function coordinates(source: Dataset, mapping: Mapping, settings: SoilSettings): Result<ToDegrees> {
  if (source.geometry !== 'none') return ok(null);
  const degrees = mapping.of.get('lng')?.unit === 'deg';
  if (settings.crs === null) {
    if (degrees) return ok(null);
    return fail(
      stop(
        'soil-crs-missing',
        `The coordinates of ${mapping.file} are no degrees, and no coordinate system is told.`,
        'Give the coordinate system, such as EPSG:32615, or the text of its .prj.',
        { file: mapping.file, setting: 'soil.crs' },
      ),
    );
  }
  const crs = parseCrs(settings.crs, mapping.file);
  if (!crs.ok) return crs;
  return degrees && crs.value.kind === 'projected' ? ok(null) : ok(crs.value.toLngLat, crs.problems);
}

/** A caution for each two zone composites that share ground: `soil-zones-overlap`. */
export function overlaps(samples: readonly SoilSample[]): readonly Problem[] {
  const found: Problem[] = [];
  const zones = samples.flatMap((one) => (one.polygons ? [{ ...one, polygons: one.polygons }] : []));
  const boxes = zones.map(({ polygons }) => bounds(polygons));
  zones.forEach((one, index) => {
    for (let before = 0; before < index; before++) {
      const other = zones[before];
      const [a, b] = [boxes[index], boxes[before]];
      if (!other || !a || !b || a.west > b.east || b.west > a.east || a.south > b.north || b.south > a.north) continue;
      const shared_m2 = area_m2(intersection(one.polygons, other.polygons));
      // Two drawings of one line may cross by a hand's breadth: 40 m2 is a hundredth of an acre.
      if (shared_m2 < 40) continue;
      found.push(
        caution(
          'soil-zones-overlap',
          `The zones "${other.id}" and "${one.id}" share ${(shared_m2 / 4046.8564224).toFixed(2)} ac.`,
          'Correct the outlines; until then the larger share of each cell decides.',
          { file: one.file, row: one.row },
        ),
      );
    }
  });
  return found;
}

function noPlaces(source: Dataset, oneTest: boolean): Problem {
  const file = fileOf(source);
  const pair = pairColumn(source);
  return pair
    ? stop(
        'soil-no-places',
        `"${pair.column}" of ${file} holds both coordinates, as "${pair.example}", and nothing tells which is the latitude.`,
        'Name the column "Lat, Long" or "Long, Lat", or give each of the two a column of its own.',
        { file, column: pair.column },
      )
    : stop(
        'soil-no-places',
        `${file} has no shapes and no columns for longitude and latitude, so its samples have no places.`,
        oneTest ? WHOLE_FIELD : 'Add the file of sample points, or say which columns hold longitude and latitude.',
        { file },
      );
}
