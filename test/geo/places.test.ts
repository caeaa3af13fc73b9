import fc from 'fast-check';
import geodesic from 'geographiclib-geodesic';
import { describe, expect, it } from 'vitest';
import { area_m2 } from '../../core/geo/area.ts';
import { bounds } from '../../core/geo/bounds.ts';
import { burnPolygons } from '../../core/geo/burn.ts';
import { contains } from '../../core/geo/contains.ts';
import { coverCells } from '../../core/geo/cover.kernel.ts';
import { localFrame, toLngLat, toLocal } from '../../core/geo/frame.ts';
import { makeFieldGrid } from '../../core/geo/lattice.ts';
import { widestSpot } from '../../core/geo/spot.ts';
import type { LngLat, MultiPolygon } from '../../core/geo/types.ts';
import { deepFreeze } from '../freeze.ts';
import { box, clockwise, fields, places } from './shapes.ts';

describe('the local frame', () => {
  it('measures as GeographicLib does, to 1e-3 over a mile', () => {
    fc.assert(
      fc.property(
        places,
        fc.integer({ min: -800, max: 800 }),
        fc.integer({ min: -800, max: 800 }),
        (at, east, north) => {
          fc.pre(Math.hypot(east, north) > 10);
          const frame = localFrame(at);
          const there = toLngLat(frame, [east, north]);
          const { s12 } = geodesic.Geodesic.WGS84.Inverse(at[1], at[0], there[1], there[0]);
          expect(Math.abs((s12 ?? 0) / Math.hypot(east, north) - 1)).toBeLessThan(1e-3);
        },
      ),
    );
  });

  it('goes there and back', () => {
    fc.assert(
      fc.property(places, places, (at, p) => {
        const frame = localFrame(at);
        const back = toLngLat(frame, toLocal(frame, p));
        expect(Math.abs(back[0] - p[0]) + Math.abs(back[1] - p[1])).toBeLessThan(1e-10);
      }),
    );
  });
});

describe('bounds', () => {
  it('hold every position, and are inside out for nothing', () => {
    expect(bounds([[box(-93, 42, -92.99, 42.01)], [box(-92, 41, -91.99, 41.01)]])).toEqual({
      west: -93,
      south: 41,
      east: -91.99,
      north: 42.01,
    });
    expect(bounds([]).west).toBe(Infinity);
  });
});

describe('whether a place lies in polygons', () => {
  const field: MultiPolygon = deepFreeze([
    [box(-93, 42, -92.99, 42.01), clockwise(box(-92.996, 42.004, -92.994, 42.006))],
    [box(-92.98, 42, -92.97, 42.01)],
  ]);
  it('is worked: inside, in the hole, on edges and corners, outside', () => {
    const told: readonly (readonly [LngLat, boolean])[] = [
      [[-92.999, 42.005], true],
      [[-92.975, 42.005], true],
      [[-92.995, 42.005], false],
      [[-93, 42.005], true],
      [[-92.996, 42.005], true],
      [[-93, 42], true],
      [[-92.985, 42.005], false],
      [[-93.001, 42], false],
      [[-92.995, 42.011], false],
    ];
    for (const [place, inside] of told) expect(contains(field, place), `${place}`).toBe(inside);
  });
});

describe('the widest spot', () => {
  it('lies inside, farther from the edges than any other place tried', () => {
    fc.assert(
      fc.property(
        fields(60, 400),
        fc.array(fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true })), {
          minLength: 30,
          maxLength: 30,
        }),
        (field, tries) => {
          const spot = widestSpot([field]);
          expect(contains([field], spot)).toBe(true);
          const frame = localFrame(spot);
          const room = (p: LngLat): number => {
            const [x, y] = toLocal(frame, p);
            return Math.min(
              ...field.flatMap((ring) =>
                ring.slice(1).map((to, i) => {
                  const [ax, ay] = toLocal(frame, ring[i] as LngLat);
                  const [bx, by] = toLocal(frame, to);
                  const t = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / ((bx - ax) ** 2 + (by - ay) ** 2);
                  const k = Math.max(0, Math.min(1, t));
                  return Math.hypot(x - ax - k * (bx - ax), y - ay - k * (by - ay));
                }),
              ),
            );
          };
          const slack = Math.max(0.1, Math.sqrt(area_m2([field])) / 200) * 1.01;
          const { west, south, east, north } = bounds([field]);
          for (const [u, v] of tries) {
            const p: LngLat = [west + u * (east - west), south + v * (north - south)];
            if (contains([field], p)) expect(room(p)).toBeLessThan(room(spot) + slack);
          }
        },
      ),
      { numRuns: 20 },
    );
  });

  it('is that of the largest part, and metres count, not degrees', () => {
    // 0.004 degrees wide at 60 north are 223 m, 0.003 high 334 m: the widest spot has room to both sides alike.
    const wide = box(10, 60, 10.004, 60.003);
    const spot = widestSpot([[box(9, 60, 9.001, 60.001)], [wide]]);
    expect(spot[0]).toBeCloseTo(10.002, 4);
    expect(() => widestSpot([])).toThrow();
  });
});

describe('burning shapes into cells', () => {
  const ground: MultiPolygon = [[box(-93, 42, -92.99, 42.01)]];
  const made = makeFieldGrid(ground, 20);
  if (!made.ok) throw new Error('no grid');
  const { lattice, cover_m2 } = made.value;
  const onGround = (cell: number) => (cover_m2[cell] ?? 0) > 0;

  it('gives each wanted cell the shape that covers most of it, or 0', () => {
    const shapes: MultiPolygon[] = [
      [[box(-93, 42, -92.996, 42.01)]],
      [[box(-92.996, 42, -92.99, 42.004)]],
      [[box(-92.99, 42, -92.98, 42.01)]],
    ];
    const burnt = burnPolygons(lattice, deepFreeze(shapes), onGround);
    const shares = shapes.map((shape) => coverCells(lattice, shape).cover_m2);
    burnt.forEach((number, cell) => {
      const own = shares.map((share) => share[cell] ?? 0);
      const most = Math.max(...own);
      if (!onGround(cell) || most === 0) expect(number).toBe(0);
      else expect(number).toBe(own.indexOf(most) + 1);
    });
    expect(new Set(burnt)).toEqual(new Set([0, 1, 2, 3]));
  });

  it('leaves no rim where outlines end a few metres inside the boundary', () => {
    const inside: MultiPolygon[] = [[[box(-92.99995, 42.00005, -92.99005, 42.00995)]]];
    const burnt = burnPolygons(lattice, inside, onGround);
    expect(burnt.every((number, cell) => (number === 1) === onGround(cell))).toBe(true);
  });
});
