import type { LngLat, Polygon } from '../geo/types.ts';
import { isFlatRing, ringsAround, signedArea } from './rings.kernel.ts';

type Position = readonly [number, number];

/** Most edges looked at while sorting the rings of one record into holes and parts: a second or two of work. */
const EDGE_BUDGET = 500_000_000;

export interface Assembly {
  /** Parts, each its outer ring and then its holes, in file order; coordinates as given, rings closed, not wound yet. */
  readonly parts: readonly (readonly (readonly Position[])[])[];
  /** Rings, from 1, that have no area: they are in no part. */
  readonly flat: readonly number[];
  /** Some rings wind as their place says and others against it. */
  readonly mixedWinding: boolean;
}

/**
 * Parts and holes out of the rings of one shapefile record, by where the rings lie and not by how they wind: a ring
 * inside an even number of others is a part, inside an odd number a hole of the smallest ring round it. Writers wind
 * rings the wrong way, but where rings lie is in doubt only where they cross. Null where they are too many to sort.
 *
 * Source: what rings mean, ESRI Shapefile Technical Description (1998), page 8; the rule of nesting is ours.
 */
export function assembleRings(rings: readonly (readonly Position[])[], budget = EDGE_BUDGET): Assembly | null {
  const closed = rings.map(closeRing);
  const areas = closed.map(signedArea);
  const around = ringsAround(closed, areas, budget);
  if (!around) return null;
  const flatRings = new Set(closed.flatMap((ring, i) => (isFlatRing(ring) ? [i] : [])));
  const isFlat = (i: number): boolean => flatRings.has(i);
  const depth = (i: number): number => around[i]?.length ?? 0;
  const isHole = (i: number): boolean => depth(i) % 2 === 1;

  const parts = new Map<number, (readonly Position[])[]>();
  const flat: number[] = [];
  let asPlaced = 0;
  closed.forEach((ring, i) => {
    if (isFlat(i)) flat.push(i + 1);
    else if (!isHole(i)) parts.set(i, [ring]);
    if (!isFlat(i) && (areas[i] ?? 0) < 0 !== isHole(i)) asPlaced++;
  });
  closed.forEach((ring, i) => {
    if (isFlat(i) || !isHole(i)) return;
    // Rings that cross can leave a hole in a hole. It then stands alone, and cleaning the geometry tells of it.
    const part = parts.get(around[i]?.[0] ?? -1);
    if (part) part.push(ring);
    else parts.set(i, [ring]);
  });
  const byFile = [...parts].sort(([i], [j]) => i - j).map(([, part]) => part);
  return { parts: byFile, flat, mixedWinding: asPlaced !== 0 && asPlaced !== closed.length - flat.length };
}

/** The ring with its first position standing again at the end. */
export function closeRing<P extends Position>(ring: readonly P[]): readonly P[] {
  const first = ring[0];
  const last = ring.at(-1);
  if (!first || !last || (first[0] === last[0] && first[1] === last[1])) return ring;
  return [...ring, first];
}

/** A polygon wound as RFC 7946 says (3.1.6): outer ring counter-clockwise, holes clockwise. Rings must be closed. */
export const windPolygon = (polygon: Polygon): Polygon =>
  polygon.map((ring, i) => (signedArea(ring) < 0 === (i === 0) ? ring.toReversed() : ring));

/** A ring wound as asked. */
export const windRing = (ring: readonly LngLat[], clockwise: boolean): readonly LngLat[] =>
  signedArea(ring) < 0 === clockwise ? ring : ring.toReversed();
