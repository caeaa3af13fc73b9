import {
  type AnyLayerId,
  LAYER_IDS,
  LAYER_NAMES,
  type LayerId,
  type OwnLayer,
  type SurfacesOut,
} from '../surfaces/types.ts';

/** What a layer is called, and how its values are written. */
export interface LayerWords {
  readonly name: string;
  /** Empty where it has none. */
  readonly unit: string;
  readonly decimals: number;
}

const ownLayer = (surfaces: Pick<SurfacesOut, 'own'>, id: AnyLayerId): OwnLayer | undefined =>
  surfaces.own.find((layer) => layer.id === id);

/** Whether a layer is made from the soil test; the others are brought along. */
export const isMade = (id: AnyLayerId): id is LayerId => (LAYER_IDS as readonly string[]).includes(id);

/** Values of a layer, measured or brought along, in cell order; null where these surfaces do not have it. */
export function layerValues(surfaces: Pick<SurfacesOut, 'layers' | 'own'>, id: AnyLayerId): Float64Array | null {
  return (isMade(id) ? surfaces.layers[id] : ownLayer(surfaces, id)?.values) ?? null;
}

/** What a layer is called, its unit and the decimals that it is shown with. One that is not here is called by its id. */
export function layerName(surfaces: Pick<SurfacesOut, 'own'>, id: AnyLayerId): LayerWords {
  if (isMade(id)) return LAYER_NAMES[id];
  const own = ownLayer(surfaces, id);
  return own
    ? { name: own.name, unit: own.unit, decimals: own.decimals }
    : { name: id.replace(/^own\./, ''), unit: '', decimals: 1 };
}

/** Layers that these surfaces have: the soil test's in their own order, then those brought along in the plan's. */
export function layersOf(surfaces: Pick<SurfacesOut, 'layers' | 'own'>): readonly AnyLayerId[] {
  return [...LAYER_IDS.filter((id) => surfaces.layers[id] !== undefined), ...surfaces.own.map((layer) => layer.id)];
}
