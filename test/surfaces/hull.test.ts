import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { convexHull, markOutside } from '../../core/surfaces/hull.kernel.ts';

type Places = readonly (readonly [number, number])[];
const xs = (places: Places) => Float64Array.from(places, ([x]) => x);
const ys = (places: Places) => Float64Array.from(places, ([, y]) => y);
const hullOf = (places: Places) => Array.from(convexHull(xs(places), ys(places)));
/** Cells of 10 m whose first centre is (5, 5). */
const outside = (hull: Places, cols: number, rows: number, wanted = new Float64Array(cols * rows).fill(100)) =>
  Array.from(markOutside(xs(hull), ys(hull), 5, 5, 10, 10, cols, wanted));

describe('the hull', () => {
  test('of a square with places on its edges and within is its four corners, counter-clockwise', () => {
    const places: Places = [
      [50, 50],
      [100, 0],
      [0, 0],
      [0, 100],
      [100, 100],
      [50, 0],
      [100, 40],
    ];
    expect(hullOf(places)).toEqual([2, 1, 4, 3]);
  });

  test('of a line is its two ends, of one place that place, of none nothing', () => {
    expect(
      hullOf([
        [3, 3],
        [1, 1],
        [2, 2],
      ]),
    ).toEqual([1, 0]);
    expect(hullOf([[7, 7]])).toEqual([0]);
    expect(hullOf([])).toEqual([]);
  });

  const whole = fc.array(fc.tuple(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 60 })), {
    minLength: 3,
    maxLength: 40,
  });

  test('turns left at every corner and leaves no place to the right of an edge', () => {
    fc.assert(
      fc.property(whole, (places) => {
        const corners = hullOf(places).map((i) => places[i] ?? [0, 0]);
        if (corners.length < 3) return;
        corners.forEach(([ax = 0, ay = 0], at) => {
          const [bx = 0, by = 0] = corners[(at + 1) % corners.length] ?? [];
          const [cx = 0, cy = 0] = corners[(at + 2) % corners.length] ?? [];
          expect((bx - ax) * (cy - ay) - (by - ay) * (cx - ax)).toBeGreaterThan(0);
          expect(places.filter(([px, py]) => (bx - ax) * (py - ay) - (by - ay) * (px - ax) < 0)).toEqual([]);
        });
      }),
    );
  });

  test('marks the cells that lie to the right of an edge, and no other', () => {
    fc.assert(
      fc.property(whole, (places) => {
        const corners = hullOf(places).map((i): readonly [number, number] => places[i] ?? [0, 0]);
        if (corners.length < 3) return;
        const marked = outside(corners, 7, 7);
        const want = marked.map((_mark, cell) => {
          const [px, py] = [5 + 10 * (cell % 7), 5 + 10 * Math.floor(cell / 7)];
          const right = corners.some(([ax, ay], at) => {
            const [bx, by] = corners[(at + 1) % corners.length] ?? [0, 0];
            return (bx - ax) * (py - ay) - (by - ay) * (px - ax) < 0;
          });
          return right ? 1 : 0;
        });
        expect(marked).toEqual(want);
      }),
    );
  });

  test('of a line leaves only the cells on it inside, and ground that is not wanted is never marked', () => {
    const line: Places = [
      [5, 15],
      [25, 15],
    ];
    expect(outside(line, 3, 2)).toEqual([1, 1, 1, 0, 0, 0]);
    expect(outside(line, 3, 2, Float64Array.of(0, 100, 0, 100, 100, 100))).toEqual([0, 1, 0, 0, 0, 0]);
  });
});
