import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { insideRing, interiorPoint, signedArea } from '../../core/formats/rings.kernel.ts';
import { assembleRings, closeRing, windPolygon } from '../../core/formats/rings.ts';
import { deepFreeze } from '../freeze.ts';
import { square } from './raw-shp.ts';

type Ring = readonly (readonly [number, number])[];

/** Squares one inside the other, none touching: depth 0 is a part, 1 its hole, 2 an island ... */
const nest = (x: number, depth: number): Ring[] =>
  Array.from({ length: depth }, (_, i) => square(x + i, i, 20 - 2 * i));

describe('assembleRings', () => {
  it('finds parts and holes however the rings are ordered and wound', () => {
    const nests = fc.array(fc.integer({ min: 1, max: 6 }), { minLength: 1, maxLength: 4 });
    fc.assert(
      fc.property(nests, fc.infiniteStream(fc.boolean()), fc.infiniteStream(fc.nat()), (depths, turns, keys) => {
        const rings = depths.flatMap((depth, i) => nest(i * 30, depth));
        const turned = rings.map((ring) => (turns.next().value ? [...ring].reverse() : ring));
        const shuffled = turned
          .map((ring) => ({ ring, key: Number(keys.next().value) }))
          .sort((a, b) => a.key - b.key)
          .map(({ ring }) => ring);
        const made = assembleRings(deepFreeze(shuffled));
        const parts = made?.parts ?? [];
        expect(parts.flat()).toHaveLength(rings.length);
        // Each pair of squares, from the outside in, is a part with its hole.
        const wanted = depths.flatMap((depth) =>
          Array.from({ length: Math.ceil(depth / 2) }, (_, i) => (2 * i + 1 < depth ? 2 : 1)),
        );
        expect(parts.map((part) => part.length).sort()).toEqual(wanted.sort());
        for (const part of parts) {
          const [outer, hole] = part.map((ring) => Math.abs(signedArea(ring)));
          if (hole !== undefined) expect(Math.sqrt(outer ?? 0) - Math.sqrt(hole)).toBeCloseTo(2, 9);
        }
      }),
    );
  });

  it('a hole that touches its outer ring at a corner is a hole', () => {
    const touching: Ring = [
      [0, 0],
      [2, 1],
      [1, 2],
      [0, 0],
    ];
    expect(assembleRings([square(0, 0, 10), touching])?.parts.map((part) => part.length)).toEqual([2]);
  });

  it('parts that share an edge or a corner are parts', () => {
    const rings = [square(0, 0, 1), square(1, 0, 2), square(3, 2, 0.5)];
    expect(assembleRings(rings)?.parts.map((part) => part.length)).toEqual([1, 1, 1]);
  });

  it('the same ring twice is two parts: none is inside the other', () => {
    expect(assembleRings([square(0, 0, 1), square(0, 0, 1)])?.parts).toHaveLength(2);
  });

  it('tells rings without area apart, and gives up past its budget', () => {
    expect(
      assembleRings([
        square(0, 0, 9),
        [
          [1, 1],
          [2, 2],
          [1, 1],
        ],
        [[3, 3]],
      ])?.flat,
    ).toEqual([2, 3]);
    expect(assembleRings(nest(0, 6), 20)).toBeNull();
  });

  it('thousands of holes take no time to speak of', () => {
    const holes = Array.from({ length: 10_000 }, (_, i) => square((i % 100) + 0.2, Math.floor(i / 100) + 0.2, 0.5));
    expect(assembleRings([square(0, 0, 100), ...holes])?.parts[0]).toHaveLength(10_001);
  });
});

describe('interiorPoint', () => {
  it('lies inside any star, convex or not', () => {
    const star = fc
      .array(fc.double({ min: 0.1, max: 10, noNaN: true }), { minLength: 3, maxLength: 20 })
      .map((radii): Ring => {
        const ring = radii.map((r, i) => {
          const angle = (2 * Math.PI * i) / radii.length;
          return [r * Math.cos(angle), r * Math.sin(angle)] as const;
        });
        return closeRing(ring);
      });
    fc.assert(
      fc.property(star, (ring) => {
        expect(insideRing(ring, interiorPoint(ring))).toBe(true);
      }),
    );
  });
});

describe('windPolygon', () => {
  it('makes outer rings counter-clockwise and holes clockwise, and leaves the places alone', () => {
    const polygon = deepFreeze([square(0, 0, 9), square(1, 1, 2).reverse()]);
    const wound = windPolygon(polygon);
    expect(wound.map((ring) => Math.sign(signedArea(ring)))).toEqual([1, -1]);
    expect(windPolygon(wound)).toEqual(wound);
  });

  it('a small ring far from the origin keeps its area', () => {
    // A square metre at UTM coordinates: 1 to 1e-9, by hand.
    expect(signedArea(square(4_500_000.5, 5_500_000.5, 1))).toBeCloseTo(-1, 9);
  });
});
