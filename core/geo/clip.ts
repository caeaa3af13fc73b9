import { Clipper64, ClipType, FillRule, type Path64, type Paths64 } from 'clipper2-ts';
import { bounds } from './bounds.ts';
import { toDegrees, toUnits } from './ring.ts';
import { soundPolygons } from './sound.kernel.ts';
import type { LngLat, MultiPolygon, Ring } from './types.ts';

/**
 * Boolean operations on polygons by Clipper2 (Vatti's sweep, CACM 35(7), 1992), on whole units of 1e-9 degree about a
 * local origin: what comes out has 9 decimals. Inputs should be snapped (8 or 9 decimals), each valid in itself.
 * What comes out is valid, wound per RFC 7946, with holes in their part; rings thinner than a unit (0.1 mm) on average,
 * which only rounding makes, are left out.
 */

/** Ground that both share. */
export const intersection = (a: MultiPolygon, b: MultiPolygon): MultiPolygon => run(ClipType.Intersection, a, b);

/** Ground of `a` that `b` does not have. */
export const difference = (a: MultiPolygon, b: MultiPolygon): MultiPolygon => run(ClipType.Difference, a, b);

/** Ground of either. `union(a, [])` melts overlapping and adjoining parts of `a`. */
export const union = (a: MultiPolygon, b: MultiPolygon): MultiPolygon => run(ClipType.Union, a, b);

/** Ground under an odd number of the rings, whatever their winding: what a ring that touches itself encloses. */
export const evenOdd = (rings: readonly Ring[]): MultiPolygon => run(ClipType.Union, [rings], [], FillRule.EvenOdd);

function run(op: ClipType, a: MultiPolygon, b: MultiPolygon, fill: FillRule = FillRule.NonZero): MultiPolygon {
  const box = bounds([...a, ...b]);
  if (box.west > box.east) return [];
  const x0 = toUnits(box.west);
  const y0 = toUnits(box.south);
  const paths = (polygons: MultiPolygon): Path64[] =>
    polygons.flatMap((polygon) =>
      polygon.map((ring) => ring.slice(0, -1).map(([lng, lat]) => ({ x: toUnits(lng) - x0, y: toUnits(lat) - y0 }))),
    );
  const clipper = new Clipper64();
  clipper.addSubject(paths(a));
  clipper.addClip(paths(b));
  const out: Paths64 = [];
  clipper.execute(op, fill, out);
  // Outer rings come counter-clockwise and holes clockwise, but both may touch themselves at a corner.
  return soundPolygons(out.flatMap((path) => ringOf(path, x0, y0) ?? []));
}

function ringOf(path: Path64, x0: number, y0: number): readonly Ring[] | null {
  let twiceArea = 0;
  let length = 0;
  let previous = path[path.length - 1];
  for (const here of path) {
    if (previous) {
      twiceArea += previous.x * here.y - here.x * previous.y;
      length += Math.hypot(here.x - previous.x, here.y - previous.y);
    }
    previous = here;
  }
  const ring = path.map(({ x, y }): LngLat => [toDegrees(x + x0), toDegrees(y + y0)]);
  const first = ring[0];
  return first && Math.abs(twiceArea) > length ? [[...ring, first]] : null;
}
