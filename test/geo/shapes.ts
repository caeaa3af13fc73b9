import fc from 'fast-check';
import type { LngLat, Polygon, Ring } from '../../core/geo/types.ts';

const M_PER_DEG = 111_000;

/** A place in the belt that the areas are held for. */
export const places = fc.tuple(
  fc.integer({ min: -179_000, max: 179_000 }).map((n) => n / 1000),
  fc.integer({ min: 30_000, max: 60_000 }).map((n) => n / 1000),
);

export const snap = (deg: number): number => Math.round(deg * 1e8) / 1e8;

/** A ring about a place through the given radii at even angles: star-shaped, so it never crosses itself. */
export function star(at: LngLat, radii_m: readonly number[], clockwise = false): Ring {
  const narrow = Math.cos((at[1] * Math.PI) / 180);
  const ring = radii_m.map((radius, i): LngLat => {
    const angle = ((clockwise ? -i : i) / radii_m.length) * 2 * Math.PI + 0.3;
    return [
      snap(at[0] + (radius * Math.cos(angle)) / M_PER_DEG / narrow),
      snap(at[1] + (radius * Math.sin(angle)) / M_PER_DEG),
    ];
  });
  return [...ring, ring[0] as LngLat];
}

/** A field: a star with, maybe, a smaller star cut out of its middle. */
export const fields = (least_m: number, most_m: number): fc.Arbitrary<Polygon> =>
  fc
    .record({
      at: places,
      outer: fc.array(fc.integer({ min: least_m, max: most_m }), { minLength: 5, maxLength: 40 }),
      hole: fc.option(
        fc.array(fc.integer({ min: Math.ceil(least_m / 10), max: Math.ceil(least_m / 3) }), {
          minLength: 5,
          maxLength: 12,
        }),
      ),
    })
    .map(({ at, outer, hole }) => (hole ? [star(at, outer), star(at, hole, true)] : [star(at, outer)]));

/** A rectangle, counter-clockwise. */
export const box = (west: number, south: number, east: number, north: number): Ring => [
  [west, south],
  [east, south],
  [east, north],
  [west, north],
  [west, south],
];

export const clockwise = (ring: Ring): Ring => ring.toReversed();
