import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, describe, expect, it } from 'vitest';
import { M2_PER_ACRE } from '../../core/base/units.ts';
import { type Raster, readRaster } from '../../core/formats/geotiff-read.ts';
import { writeGeoTiff } from '../../core/formats/geotiff-write.ts';
import { cellAt, cellCentre, makeFieldGrid } from '../../core/geo/lattice.ts';
import type { FieldGrid, Lattice, LngLat } from '../../core/geo/types.ts';
import { ontoLattice } from '../../core/layers/onto-lattice.ts';
import { fixture } from '../fixtures/fixtures.ts';
import { value } from '../formats/helpers.ts';
import { newFolder } from '../formats/raster-kinds.ts';
import { gdal, itWithGdal } from '../gdal.ts';

const folder = newFolder();
afterAll(() => rmSync(folder, { recursive: true }));

const frame = { lng0_deg: -94, lat0_deg: 42, mPerDegLng: 82_800, mPerDegLat: 111_060 };
const gridOf = (lattice: Lattice, cover?: readonly number[]): FieldGrid => ({
  lattice,
  frame,
  cell_m: 10,
  cover_m2: cover ? Float64Array.from(cover) : new Float64Array(lattice.cols * lattice.rows).fill(100),
});
/** A raster on degrees from rows that begin in the north. */
const rasterOf = async (
  rows: readonly (readonly number[])[],
  west: number,
  north: number,
  step: number,
): Promise<Raster> => {
  const cols = rows[0]?.length ?? 0;
  const lattice: Lattice = {
    west_deg: west,
    south_deg: north - rows.length * step,
    dLng_deg: step,
    dLat_deg: step,
    cols,
    rows: rows.length,
  };
  const values = Float64Array.from(rows.toReversed().flat());
  return value(await readRaster({ name: 'r.tif', bytes: writeGeoTiff(values, lattice) }, { band: 1, crs: null }));
};

