import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { area_m2 } from '../../core/geo/area.ts';
import { bounds } from '../../core/geo/bounds.ts';
import { difference, intersection, union } from '../../core/geo/clip.ts';
import { signedArea_deg2 } from '../../core/geo/ring.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';
import { deepFreeze } from '../freeze.ts';
import { box, clockwise, fields, snap } from './shapes.ts';
import { whyInvalid } from './valid.ts';

/** Two fields about one place. */
const pairs = fc.tuple(fields(60, 300), fields(60, 300), fc.integer({ min: -300, max: 300 })).map(([a, b, shift]) => {
  const to = bounds([a]);
  const from = bounds([b]);
  const moved = b.map((ring) =>
    ring.map(
      ([lng, lat]) => [snap(lng - from.west + to.west + shift / 1e5), snap(lat - from.south + to.south)] as const,
    ),
  );
  return [[a], [moved]] as const satisfies readonly [MultiPolygon, MultiPolygon];
});

describe('clipping', () => {
  it('keeps the ground: what is shared and what is not make up the whole, to 0.1 mm along the edges', () => {
    fc.assert(
      fc.property(pairs, ([a, b]) => {
        const shared = area_m2(intersection(deepFreeze(a), deepFreeze(b)));
        const rest = area_m2(difference(a, b));
        const either = area_m2(union(a, b));
        expect(Math.abs(shared + rest - area_m2(a))).toBeLessThan(0.5);
        expect(Math.abs(either + shared - area_m2(a) - area_m2(b))).toBeLessThan(0.5);
      }),
      { numRuns: 25 },
    );
  });

  it('gives valid polygons with 9 decimals, wound as RFC 7946 asks', () => {
    fc.assert(
      fc.property(pairs, ([a, b]) => {
        for (const op of [intersection, difference, union]) {
          const out = op(a, b);
          expect(whyInvalid(out)).toBe('');
          for (const polygon of out) {
            expect(polygon.map((ring) => signedArea_deg2(ring) > 0)).toEqual(polygon.map((_, index) => index === 0));
            for (const [lng, lat] of polygon.flat()) {
              expect([lng, lat]).toEqual([Number(lng.toFixed(9)), Number(lat.toFixed(9))]);
            }
          }
        }
      }),
      { numRuns: 25 },
    );
  });

  it('stays valid where corners and edges fall together: blocks of cells cut from one another', () => {
    const blocks = fc.array(
      fc.tuple(fc.nat(6), fc.nat(6), fc.integer({ min: 1, max: 3 }), fc.integer({ min: 1, max: 3 })),
      {
        minLength: 1,
        maxLength: 8,
      },
    );
    const at = (from: number, cells: number): number => snap(from + cells * 0.001);
    const melted = (list: readonly (readonly [number, number, number, number])[]): MultiPolygon =>
      list.reduce(
        (all: MultiPolygon, [x, y, w, h]) => union(all, [[box(at(-93, x), at(42, y), at(-93, x + w), at(42, y + h))]]),
        [],
      );
    fc.assert(
      fc.property(blocks, blocks, (one, other) => {
        const a = melted(one);
        const b = melted(other);
        for (const out of [a, b, intersection(a, b), difference(a, b), union(a, b)]) expect(whyInvalid(out)).toBe('');
        const cell = area_m2([[box(-93, 42, -92.999, 42.001)]]);
        const cells = (list: typeof one) =>
          new Set(
            list.flatMap(([x, y, w, h]) =>
              Array.from({ length: w * h }, (_, i) => `${x + (i % w)} ${y + Math.floor(i / w)}`),
            ),
          );
        const rest = [...cells(one)].filter((key) => !cells(other).has(key)).length;
        expect(area_m2(difference(a, b)) / cell).toBeCloseTo(rest, 1);
      }),
      { numRuns: 25 },
    );
  });

  it('is worked: a keep-out in the middle is a hole, one at the edge a notch, one across makes two parts', () => {
    const field: MultiPolygon = [[box(-93, 42, -92.99, 42.01)]];
    const middle = box(-92.996, 42.004, -92.994, 42.006);
    expect(difference(field, [[middle]])[0]?.[1]?.length).toBe(5);
    expect(difference(field, [[box(-92.991, 42, -92.98, 42.001)]])[0]?.[0]).toHaveLength(7);
    expect(difference(field, [[box(-92.996, 41, -92.994, 43)]])).toHaveLength(2);
    expect(difference(field, field)).toEqual([]);
    expect(intersection(field, [[box(-92, 42, -91.99, 42.01)]])).toEqual([]);
    const island: MultiPolygon = [[box(-92.9955, 42.0045, -92.9945, 42.0055)]];
    const withHole: MultiPolygon = [[box(-93, 42, -92.99, 42.01), clockwise(middle)]];
    expect(
      union(withHole, island)
        .map((polygon) => polygon.length)
        .sort(),
    ).toEqual([1, 2]);
    expect(union([], [])).toEqual([]);
  });
});
