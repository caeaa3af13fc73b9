import { isMade, type LayerWords, layerName, layerValues } from '../../core/layers/layer.ts';
import type { AnyLayerId, SurfacesOut } from '../../core/surfaces/types.ts';
import { ownRamp, RAMPS, type Ramp } from './ramps.ts';

/** One layer of the surfaces as it is shown: named, measured, coloured. */
export interface ShownLayer extends LayerWords {
  readonly id: AnyLayerId;
  /** In cell order; NaN where nothing is known. */
  readonly values: Float64Array;
  readonly ramp: Ramp;
}

/** The layer of that id; null where the surfaces do not hold it. */
export function shownLayer(surfaces: SurfacesOut | null, id: AnyLayerId): ShownLayer | null {
  const values = surfaces && layerValues(surfaces, id);
  if (!values) return null;
  const { name, unit, decimals } = layerName(surfaces, id);
  return { id, name, unit, decimals, values, ramp: isMade(id) ? RAMPS[id] : ownRamp(values, surfaces.grid.cover_m2) };
}

/** `Potassium, ppm`. */
export const nameWithUnit = ({ name, unit }: Pick<LayerWords, 'name' | 'unit'>): string =>
  unit === '' ? name : `${name}, ${unit}`;