describe('pixels finer than the cells', () => {
  const lattice: Lattice = { west_deg: -94, south_deg: 42, dLng_deg: 0.002, dLat_deg: 0.002, cols: 2, rows: 2 };

  it('give each cell the mean of those whose centres lie in it, known ones only', async () => {
    const raster = await rasterOf(
      [
        [1, 2, 10, 20],
        [3, 4, 30, Number.NaN],
        [5, 5, Number.NaN, Number.NaN],
        [5, 9, Number.NaN, Number.NaN],
      ],
      -94,
      42.004,
      0.001,
    );
    const made = ontoLattice(raster, gridOf(lattice));
    // South row first: (5 + 5 + 5 + 9) / 4 and none; (1 + 2 + 3 + 4) / 4 and (10 + 20 + 30) / 3.
    expect([...made.values]).toEqual([6, Number.NaN, 2.5, 20]);
    expect(made.how).toBe('mean');
    expect(made.known_ac).toBeCloseTo(300 / M2_PER_ACRE, 12);
  });

  it('leave cells without ground, and off the raster, without a value', async () => {
    const raster = await rasterOf(
      [
        [1, 2],
        [3, 4],
      ],
      -94,
      42.002,
      0.001,
    );
    const made = ontoLattice(raster, gridOf(lattice, [100, 100, 100, 0]));
    expect([...made.values]).toEqual([2.5, Number.NaN, Number.NaN, Number.NaN]);
    expect(made.known_ac).toBeCloseTo(100 / M2_PER_ACRE, 12);
  });

  it('in another system go to the cells that their own centres say', async () => {
    const [file] = fixture('tif/utm_f32.tif');
    if (!file) throw new Error('no fixture');
    const raster = value(await readRaster(file, { band: 1, crs: null }));
    const [west, north] = raster.toLngLat(4, 3);
    const [east, south] = raster.toLngLat(57, 38);
    const ground = [
      [
        [
          [west, south],
          [east, south],
          [east, north],
          [west, north],
          [west, south],
        ],
      ],
    ] satisfies LngLat[][][];
    const grid = value(makeFieldGrid(ground, 37));
    const made = ontoLattice(raster, grid);
    expect(made.how).toBe('mean');
    const sums = new Map<number, number[]>();
    const close = new Set<number>();
    // A centre within a thousandth of a cell from a border (4 cm) may go to either side: patches of the projection are straight.
    const hair = 0.001;
    const { dLng_deg, dLat_deg } = grid.lattice;
    for (let row = 0; row < raster.height; row++)
      for (let col = 0; col < raster.width; col++) {
        const [lng, lat] = raster.toLngLat(col + 0.5, row + 0.5);
        const one = raster.values[row * raster.width + col] ?? Number.NaN;
        if (Number.isNaN(one)) continue;
        const cell = cellAt(grid.lattice, [lng, lat]);
        sums.set(cell, [...(sums.get(cell) ?? []), one]);
        for (const [dx, dy] of [
          [hair, 0],
          [-hair, 0],
          [0, hair],
          [0, -hair],
        ] as const) {
          const beside = cellAt(grid.lattice, [lng + dx * dLng_deg, lat + dy * dLat_deg]);
          if (beside !== cell) close.add(cell).add(beside);
        }
      }
    let compared = 0;
    made.values.forEach((one, cell) => {
      const all = sums.get(cell);
      if (!((grid.cover_m2[cell] ?? 0) > 0) || !all || close.has(cell)) return;
      compared++;
      expect(one).toBeCloseTo(all.reduce((sum, each) => sum + each, 0) / all.length, 9);
    });
    expect(compared).toBeGreaterThan(60);
  });

  itWithGdal('are averaged as gdalwarp does where the grids line up', async () => {
    const fine: Lattice = { west_deg: -94, south_deg: 42, dLng_deg: 0.0005, dLat_deg: 0.0004, cols: 40, rows: 32 };
    const values = Float64Array.from({ length: 1280 }, (_, i) =>
      i % 11 === 3 ? Number.NaN : Math.fround(Math.sin(i / 7) * 50 + i / 20),
    );
    const coarse: Lattice = { west_deg: -94, south_deg: 42, dLng_deg: 0.002, dLat_deg: 0.0016, cols: 10, rows: 8 };
    const theirs = await warped('average', writeGeoTiff(values, fine), coarse);
    const raster = value(
      await readRaster({ name: 'f.tif', bytes: writeGeoTiff(values, fine) }, { band: 1, crs: null }),
    );
    const ours = ontoLattice(raster, gridOf(coarse)).values;
    ours.forEach((one, cell) => void expect(Math.abs(one - (theirs[cell] ?? Number.NaN))).toBeLessThan(1e-4));
  });
});

describe('pixels coarser than the cells', () => {
  it('are mixed by nearness of their centres', async () => {
    // Centres at 0.5 and 1.5 steps; a cell's centre at 0.75, 0.75 from the south-west has 0.25 and 0.75 of each.
    const raster = await rasterOf(
      [
        [30, 40],
        [10, 20],
      ],
      -94,
      42.02,
      0.01,
    );
    const lattice: Lattice = {
      west_deg: -93.995,
      south_deg: 42.005,
      dLng_deg: 0.005,
      dLat_deg: 0.005,
      cols: 2,
      rows: 1,
    };
    const made = ontoLattice(raster, gridOf(lattice));
    expect(made.how).toBe('bilinear');
    // (0.75, 0.75): 0.75 x (0.75 x 10 + 0.25 x 20) + 0.25 x (0.75 x 30 + 0.25 x 40) = 17.5; (1.25, 0.75): 22.5.
    expect(made.values[0]).toBeCloseTo(17.5, 9);
    expect(made.values[1]).toBeCloseTo(22.5, 9);
  });

  it('without a value give none under their own ground, and no weight beside it', async () => {
    const raster = await rasterOf(
      [
        [Number.NaN, 40],
        [10, 20],
      ],
      -94,
      42.02,
      0.01,
    );
    const lattice: Lattice = { west_deg: -94, south_deg: 42, dLng_deg: 0.005, dLat_deg: 0.005, cols: 4, rows: 4 };
    const { values } = ontoLattice(raster, gridOf(lattice));
    // North-west quarter: nothing. The cell at (0.75, 0.75) lacks the weight of the empty pixel, 0.75 x 0.25.
    expect([values[8], values[9], values[12], values[13]]).toEqual([Number.NaN, Number.NaN, Number.NaN, Number.NaN]);
    expect(values[5]).toBeCloseTo((0.5625 * 10 + 0.1875 * 20 + 0.0625 * 40) / 0.8125, 9);
    // The corner cell lies beyond the centres: what is off the raster has no weight either.
    expect(values[0]).toBeCloseTo(10, 9);
  });

  itWithGdal('are mixed as gdalwarp does', async () => {
    const [file] = fixture('tif/crs/iowa_ft.tif');
    if (!file) throw new Error('no fixture');
    const raster = value(await readRaster(file, { band: 1, crs: null }));
    const [lng, lat] = raster.toLngLat(18, 14);
    const lattice: Lattice = {
      west_deg: lng - 0.02,
      south_deg: lat - 0.015,
      dLng_deg: 0.002,
      dLat_deg: 0.0015,
      cols: 20,
      rows: 20,
    };
    const ours = ontoLattice(raster, gridOf(lattice));
    expect(ours.how).toBe('bilinear');
    const theirs = await warped('bilinear', file.bytes, lattice);
    ours.values.forEach((one, cell) => void expect(Math.abs(one - (theirs[cell] ?? Number.NaN))).toBeLessThan(0.01));
  });
});

