import { booleanPointInPolygon } from '@turf/turf';
import type { LngLat, MultiPolygon } from './types.ts';

/**
 * Whether the place lies in the polygons, their boundary included (a sample on the fence counts), their holes not.
 * Edges are straight in lng/lat; linear in the number of positions. By @turf/turf, on the exact orientation test of
 * Hao et al., Symmetry 10(10):477, 2018.
 */
export const contains = (polygons: MultiPolygon, p: LngLat): boolean =>
  booleanPointInPolygon([...p], {
    type: 'MultiPolygon',
    // The library's types ask for arrays that may be written to; it only reads them.
    coordinates: polygons as unknown as number[][][][],
  });
