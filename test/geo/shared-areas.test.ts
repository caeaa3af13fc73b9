import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { area_m2 } from '../../core/geo/area.ts';
import { difference, intersection } from '../../core/geo/clip.ts';
import { sharedAreas } from '../../core/geo/shared-areas.kernel.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';
import { deepFreeze } from '../freeze.ts';
import { box, clockwise, fields, snap } from './shapes.ts';

const listed = (ones: readonly MultiPolygon[], others: readonly MultiPolygon[]): number[][] => {
  const { a, b, m2 } = sharedAreas(ones, others);
  return Array.from(m2, (area, i) => [a[i] ?? -1, b[i] ?? -1, area]);
};

describe('areas that two lists of shapes share', () => {
  it('are those of boxes that overlap by a quarter, and none where only edges meet', () => {
    const ones = deepFreeze([[[box(-93, 42, -92.998, 42.002)]], [[box(-92.998, 42, -92.996, 42.002)]]]);
    const others = deepFreeze([[[box(-92.999, 42.001, -92.997, 42.003)]], [[box(-92.996, 42, -92.995, 42.001)]]]);
    const found = listed(ones, others);
    expect(found.map(([a, b]) => [a, b])).toEqual([
      [0, 0],
      [1, 0],
    ]);
    expect(found[0]?.[2]).toBeCloseTo(area_m2([[box(-92.999, 42.001, -92.998, 42.002)]]), 5);
    expect(found[1]?.[2]).toBeCloseTo(area_m2([[box(-92.998, 42.001, -92.997, 42.002)]]), 5);
  });

  it('are right for a shape wholly inside another, in its hole, and in the part that fills the hole', () => {
    const ring: MultiPolygon = [[box(-93, 42, -92.99, 42.01), clockwise(box(-92.998, 42.002, -92.992, 42.008))]];
    const island: MultiPolygon = [[box(-92.997, 42.003, -92.996, 42.004)]];
    const inWall: MultiPolygon = [[box(-92.9995, 42.0005, -92.9985, 42.0015)]];
    const plug: MultiPolygon = [[box(-92.998, 42.002, -92.992, 42.008)]];
    const found = listed([island, inWall], [ring, plug]);
    expect(found.map(([a, b]) => [a, b])).toEqual([
      [0, 1],
      [1, 0],
    ]);
    expect(found[0]?.[2]).toBeCloseTo(area_m2(island), 6);
    expect(found[1]?.[2]).toBeCloseTo(area_m2(inWall), 6);
  });

  it('give back each shape’s own area where the other list covers it, and agree with clipping', () => {
    fc.assert(
      fc.property(fields(60, 300), fc.integer({ min: -200, max: 200 }), ([outer = [], ...holes], shift) => {
        const field: MultiPolygon = [[outer, ...holes]];
        const [lng0, lat0] = [outer[0]?.[0] ?? 0, outer[0]?.[1] ?? 0];
        const cut = snap(lng0 + shift / 1e5);
        const west: MultiPolygon = [[box(snap(lng0 - 0.02), snap(lat0 - 0.02), cut, snap(lat0 + 0.02))]];
        const east: MultiPolygon = [[box(cut, snap(lat0 - 0.02), snap(lng0 + 0.02), snap(lat0 + 0.02))]];
        const { b, m2 } = sharedAreas([field], [west, east]);
        const whole = m2.reduce((sum, area) => sum + area, 0);
        expect(Math.abs(whole - area_m2(field))).toBeLessThan(1e-9 * area_m2(field));
        const shareOf = (index: number): number => m2[b.indexOf(index)] ?? 0;
        expect(Math.abs(shareOf(0) - area_m2(intersection(field, west)))).toBeLessThan(0.5);
        expect(Math.abs(shareOf(1) - area_m2(difference(field, west)))).toBeLessThan(0.5);
      }),
      { numRuns: 25 },
    );
  });

  it('are none for nothing', () => {
    expect(listed([], [])).toEqual([]);
    expect(listed([[[box(-93, 42, -92, 43)]]], [])).toEqual([]);
  });
});
