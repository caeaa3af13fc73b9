import fc from 'fast-check';
import geodesic from 'geographiclib-geodesic';
import { describe, expect, it } from 'vitest';
import { area_m2, signedRingArea_m2 } from '../../core/geo/area.ts';
import type { LngLat, MultiPolygon, Ring } from '../../core/geo/types.ts';
import { deepFreeze } from '../freeze.ts';
import { box, clockwise, fields } from './shapes.ts';

/** GeographicLib's polygon area (Karney, J. Geodesy 87, 2013), each edge cut along its lng/lat line. */
function reference_m2(polygons: MultiPolygon, pieces: number): number {
  const ringArea = (ring: Ring): number => {
    const polygon = geodesic.Geodesic.WGS84.Polygon(false);
    for (let i = 1; i < ring.length; i++) {
      const [lng1, lat1] = ring[i - 1] as LngLat;
      const [lng2, lat2] = ring[i] as LngLat;
      for (let k = 0; k < pieces; k++) {
        polygon.AddPoint(lat1 + ((lat2 - lat1) * k) / pieces, lng1 + ((lng2 - lng1) * k) / pieces);
      }
    }
    return Math.abs(polygon.Compute(false, true).area ?? Number.NaN);
  };
  return polygons
    .flatMap((polygon) => polygon.map((ring, index) => (index === 0 ? 1 : -1) * ringArea(ring)))
    .reduce((sum, area) => sum + area, 0);
}

describe('area on the ellipsoid', () => {
  it('agrees with GeographicLib to 1e-6 for fields up to 5,000 acres between 30 and 60 degrees', () => {
    fc.assert(
      fc.property(fields(100, 2500), (field) => {
        const ours = area_m2(deepFreeze([field]));
        expect(Math.abs(ours / reference_m2([field], 200) - 1)).toBeLessThan(1e-6);
      }),
      { numRuns: 40 },
    );
  });

  it('closes on GeographicLib as its edges are cut finer', () => {
    const square: MultiPolygon = [[box(-96.05, 45, -95.99, 45.04)]];
    const ours = area_m2(square);
    const off = [1, 10, 1000].map((pieces) => Math.abs(reference_m2(square, pieces) / ours - 1));
    expect(off[1]).toBeLessThan((off[0] ?? 0) / 50);
    expect(off[2]).toBeLessThan(1e-9);
  });

  it('gives the whole ellipsoid of WGS84: 510,065,621.724 km2 (2 pi a2 [1 + (1 - e2) atanh(e) / e], by hand)', () => {
    // Worked: half the world as a box, twice. 5-point quadrature sees only straight parallels here, so it is exact.
    const half = Math.abs(signedRingArea_m2(box(-90, -90, 90, 90)));
    expect(half * 2).toBeCloseTo(510_065_621_724_078, -3);
  });

  it('is the same whatever the winding, and nothing for nothing', () => {
    const outer = box(-93.01, 42, -93, 42.01);
    const hole = box(-93.008, 42.002, -93.006, 42.004);
    const whole = area_m2([[outer]]) - area_m2([[hole]]);
    expect(area_m2([[outer, hole]])).toBeCloseTo(whole, 6);
    expect(area_m2([[clockwise(outer), clockwise(hole)]])).toBeCloseTo(whole, 6);
    expect(area_m2([])).toBe(0);
  });

  it('moves along a parallel unchanged', () => {
    fc.assert(
      fc.property(fields(100, 1000), fc.integer({ min: -100, max: 100 }), (field, degrees) => {
        const moved = field.map((ring) => ring.map(([lng, lat]): LngLat => [lng + degrees, lat]));
        expect(area_m2([moved]) / area_m2([field])).toBeCloseTo(1, 8);
      }),
      { numRuns: 30 },
    );
  });
});