describe('any raster', () => {
  it('stays between its least and its largest value, and a constant one stays constant', async () => {
    await fc.assert(
      fc.asyncProperty(
        // A single pixel is refused before it comes here.
        fc.integer({ min: 2, max: 12 }),
        fc.integer({ min: 1, max: 12 }),
        fc.double({ min: 0.1, max: 4, noNaN: true }),
        fc.nat(),
        fc.boolean(),
        async (cols, rows, ratio, seed, constant) => {
          const picture = Array.from({ length: rows }, (_, row) =>
            Array.from({ length: cols }, (_, col) =>
              constant ? Math.fround(7.3) : Math.fround(Math.sin(seed + row * 31 + col) * 100),
            ),
          );
          const raster = await rasterOf(picture, -94, 42.01, 0.001);
          const step = 0.001 * ratio;
          const lattice: Lattice = {
            west_deg: -94.0005,
            south_deg: 42.0005,
            dLng_deg: step,
            dLat_deg: step,
            cols: 8,
            rows: 8,
          };
          const { values } = ontoLattice(raster, gridOf(lattice));
          const all = picture.flat();
          const [least, largest] = [Math.min(...all), Math.max(...all)];
          values.forEach((one, cell) => {
            const [col, row] = raster.toPixel(cellCentre(lattice, cell));
            const inside = col > 1e-6 && row > 1e-6 && col < cols - 1e-6 && row < rows - 1e-6;
            if (inside) expect(one).not.toBeNaN();
            if (Number.isNaN(one)) return;
            expect(one).toBeGreaterThanOrEqual(least - 1e-9);
            expect(one).toBeLessThanOrEqual(largest + 1e-9);
          });
        },
      ),
      { numRuns: 60 },
    );
  });
});

/** A raster that GDAL brought onto a lattice, in cell order. */
async function warped(how: 'average' | 'bilinear', bytes: Uint8Array, lattice: Lattice): Promise<Float64Array> {
  const [from, to] = [join(folder, `${how}.tif`), join(folder, `${how}-out.tif`)];
  writeFileSync(from, bytes);
  const { west_deg, south_deg, dLng_deg, dLat_deg, cols, rows } = lattice;
  const box = [west_deg, south_deg, west_deg + cols * dLng_deg, south_deg + rows * dLat_deg].map(String);
  gdal('gdalwarp', [
    '-q',
    '-overwrite',
    '-r',
    how,
    '-et',
    '0',
    '-t_srs',
    'EPSG:4326',
    '-ot',
    'Float32',
    '-dstnodata',
    '-9999',
    '-te',
    ...box,
    '-ts',
    String(cols),
    String(rows),
    from,
    to,
  ]);
  const raster = value(
    await readRaster({ name: 'w.tif', bytes: new Uint8Array(readFileSync(to)) }, { band: 1, crs: null }),
  );
  const values = new Float64Array(cols * rows);
  raster.values.forEach((one, i) => {
    values[(rows - 1 - Math.floor(i / cols)) * cols + (i % cols)] = one;
  });
  return values;
}
