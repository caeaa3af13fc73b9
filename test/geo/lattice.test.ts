import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { area_m2 } from '../../core/geo/area.ts';
import { bounds } from '../../core/geo/bounds.ts';
import { intersection } from '../../core/geo/clip.ts';
import { coverCells } from '../../core/geo/cover.kernel.ts';
import { cellAt, cellCentre, makeFieldGrid } from '../../core/geo/lattice.ts';
import type { FieldGrid, LngLat, MultiPolygon } from '../../core/geo/types.ts';
import { deepFreeze } from '../freeze.ts';
import { box, clockwise, fields } from './shapes.ts';

const gridOf = (ground: MultiPolygon, cell_m: number): FieldGrid => {
  const made = makeFieldGrid(deepFreeze(ground), cell_m);
  if (!made.ok) throw new Error(made.problems[0]?.message);
  return made.value;
};
const sum = (values: Float64Array): number => values.reduce((total, value) => total + value, 0);

describe('the lattice of a field', () => {
  it('covers exactly the ground: the cells sum to the area to 1e-9', () => {
    fc.assert(
      fc.property(fields(60, 900), fc.integer({ min: 3, max: 60 }), (field, cell_m) => {
        const grid = gridOf([field], cell_m);
        expect(Math.abs(sum(grid.cover_m2) / area_m2([field]) - 1)).toBeLessThan(1e-9);
      }),
      { numRuns: 60 },
    );
  });

  it('gives each cell what clipping that cell gives', () => {
    fc.assert(
      fc.property(fields(30, 90), (field) => {
        const grid = gridOf([field], 15);
        const { lattice, cover_m2 } = grid;
        cover_m2.forEach((cover, cell) => {
          const [lng, lat] = cellCentre(lattice, cell);
          const [halfX, halfY] = [lattice.dLng_deg / 2, lattice.dLat_deg / 2];
          const square: MultiPolygon = [[box(lng - halfX, lat - halfY, lng + halfX, lat + halfY)]];
          // Clipping snaps its corners to 0.1 mm: a few hundred mm2 per metre of edge.
          expect(Math.abs(cover - area_m2(intersection([field], square)))).toBeLessThan(0.02);
        });
      }),
      { numRuns: 12 },
    );
  });

  it('is exact for an aligned field: a ring of empty cells, then part, then whole cells', () => {
    const ground: MultiPolygon = [[box(-93, 42, -92.999, 42.001)]];
    const grid = gridOf(ground, 10);
    const { cols, rows } = grid.lattice;
    expect([cols, rows]).toEqual([11, 14]);
    expect(grid.cover_m2.slice(0, cols).every((cover) => cover === 0)).toBe(true);
    const middle = grid.cover_m2[5 * cols + 5] ?? 0;
    expect(middle).toBeCloseTo(100, 1);
    expect(grid.cover_m2[5 * cols + 6]).toBe(middle);
  });

  it('leaves holes and ground outside at nought', () => {
    const ground: MultiPolygon = [[box(-93, 42, -92.99, 42.01), clockwise(box(-92.998, 42.002, -92.992, 42.008))]];
    const { lattice, cover_m2 } = gridOf(ground, 20);
    cover_m2.forEach((cover, cell) => {
      if (cover === 0) return;
      const [lng, lat] = cellCentre(lattice, cell);
      const inHole = lng > -92.9979 && lng < -92.9921 && lat > 42.0021 && lat < 42.0079;
      expect(inHole).toBe(false);
    });
  });

  it('has cells of the asked size, at 9-decimal corners, around the whole field', () => {
    fc.assert(
      fc.property(fields(60, 900), fc.integer({ min: 3, max: 60 }), (field, cell_m) => {
        const { lattice, frame } = gridOf([field], cell_m);
        expect(Math.abs((lattice.dLng_deg * frame.mPerDegLng) / cell_m - 1)).toBeLessThan(1e-3 / cell_m);
        expect(Math.abs((lattice.dLat_deg * frame.mPerDegLat) / cell_m - 1)).toBeLessThan(1e-3 / cell_m);
        const box = bounds([field]);
        expect(box.west - lattice.west_deg).toBeGreaterThanOrEqual(0.999 * lattice.dLng_deg);
        const east = lattice.west_deg + lattice.cols * lattice.dLng_deg;
        expect(east - box.east).toBeGreaterThanOrEqual(0.999 * lattice.dLng_deg);
        expect(Number.isInteger(Math.round(lattice.dLng_deg * 1e9) / 4)).toBe(true);
        expect(lattice.west_deg).toBe(Number(lattice.west_deg.toFixed(9)));
      }),
      { numRuns: 40 },
    );
  });

  it('finds the cell under a place and its centre again', () => {
    const { lattice } = gridOf([[box(-93, 42, -92.99, 42.01)]], 10);
    for (const cell of [0, 17, lattice.cols * lattice.rows - 1]) {
      expect(cellAt(lattice, cellCentre(lattice, cell))).toBe(cell);
    }
    expect(cellAt(lattice, [-94, 42.005])).toBe(-1);
    expect(cellAt(lattice, [Number.NaN, 42.005])).toBe(-1);
  });

  it('refuses no ground and too many cells', () => {
    expect(makeFieldGrid([], 10)).toMatchObject({ ok: false, problems: [{ code: 'geo-no-ground' }] });
    const far: MultiPolygon = [[box(-93, 42, -92.99, 42.01)], [box(-90, 42, -89.99, 42.01)]];
    expect(makeFieldGrid(far, 1)).toMatchObject({ ok: false, problems: [{ code: 'geo-too-many-cells' }] });
  });
});

describe('cover of polygons that lie partly off the lattice', () => {
  it('counts what lies on it', () => {
    const { lattice } = gridOf([[box(-93, 42, -92.99, 42.01)]], 50);
    const east = lattice.west_deg + lattice.cols * lattice.dLng_deg;
    const north = lattice.south_deg + lattice.rows * lattice.dLat_deg;
    const wide: MultiPolygon = [[box(-93.5, 41.5, -92.5, 42.5)]];
    const whole = area_m2([[box(lattice.west_deg, lattice.south_deg, east, north)]]);
    expect(sum(coverCells(lattice, wide).cover_m2) / whole).toBeCloseTo(1, 8);
    const corners: readonly LngLat[] = [
      [-93.3, 41.9],
      [-92.7, 42.1],
      [-93.2, 42.4],
      [-93.3, 41.9],
    ];
    const slanted: MultiPolygon = [[corners]];
    const onLattice = intersection(slanted, [[box(lattice.west_deg, lattice.south_deg, east, north)]]);
    expect(sum(coverCells(lattice, slanted).cover_m2) / area_m2(onLattice)).toBeCloseTo(1, 6);
  });
});
