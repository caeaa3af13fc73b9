import { caution, note, type Problem } from '../base/problem.ts';
import { M_PER_FT, M2_PER_ACRE } from '../base/units.ts';
import { toLocal } from '../geo/frame.ts';
import { cellCentre } from '../geo/lattice.ts';
import type { FieldGrid, LngLat } from '../geo/types.ts';
import { convexHull, markOutside } from './hull.kernel.ts';
import type { SurfacesSettings } from './settings.ts';
import type { SampleDensity } from './types.ts';

/** Acres that one sample usually stands for, for variable rate: one a 330 ft square. Usual in extension manuals on grid sampling. */
export const USUAL_AC = 2.5;
/** A field whose edge cuts its grid comes out a little above the usual without being sampled more sparsely. Ours. */
const ABOVE_USUAL = 1.1;
/** Ground outside the samples is worth a word from here on. Ours. */
const OUTSIDE_AC = 1;
/** Ground that is far from a sample is said from here on. Ours. */
const FAR_AC = 0.05;
/** Ground without a value is said however little it is; below this a hundredth of an acre would read 0.00. */
const WITHOUT_AC = 0.005;

/** Places in the grid's flat frame, in metres. */
export function localPlaces(
  grid: FieldGrid,
  places: readonly LngLat[],
): { readonly x: Float64Array; readonly y: Float64Array } {
  const local = places.map((place) => toLocal(grid.frame, place));
  return { x: Float64Array.from(local, ([x]) => x), y: Float64Array.from(local, ([, y]) => y) };
}

/** Centre of cell (0, 0) and the steps of columns and rows, in the grid's flat frame. */
export function gridPlace({ lattice, frame }: FieldGrid): {
  readonly x0: number;
  readonly y0: number;
  readonly dx: number;
  readonly dy: number;
} {
  const [x0, y0] = toLocal(frame, cellCentre(lattice, 0));
  return { x0, y0, dx: lattice.dLng_deg * frame.mPerDegLng, dy: lattice.dLat_deg * frame.mPerDegLat };
}

/** Acres of ground of the cells that a rule takes. */
export function acresWhere(grid: FieldGrid, takes: (cell: number) => boolean): number {
  const { cover_m2 } = grid;
  let some_m2 = 0;
  for (let cell = 0; cell < cover_m2.length; cell++) {
    const ground_m2 = cover_m2[cell] ?? 0;
    if (ground_m2 > 0 && takes(cell)) some_m2 += ground_m2;
  }
  return some_m2 / M2_PER_ACRE;
}

/**
 * How closely the field was sampled: spreadable acres a sample, and the cell that lies farthest from any sample, of those at least half of
 * which is ground (of any with ground where there is none such); the first of equals.
 */
export function densityOf(grid: FieldGrid, samples: number, nearest_m: Float32Array): SampleDensity {
  const whole_m2 = grid.cell_m * grid.cell_m;
  const acres = acresWhere(grid, () => true);
  let cell = farthestCell(grid, nearest_m, whole_m2 / 2);
  if (cell < 0) cell = farthestCell(grid, nearest_m, 0);
  return {
    samples,
    acresPerSample: acres / samples,
    farthest: cell < 0 ? null : { at: cellCentre(grid.lattice, cell), distance_m: nearest_m[cell] ?? Number.NaN },
  };
}

function farthestCell(grid: FieldGrid, nearest_m: Float32Array, least_m2: number): number {
  let far = -1;
  let most_m = -1;
  for (let cell = 0; cell < nearest_m.length; cell++) {
    const ground_m2 = grid.cover_m2[cell] ?? 0;
    const distance_m = nearest_m[cell] ?? Number.NaN;
    if (ground_m2 === 0 || ground_m2 < least_m2 || !(distance_m > most_m)) continue;
    far = cell;
    most_m = distance_m;
  }
  return far;
}

/**
 * 1 for each cell with ground whose centre lies outside the convex hull of the samples, else 0, and its acres. There a surface is not held
 * between samples. Samples in a line have no inside but the line.
 */
export function outsideOf(
  grid: FieldGrid,
  places: readonly LngLat[],
): { readonly outsideHull: Uint8Array; readonly outsideHull_ac: number } {
  const { x, y } = localPlaces(grid, places);
  const hull = convexHull(x, y);
  const { x0, y0, dx, dy } = gridPlace(grid);
  const corners = (of: Float64Array) => Float64Array.from(hull, (i) => of[i] ?? Number.NaN);
  const outsideHull = markOutside(corners(x), corners(y), x0, y0, dx, dy, grid.lattice.cols, grid.cover_m2);
  return { outsideHull, outsideHull_ac: acresWhere(grid, (cell) => outsideHull[cell] === 1) };
}

const feet = (metres: number): string => `${Math.round(metres / M_PER_FT)} ft`;

/** `surfaces-sparse`: more acres a sample than usual, by more than a tenth. */
export function aboutDensity({ acresPerSample, farthest, samples }: SampleDensity): readonly Problem[] {
  if (acresPerSample <= USUAL_AC * ABOVE_USUAL) return [];
  return [
    note(
      'surfaces-sparse',
      `Each of the ${samples} samples stands for ${acresPerSample.toFixed(1)} ac; for variable rate ${USUAL_AC} ac (a 330 ft grid) or less is usual.`,
      farthest
        ? `Sample closer next time; the spot farthest from any sample is ${feet(farthest.distance_m)} away from one.`
        : 'Sample closer next time.',
      farthest ? { lngLat: farthest.at } : undefined,
    ),
  ];
}

/** `surfaces-outside-hull`: an acre or more lies outside the samples. */
export function aboutOutside(outsideHull_ac: number): readonly Problem[] {
  if (outsideHull_ac < OUTSIDE_AC) return [];
  return [
    note(
      'surfaces-outside-hull',
      `${outsideHull_ac.toFixed(1)} ac lie outside the outline of the samples: values there are carried out from the nearest ones.`,
      'Nothing to do along the edge of an even grid; where the map marks more than that, add samples there.',
    ),
  ];
}

/** `surfaces-far`: ground farther than `far_m` from its nearest sample. */
export function aboutFar(far_ac: number, { far_m }: Pick<SurfacesSettings, 'far_m'>): readonly Problem[] {
  if (far_ac < FAR_AC) return [];
  return [
    caution(
      'surfaces-far',
      `${far_ac.toFixed(1)} ac lie farther than ${far_m} m (${feet(far_m)}) from any sample.`,
      'Add samples there, or set a hand rate; the map hatches this ground.',
      { setting: 'surfaces.far_m' },
    ),
  ];
}

/** `surfaces-radius`: ground without a value, since no sample lies in the radius. */
export function aboutRadius(
  without_ac: number,
  radius_m: number,
  names: readonly string[],
  setting: string,
): readonly Problem[] {
  if (without_ac < WITHOUT_AC) return [];
  return [
    caution(
      'surfaces-radius',
      `${without_ac.toFixed(2)} ac have no sample within ${radius_m} m (${feet(radius_m)}) and so no value of ${listed(names)}.`,
      'Widen the radius, or add samples there; until then no rate that needs these values is given on that ground.',
      { setting },
    ),
  ];
}

/** `A, B and C`. */
export const listed = (names: readonly string[]): string =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`;
