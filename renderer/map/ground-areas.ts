import { useEffect, useMemo } from 'react';
import { widestSpot } from '../../core/geo/spot.ts';
import type { LngLat } from '../../core/geo/types.ts';
import { collection, NOTHING, polygonFeature } from './geojson.ts';
import type { GroundArea } from './props.ts';
import type { FieldView } from './view.ts';

/** Puts the areas on the map and gives their names with the places where they stand. */
export function useGroundAreas(
  view: FieldView | null,
  areas: readonly GroundArea[],
): readonly { readonly at: LngLat; readonly name: string; readonly chosen: boolean }[] {
  useEffect(() => {
    view?.put(
      'areas',
      areas.length === 0
        ? NOTHING
        : collection(...areas.map(({ polygons, chosen }) => polygonFeature(polygons, { chosen: chosen ? 1 : 0 }))),
    );
  }, [view, areas]);
  return useMemo(
    () => areas.map(({ polygons, name, chosen }) => ({ at: widestSpot(polygons), name, chosen })),
    [areas],
  );
}
