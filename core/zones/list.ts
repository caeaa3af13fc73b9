import { M2_PER_ACRE, toAcres } from '../base/units.ts';
import type { Dataset } from '../formats/types.ts';
import { area_m2 } from '../geo/area.ts';
import { contains } from '../geo/contains.ts';
import { cellAt } from '../geo/lattice.ts';
import { widestSpot } from '../geo/spot.ts';
import { spreadLabels } from '../geo/spread.kernel.ts';
import type { MultiPolygon } from '../geo/types.ts';
import { layersOf, layerValues } from '../layers/layer.ts';
import type { SoilOut } from '../soil/types.ts';
import type { AnyLayerId, SurfacesOut } from '../surfaces/types.ts';
import type { BreakTargets } from './breaks.ts';
import { UNKNOWN_KEY, type ZoneClass } from './classify.ts';
import type { ZonesSettings } from './settings.ts';
import { statsByLabel } from './stats.kernel.ts';
import type { Zone, ZoneStat } from './types.ts';
import { letterOf } from './words.ts';

export interface ZonesInput {
  /** All layers, the K2O need among them. */
  readonly surfaces: SurfacesOut;
  readonly soil: SoilOut;
  readonly ground: MultiPolygon;
  readonly settings: ZonesSettings;
  /** Floors and range of the plan, for class limits and the balance classes. */
  readonly targets: BreakTargets;
  /** The file of zone polygons, where the method wants one. */
  readonly polygons: Dataset | null;
  /** Ground farther than this from its nearest sample counts as far. */
  readonly far_m: number;
}

/**
 * The zones that have an outline, numbered from 1 in class order (ground without a class last), and the raster with those numbers. Acres are those of the
 * polygons, since they are what goes out; stats are those of the cells. A sample on a border counts for the zone of its cell.
 */
export function listZones(
  input: ZonesInput,
  classLabels: Int16Array,
  classes: readonly ZoneClass[],
  outlines: ReadonlyMap<number, MultiPolygon>,
): { readonly labels: Int16Array; readonly zones: readonly Zone[] } {
  const { surfaces, settings } = input;
  const numbered = classes.map((one, index) => ({ ...one, classLabel: index + 1 }));
  const ordered = [
    ...numbered.filter(({ key }) => key !== UNKNOWN_KEY),
    ...numbered.filter(({ key }) => key === UNKNOWN_KEY),
  ];
  const drawn = ordered.flatMap(({ key, name, what, classLabel }) => {
    const polygons = outlines.get(classLabel);
    return polygons ? [{ key, name: settings.names[key] ?? name, what, classLabel, polygons }] : [];
  });
  const spreadable_m2 = surfaces.grid.cover_m2.reduce((sum, cover) => sum + cover, 0);
  const labels = renumber(
    classLabels,
    drawn.map(({ classLabel }) => classLabel),
    surfaces,
  );
  const stats = statsOf(surfaces, labels, drawn.length);
  const samples = countSamples(
    input.soil,
    surfaces,
    labels,
    drawn.map(({ polygons }) => polygons),
  );
  const far_m2 = new Float64Array(drawn.length + 1);
  labels.forEach((label, cell) => {
    if ((surfaces.nearest_m[cell] ?? 0) > input.far_m) far_m2[label] = (far_m2[label] ?? 0) + coverOf(surfaces, cell);
  });
  const zones = drawn.map(({ key, name, what, polygons }, index): Zone => {
    const label = index + 1;
    const spot = widestSpot(polygons);
    return {
      key,
      letter: letterOf(index),
      name,
      what,
      label,
      acres: toAcres(area_m2(polygons)),
      polygons,
      spot,
      otherSpots: worthALetter(polygons)
        .map((part) => widestSpot([part]))
        .filter((other) => other[0] !== spot[0] || other[1] !== spot[1]),
      samples: samples[index] ?? 0,
      far_ac: (far_m2[label] ?? 0) / M2_PER_ACRE,
      share: area_m2(polygons) / spreadable_m2,
      role: settings.roles[key] ?? 'spread',
      stats: stats[label] ?? {},
    };
  });
  return { labels, zones };
}

/** Acres from which a part of a zone carries the letter. */
const LETTERED_AC = 0.5;
const worthALetter = (polygons: MultiPolygon): MultiPolygon =>
  polygons.filter((part) => toAcres(area_m2([part])) >= LETTERED_AC);

const coverOf = (surfaces: SurfacesOut, cell: number): number => surfaces.grid.cover_m2[cell] ?? 0;

/**
 * From numbers of classes to those of the zones listed. Cells of a class that lost its last bit of ground as a sliver take
 * the number of the nearest cell that kept its own.
 */
function renumber(classLabels: Int16Array, listed: readonly number[], surfaces: SurfacesOut): Int16Array {
  const { lattice, cover_m2 } = surfaces.grid;
  const numbers = new Map(listed.map((classLabel, index) => [classLabel, index + 1]));
  const labels = classLabels.map((label) => numbers.get(label) ?? 0);
  const isLost = (cell: number): boolean => classLabels[cell] !== 0 && labels[cell] === 0;
  if (!labels.some((_, cell) => isLost(cell))) return labels;
  const kept_m2 = cover_m2.map((cover, cell) => (isLost(cell) ? 0 : cover));
  const nearest = spreadLabels(labels, kept_m2, lattice.cols, lattice.rows);
  return labels.map((label, cell) => (isLost(cell) ? (nearest[cell] ?? 0) : label));
}

function statsOf(
  surfaces: SurfacesOut,
  labels: Int16Array,
  count: number,
): readonly Partial<Record<AnyLayerId, ZoneStat>>[] {
  const all = Array.from({ length: count + 1 }, (): Partial<Record<AnyLayerId, ZoneStat>> => ({}));
  for (const layer of layersOf(surfaces)) {
    const values = layerValues(surfaces, layer);
    if (!values) continue;
    statsByLabel(values, labels, surfaces.grid.cover_m2, count).forEach((stat, label) => {
      const own = all[label];
      if (stat && own) own[layer] = stat;
    });
  }
  return all;
}

function countSamples(
  soil: SoilOut,
  surfaces: SurfacesOut,
  labels: Int16Array,
  polygons: readonly MultiPolygon[],
): readonly number[] {
  const counts = polygons.map(() => 0);
  for (const { at } of soil.samples) {
    const likely = (labels[cellAt(surfaces.grid.lattice, at)] ?? 0) - 1;
    const isIn = (index: number): boolean => contains(polygons[index] ?? [], at);
    const zone = likely >= 0 && isIn(likely) ? likely : polygons.findIndex((_, index) => isIn(index));
    if (zone >= 0) counts[zone] = (counts[zone] ?? 0) + 1;
  }
  return counts;
}
