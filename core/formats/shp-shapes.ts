/// <reference path="./shpjs.d.ts" />
import { parseShp } from 'shpjs';
import type { ShapeKind, ShpWalk } from './shp-walk.ts';

export type RawPosition = readonly [number, number];

/** A shape as the file has it: its own coordinates, rings in file order, nothing judged. */
export interface RawShape {
  readonly kind: ShapeKind;
  /** One list for points, one per line or ring otherwise. */
  readonly parts: readonly (readonly RawPosition[])[];
}

const PLAIN_TYPE: Record<ShapeKind, number> = { point: 1, line: 3, polygon: 3, multipoint: 8 };

/**
 * Shapes of a .shp that `walkShp` found sound, in file order; null for a null shape.
 *
 * shpjs reads them. Rings are asked for as lines: its own way of making polygons loses a ring that winds the other way
 * and gives a hole to the first part whose box holds it, so that is done in rings.ts. Heights and measures are not
 * asked for either, since it reads those of a one-point multipoint from the wrong place.
 */
export function readShapes(bytes: Uint8Array, walk: ShpWalk): readonly (RawShape | null)[] {
  const { kind } = walk;
  if (kind === null) return walk.records.map(() => null);
  const copy = bytes.slice(0, walk.end);
  const view = new DataView(copy.buffer, copy.byteOffset, copy.byteLength);
  view.setInt32(32, PLAIN_TYPE[kind], true);
  const shapes = parseShp(view).map((shape) => (shape === null ? null : { kind, parts: partsOf(shape) }));
  if (shapes.length !== walk.records.length)
    throw new Error(`readShapes: ${shapes.length} shapes of ${walk.records.length} records`);
  return shapes;
}

function partsOf(shape: NonNullable<ReturnType<typeof parseShp>[number]>): readonly (readonly RawPosition[])[] {
  switch (shape.type) {
    case 'Point':
      return [[shape.coordinates]];
    case 'MultiPoint':
    case 'LineString':
      return [shape.coordinates];
    case 'MultiLineString':
      return shape.coordinates;
  }
}
