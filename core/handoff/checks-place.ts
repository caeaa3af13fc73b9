import { caution, type Problem, stop } from '../base/problem.ts';
import { type Bounds, bounds } from '../geo/bounds.ts';
import type { LngLat } from '../geo/types.ts';
import type { CheckInput, Checks } from './checks.ts';

/** Beyond it nothing is grown in fields; longitudes of most fields are. */
const HIGHEST_LAT_DEG = 70;
/** How near two places must be to be the same one told differently, degrees. */
const NEAR_DEG = 0.5;
/** Where North America would lie with its sign lost: no ground that is spread in lb/ac, common knowledge. */
const MIRRORED = { west: 66, east: 125, south: 24, north: 50 } as const;

/**
 * The field in its place on the earth: a sign lost or longitude and latitude swapped puts it on another continent, and everything else still fits.
 * Problems: `handoff-place` (at 0, 0; beyond 70 degrees of latitude; or the samples lie where the field would with a sign changed or its degrees
 * swapped), caution `handoff-hemisphere` (in lb/ac, and where North America would be with a sign lost).
 */
export function placeChecks({
  ground,
  samples,
  settings,
}: Pick<CheckInput, 'ground' | 'samples'> & { readonly settings: Pick<CheckInput['settings'], 'rateUnit'> }): Checks {
  const box = bounds(ground);
  const lng = (box.west + box.east) / 2;
  const lat = (box.south + box.north) / 2;
  const here = placeText(lng, lat);
  const problems = troubles(lng, lat, samples, box, settings.rateUnit);
  return { lines: [{ what: 'The field lies at', figure: here, holds: problems.length === 0 }], problems };
}

function troubles(
  lng: number,
  lat: number,
  samples: readonly LngLat[],
  box: Bounds,
  unit: 'lb/ac' | 'kg/ha',
): Problem[] {
  const here = placeText(lng, lat);
  const remedy =
    'Check the coordinate system, the signs and the order of longitude and latitude in the files, and take them in again.';
  if (Math.abs(lat) > HIGHEST_LAT_DEG)
    return [
      stop(
        'handoff-place',
        `The field would lie at ${here}, where nothing is grown: longitude and latitude may be swapped.`,
        remedy,
      ),
    ];
  if (Math.abs(lng) < 0.1 && Math.abs(lat) < 0.1)
    return [
      stop('handoff-place', `The field would lie at ${here}, in the sea where longitude and latitude are 0.`, remedy),
    ];
  const [first] = samples;
  if (first && samples.every((at) => !isIn(at, box))) {
    const x = samples.reduce((sum, at) => sum + at[0], 0) / samples.length;
    const y = samples.reduce((sum, at) => sum + at[1], 0) / samples.length;
    const near = (a: number, b: number): boolean => Math.abs(x - a) < NEAR_DEG && Math.abs(y - b) < NEAR_DEG;
    const swapped = near(lat, lng) || near(-lat, lng) || near(lat, -lng);
    const signs = near(-lng, lat) || near(lng, -lat) || near(-lng, -lat);
    if (swapped || signs) {
      const how = swapped ? 'with longitude and latitude swapped' : 'with a sign changed';
      return [
        stop(
          'handoff-place',
          `The samples lie at ${placeText(x, y)} and the field at ${here}: the same place ${how}.`,
          remedy,
        ),
      ];
    }
  }
  const east = lng >= MIRRORED.west && lng <= MIRRORED.east && lat >= MIRRORED.south && lat <= MIRRORED.north;
  const south = -lng >= MIRRORED.west && -lng <= MIRRORED.east && -lat >= MIRRORED.south && -lat <= MIRRORED.north;
  if (unit === 'lb/ac' && (east || south)) {
    const message = `The field lies at ${here} and is to be spread in lb/ac: in North America ${east ? 'longitudes are west' : 'latitudes are north'}, so a sign may be lost.`;
    return [caution('handoff-hemisphere', message, `${remedy} If the field is there, choose kg/ha or go on.`)];
  }
  return [];
}

const isIn = ([x, y]: LngLat, { west, south, east, north }: Bounds): boolean =>
  x >= west - NEAR_DEG && x <= east + NEAR_DEG && y >= south - NEAR_DEG && y <= north + NEAR_DEG;

const placeText = (lng: number, lat: number): string =>
  `${Math.abs(lat).toFixed(4)}° ${lat < 0 ? 'S' : 'N'}, ${Math.abs(lng).toFixed(4)}° ${lng < 0 ? 'W' : 'E'}`;
