import { M2_PER_ACRE } from '../../core/base/units.ts';
import { widestSpot } from '../../core/geo/spot.ts';
import type { LngLat, MultiPolygon } from '../../core/geo/types.ts';
import type { OpenedPrescription } from '../../core/handoff/back/types.ts';
import { collection, type FeatureCollection, lineFeature, NOTHING, polygonFeature } from './geojson.ts';
import type { PaintedValues } from './painted.ts';
import { type ClassAreas, classAreas, colourOf, RAMPS } from './ramps.ts';

/** A prescription as a file has it, ready to be drawn. */
export interface OpenedOnMap {
  /** Of the file. */
  readonly name: string;
  readonly fills: FeatureCollection;
  /** Records without a rate, and ground of the plan that no record has. */
  readonly unrated: FeatureCollection;
  /** Of a few large pieces, drawn as zones are; of many, drawn as cells are. One of the two is empty. */
  readonly outlines: FeatureCollection;
  readonly edges: FeatureCollection;
  readonly areas: ClassAreas;
  /** Ascending. */
  readonly rates: OpenedPrescription['rates'];
  readonly labels: readonly OpenedLabel[];
  /** Opened less planned; null where there is no plan to compare with. */
  readonly less: PaintedValues | null;
}
/** What the comparison with a plan adds. */
export interface OpenedLess {
  readonly picture: PaintedValues;
  readonly planOnly: MultiPolygon;
}
export interface OpenedLabel {
  readonly key: string;
  readonly rate_lbPerAc: number;
  readonly acres: number;
  readonly spot: LngLat;
}

/** Up to so many pieces are outlined as zones are; past the second number outlines would hide the colours between them. */
const FEW = 300;
const MOST_OUTLINED = 20_000;
const MOST_LABELLED = 60;

/**
 * A rate as it is classed and written: what 50 lb/ac becomes in kg/ha or mg/m2 and back, 49.998, is 50 again. Two decimals are finer than any
 * file's own figures need.
 */
export const classedRate = (rate_lbPerAc: number): number => Math.round(rate_lbPerAc * 100) / 100;

/** Polygons gathered by colour, so that a file of many thousands is a few shapes to draw. */
export function openedOnMap(opened: OpenedPrescription, back: OpenedLess | null): OpenedOnMap {
  const { pieces } = opened;
  const byColour = new Map<string, MultiPolygon[number][]>();
  const unrated: MultiPolygon[number][] = [...(back?.planOnly ?? [])];
  for (const { polygons, rate_lbPerAc } of pieces) {
    const colour = colourOf(RAMPS.rate, classedRate(rate_lbPerAc));
    const into = colour === null ? unrated : (byColour.get(colour) ?? []);
    for (const polygon of polygons) into.push(polygon);
    if (colour !== null) byColour.set(colour, into);
  }
  const lines =
    pieces.length <= MOST_OUTLINED
      ? collection(lineFeature(pieces.flatMap(({ polygons }) => polygons.flat())))
      : NOTHING;
  const rated = pieces.filter(({ rate_lbPerAc }) => !Number.isNaN(rate_lbPerAc));
  return {
    name: opened.name,
    fills: collection(...[...byColour].map(([colour, polygons]) => polygonFeature(polygons, { colour }))),
    unrated: unrated.length > 0 ? collection(polygonFeature(unrated)) : NOTHING,
    outlines: pieces.length <= FEW ? lines : NOTHING,
    edges: pieces.length <= FEW ? NOTHING : lines,
    areas: classAreas(
      RAMPS.rate,
      pieces.map(({ rate_lbPerAc }) => classedRate(rate_lbPerAc)),
      pieces.map(({ acres }) => acres * M2_PER_ACRE),
    ),
    rates: opened.rates,
    labels: (rated.length <= MOST_LABELLED ? rated : []).map(({ row, rate_lbPerAc, acres, polygons }) => ({
      key: String(row),
      rate_lbPerAc,
      acres,
      spot: widestSpot(polygons),
    })),
    less: back?.picture ?? null,
  };
}
