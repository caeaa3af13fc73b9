import type { FieldGrid, Lattice } from '../../core/geo/types.ts';
import type { BackComparison } from '../../core/handoff/back/compare.ts';
import type { AnyLayerId, SurfacesOut } from '../../core/surfaces/types.ts';
import { shownLayer } from './layer-of.ts';
import { paintSurface, pixelsPerCell } from './picture.kernel.ts';
import { type ClassAreas, classAreas, DIFFERENCE_RAMP, type Ramp } from './ramps.ts';

/** A layer ready to be shown: its picture over a whole lattice, the ground in each class, its colours. Made in the worker. */
export interface PaintedLayer {
  readonly layer: AnyLayerId;
  readonly width: number;
  readonly height: number;
  /** The cells that the picture lies over. */
  readonly lattice: Lattice;
  readonly rgba: Uint8ClampedArray<ArrayBuffer>;
  readonly areas: ClassAreas;
  readonly ramp: Ramp;
}

/** The layer as it stands in the surfaces; null where they do not hold it. Cost: cells and pixels. */
export function paintLayer(surfaces: SurfacesOut, layer: AnyLayerId): PaintedLayer | null {
  const shown = shownLayer(surfaces, layer);
  return shown && painted(layer, shown.values, surfaces.grid, shown.ramp, pixelsPerCell(surfaces.grid.lattice));
}

/** Longer side of a draft's picture, so that it is on the map before the hand has moved on. */
const DRAFT_SIDE_PX = 400;

/** Values of a draft on a grid of its own, in the colours of the layer whose place they take. */
export function paintDraft(
  surfaces: SurfacesOut,
  layer: AnyLayerId,
  values: Float64Array,
  grid: FieldGrid,
): PaintedLayer | null {
  const shown = shownLayer(surfaces, layer);
  return shown && painted(layer, values, grid, shown.ramp, pixelsPerCell(grid.lattice, DRAFT_SIDE_PX, DRAFT_SIDE_PX));
}

/** The same of values that are no layer of the surfaces. */
export type PaintedValues = Omit<PaintedLayer, 'layer'>;

/** Differences of rates at points, lb/ac, NaN where there is none: a pixel each, so that no colour runs over an edge. */
export function paintDifference({ lattice, difference_lbPerAc, ground_m2 }: BackComparison['points']): PaintedValues {
  const values = Float64Array.from(difference_lbPerAc);
  return paintValues(values, { lattice, cover_m2: ground_m2 }, DIFFERENCE_RAMP, Math.min(1, pixelsPerCell(lattice)));
}

const painted = (
  layer: AnyLayerId,
  values: Float64Array,
  grid: FieldGrid,
  ramp: Ramp,
  perCell: number,
): PaintedLayer => ({ layer, ...paintValues(values, grid, ramp, perCell) });

function paintValues(
  values: Float64Array,
  { lattice, cover_m2 }: Pick<FieldGrid, 'lattice' | 'cover_m2'>,
  ramp: Ramp,
  perCell: number,
): PaintedValues {
  const { width, height, rgba } = paintSurface(values, cover_m2, lattice, ramp, perCell);
  return { lattice, width, height, rgba, areas: classAreas(ramp, values, cover_m2), ramp };
}
