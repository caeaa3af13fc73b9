import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findContacts } from '../../core/geo/contacts.kernel.ts';
import { orient } from '../../core/geo/orient.kernel.ts';
import { snapRound } from '../../core/geo/snap-round.kernel.ts';

type Edge = readonly [number, number, number, number];
const noded = (edges: readonly Edge[]) => {
  const column = (k: 0 | 1 | 2 | 3) => Float64Array.from(edges, (edge) => edge[k]);
  const { start, x, y } = snapRound({ x1: column(0), y1: column(1), x2: column(2), y2: column(3) });
  return edges.map((_, i) =>
    Array.from({ length: (start[i + 1] ?? 0) - (start[i] ?? 0) }, (_, k) => {
      const at = (start[i] ?? 0) + k;
      return [x[at] ?? Number.NaN, y[at] ?? Number.NaN] as const;
    }),
  );
};

/** Edges of any slope on few places, so that they cross, touch and coincide all the time; or on many. */
const tangles = fc.constantFrom(6, 40, 1_000_000_007).chain((size) => {
  const at = fc.integer({ min: 93_000_000_000, max: 93_000_000_000 + size });
  return fc.array(
    fc.tuple(at, at, at, at).filter(([ax, ay, bx, by]) => ax !== bx || ay !== by),
    { minLength: 1, maxLength: 14 },
  );
});

describe('snap rounding', () => {
  it('is worked: a cross gets its rounded middle, an edge is led to the end that it passes within half a unit', () => {
    // The first two cross at 5, 3.5, which rounds up; the first runs through 2, 1.4, in the square of the third's end.
    const edges: readonly Edge[] = [
      [0, 0, 10, 7],
      [0, 7, 10, 0],
      [2, 0, 2, 1],
    ];
    expect(noded(edges).map((chain) => chain.join(' '))).toEqual(['0,0 2,1 5,4 10,7', '0,7 5,4 10,0', '2,0 2,1']);
  });

  it('leaves edges that meet at ends only, or coincide, and moves none by a unit', () => {
    fc.assert(
      fc.property(tangles, (edges) => {
        const chains = noded(edges);
        const pieces = new Map<string, Float64Array>();
        chains.forEach((chain, i) => {
          const [ax, ay, bx, by] = edges[i] as Edge;
          expect(chain[0]).toEqual([ax, ay]);
          expect(chain[chain.length - 1]).toEqual([bx, by]);
          for (let k = 1; k < chain.length; k++) {
            const [x1, y1] = chain[k - 1] ?? [0, 0];
            const [x2, y2] = chain[k] ?? [0, 0];
            const off = Math.abs(orient(ax, ay, bx, by, x2, y2)) / Math.hypot(bx - ax, by - ay);
            expect(off).toBeLessThan(0.708);
            const key = [`${x1} ${y1}`, `${x2} ${y2}`].sort().join();
            pieces.set(key, Float64Array.of(x1, y1, x2, y2));
          }
        });
        // Each piece as an open ring of one edge: whatever meets but at shared ends is a crossing, overlap or touch inside.
        const list = [...pieces.values()];
        for (const { kind, ringA, ringB, x, y } of findContacts(list)) {
          expect(kind).toBe('touch');
          for (const piece of [list[ringA], list[ringB]]) {
            const isEnd = (x === piece?.[0] && y === piece[1]) || (x === piece?.[2] && y === piece[3]);
            expect(isEnd).toBe(true);
          }
        }
      }),
      { numRuns: 300 },
    );
  });
});
