import fc from 'fast-check';
import type { MultiPolygon } from '../../core/geo/types.ts';

/** Coordinates as the program writes them: 8 decimals. */
const at8 = (value: number): number => Math.round(value * 1e8) / 1e8;

const ring = (x: number, y: number, side: number, hole: boolean): [number, number][] => {
  const [west, south, east, north] = [at8(x), at8(y), at8(x + side), at8(y + side)];
  const corners: [number, number][] = [
    [west, south],
    [east, south],
    [east, north],
    [west, north],
    [west, south],
  ];
  return hole ? corners.reverse() : corners;
};

/** One to four parts side by side, each with up to two holes, wound as RFC 7946 says: sound by how they are made. */
export const somePolygons: fc.Arbitrary<MultiPolygon> = fc
  .record({
    west: fc.double({ min: -120, max: -70, noNaN: true }),
    south: fc.double({ min: 25, max: 49, noNaN: true }),
    holes: fc.array(fc.integer({ min: 0, max: 2 }), { minLength: 1, maxLength: 4 }),
  })
  .map(({ west, south, holes }) =>
    holes.map((count, i) => {
      const x = west + i * 0.02;
      const outer = ring(x, south, 0.01, false);
      const inner = Array.from({ length: count }, (_, k) => ring(x + 0.001 + k * 0.004, south + 0.002, 0.003, true));
      return [outer, ...inner];
    }),
  );
