import { type Bounds, bounds } from '../../core/geo/bounds.ts';
import { difference, union } from '../../core/geo/clip.ts';
import { contains } from '../../core/geo/contains.ts';
import { outlineLabels } from '../../core/geo/outline.ts';
import type { LngLat, MultiPolygon, Ring } from '../../core/geo/types.ts';
import type { FieldOut, PlanOut } from '../../core/pipeline/types.ts';
import type { SurfacesOut } from '../../core/surfaces/types.ts';
import { type ZoneArcs, zoneArcs } from './arcs.ts';

export interface GroundShapes {
  readonly box: Bounds;
  /** The outer edges alone, each part filled. */
  readonly whole: MultiPolygon;
  readonly spreadable: MultiPolygon;
  /** All that lies inside the outer edges and is not to be spread: holes of the boundary and keep-outs. */
  readonly keepOut: MultiPolygon;
  /** The country around the field: drawn over the surface in the page's colour, so that the field's edge is true. */
  readonly mask: MultiPolygon;
}

/** Degrees that the mask reaches past the field: more than any lattice does. */
const MASK_DEG = 0.05;

export function groundShapes(field: FieldOut): GroundShapes {
  const whole = union(
    field.boundary.map((polygon) => polygon.slice(0, 1)),
    [],
  );
  const box = bounds(whole);
  const around: Ring = [
    [box.west - MASK_DEG, box.south - MASK_DEG],
    [box.east + MASK_DEG, box.south - MASK_DEG],
    [box.east + MASK_DEG, box.north + MASK_DEG],
    [box.west - MASK_DEG, box.north + MASK_DEG],
    [box.west - MASK_DEG, box.south - MASK_DEG],
  ];
  return {
    box,
    whole,
    spreadable: field.spreadable,
    keepOut: difference(whole, field.spreadable),
    mask: difference([[around]], whole),
  };
}

/** Ground that the samples say little about, outlined on the lattice and cut to the field. */
export interface DoubtShapes {
  /** Its nearest sample is farther than the plan's `far_m`. */
  readonly far: MultiPolygon;
  /** Outside the convex hull of the samples: nothing there lies between two of them. */
  readonly outside: MultiPolygon;
}

/** Shapes of one result that the map draws. */
export interface MapShapes extends DoubtShapes {
  /** Null where there are no zones. */
  readonly arcs: ZoneArcs | null;
}
export const NO_SHAPES: MapShapes = { far: [], outside: [], arcs: null };

/** Worked out in the worker: tracing, cutting and sorting a large field's outlines takes longer than a frame. */
export function mapShapes({ field, surfaces, zones }: PlanOut, far_m: number): MapShapes {
  if (!field) return NO_SHAPES;
  const { whole, spreadable } = groundShapes(field);
  return {
    ...(surfaces ? doubtShapes(surfaces, spreadable, far_m) : { far: [], outside: [] }),
    arcs: zones ? zoneArcs(zones.zones, spreadable, whole) : null,
  };
}

export function doubtShapes(surfaces: SurfacesOut, ground: MultiPolygon, far_m: number): DoubtShapes {
  return {
    far: outlined(surfaces, ground, (cell) => (surfaces.nearest_m[cell] ?? 0) > far_m),
    outside: outlined(surfaces, ground, (cell) => surfaces.outsideHull[cell] === 1),
  };
}

function outlined(surfaces: SurfacesOut, ground: MultiPolygon, belongs: (cell: number) => boolean): MultiPolygon {
  const { lattice, cover_m2 } = surfaces.grid;
  const labels = new Int16Array(cover_m2.length);
  let any = false;
  for (let cell = 0; cell < labels.length; cell++) {
    if ((cover_m2[cell] ?? 0) > 0 && belongs(cell)) {
      labels[cell] = 1;
      any = true;
    }
  }
  return any ? (outlineLabels(labels, lattice, ground, true).get(1) ?? []) : [];
}

/** A quick test for many places against one ground: its box first. */
export function insideOf(polygons: MultiPolygon): (p: LngLat) => boolean {
  const box = bounds(polygons);
  return (p) => p[0] >= box.west && p[0] <= box.east && p[1] >= box.south && p[1] <= box.north && contains(polygons, p);
}
