import fc from 'fast-check';
import geodesic from 'geographiclib-geodesic';
import { describe, expect, it } from 'vitest';
import { area_m2 } from '../../core/geo/area.ts';
import { contains } from '../../core/geo/contains.ts';
import { setback } from '../../core/geo/setback.ts';
import type { LngLat } from '../../core/geo/types.ts';
import { box, clockwise, places } from './shapes.ts';
import { whyInvalid } from './valid.ts';

const earth = geodesic.Geodesic.WGS84;
const away_m = (a: LngLat, b: LngLat): number => earth.Inverse(a[1], a[0], b[1], b[0]).s12 ?? Number.NaN;
const to = (at: LngLat, bearing: number, distance_m: number): LngLat => {
  const end = earth.Direct(at[1], at[0], bearing, distance_m);
  return [end.lon2 ?? Number.NaN, end.lat2 ?? Number.NaN];
};

describe('a setback', () => {
  it('about a point is a disc on the ellipsoid: to 1 part in 2,000, and at most 4 cm wider (GeographicLib)', () => {
    fc.assert(
      fc.property(places, fc.integer({ min: 5, max: 600 }), (at, distance_m) => {
        const [disc, ...others] = setback({ type: 'Point', at }, distance_m);
        expect(others).toEqual([]);
        expect(disc).toHaveLength(1);
        for (const corner of disc?.[0] ?? []) {
          const away = away_m(at, corner);
          expect(away).toBeGreaterThan(distance_m * (1 - 5e-4));
          expect(away).toBeLessThan(distance_m * (1 + 5e-4) + 0.041);
        }
        expect(whyInvalid(disc ? [disc] : [])).toBe('');
      }),
      { numRuns: 60 },
    );
  });

  it('about a straight line is worked: a strip with round ends, 2 r L + pi r^2', () => {
    const from: LngLat = [-93, 42];
    const end = to(from, 40, 500);
    const strip = setback({ type: 'Lines', lines: [[from, end]] }, 30);
    const expected = 2 * 30 * 500 + Math.PI * 900;
    expect(area_m2(strip)).toBeGreaterThan(expected);
    expect(area_m2(strip)).toBeLessThan(expected * 1.003);
    expect(contains(strip, to(from, 220, 29.9))).toBe(true);
    expect(contains(strip, to(from, 220, 30.2))).toBe(false);
  });

  it('about a polygon holds the polygon, closes small holes and narrows wide ones', () => {
    const outer = box(-93, 42, -92.99, 42.01);
    const small = clockwise(box(-92.998, 42.002, -92.9975, 42.0024));
    const wide = clockwise(box(-92.996, 42.004, -92.992, 42.008));
    const grown = setback({ type: 'MultiPolygon', polygons: [[outer, small, wide]] }, 60);
    expect(grown).toHaveLength(1);
    expect(grown[0]).toHaveLength(2);
    expect(contains(grown, [-92.9978, 42.0022])).toBe(true);
    expect(contains(grown, [-92.994, 42.006])).toBe(false);
    expect(contains(grown, to([-93, 42.005], 270, 59.9))).toBe(true);
    expect(contains(grown, to([-93, 42.005], 270, 60.2))).toBe(false);
    expect(whyInvalid(grown)).toBe('');
  });

  it('of 0 is the polygon itself, and nothing of a point; another that is no distance throws', () => {
    const polygons = [[box(-93, 42, -92.99, 42.01)]];
    expect(setback({ type: 'MultiPolygon', polygons }, 0)).toEqual(polygons);
    expect(setback({ type: 'Point', at: [-93, 42] }, 0)).toEqual([]);
    expect(() => setback({ type: 'Point', at: [-93, 42] }, Number.NaN)).toThrow(RangeError);
  });
});
