import { isMade, layerValues } from '../../core/layers/layer.ts';
import type { AnyLayerId, SurfacesOut } from '../../core/surfaces/types.ts';

export interface Spread {
  readonly least: number;
  readonly mean: number;
  readonly most: number;
}

const known = new WeakMap<Float64Array, Spread>();

/** Least, mean and most of a layer over the field's ground; NaN where no cell has a value. */
export function layerSpread(values: Float64Array, cover_m2: Float64Array): Spread {
  const before = known.get(values);
  if (before) return before;
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  let sum = 0;
  let ground = 0;
  for (let cell = 0; cell < values.length; cell++) {
    const value = values[cell] ?? Number.NaN;
    const cover = cover_m2[cell] ?? 0;
    if (cover === 0 || Number.isNaN(value)) continue;
    if (value < least) least = value;
    if (value > most) most = value;
    sum += value * cover;
    ground += cover;
  }
  const spread =
    ground > 0 ? { least, mean: sum / ground, most } : { least: Number.NaN, mean: Number.NaN, most: Number.NaN };
  known.set(values, spread);
  return spread;
}

/** What the worker counted of a layer, for the window's own copy of it. */
export function rememberSpread(surfaces: SurfacesOut | null, layer: string, spread: Spread): void {
  const values = surfaces && isMade(layer as AnyLayerId) ? layerValues(surfaces, layer as AnyLayerId) : null; // isMade judges it
  if (values) known.set(values, spread);
}
