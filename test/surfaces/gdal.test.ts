/**
 * Against gdal_grid in double precision, over a grid about the Meuse samples: the fast way that GDAL takes otherwise is float32 with an
 * approximate reciprocal, off by up to 7e-5. The samples are of the R package sp: see test/fixtures/opendata/NOTICE.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect } from 'vitest';
import { makeBuckets } from '../../core/surfaces/buckets.kernel.ts';
import { type IdwJob, idwGrid } from '../../core/surfaces/idw.ts';
import { itWithGdal } from '../gdal.ts';

const COLS = 41;
const ROWS = 53;
const CELL_M = 80;
const WEST = 178_400;
const NORTH = 333_900;
const [header = '', ...lines] = readFileSync(new URL('../fixtures/opendata/meuse-samples.csv', import.meta.url), 'utf8')
  .trim()
  .split('\n');
const column = (name: string): Float64Array => {
  const index = header.split(',').indexOf(name);
  return Float64Array.from(lines, (line) => Number(line.split(',')[index]));
};
const [x, y, z] = [column('x'), column('y'), column('zinc')];
const folder = mkdtempSync(join(tmpdir(), 'grid-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Values in rows from the north. */
function byGdal(algorithm: string, type: 'Float64' | 'Float32'): ArrayLike<number> {
  const points = join(folder, 'points.geojson');
  const features = Array.from(x, (px, i) => ({
    type: 'Feature',
    properties: { z: z[i] },
    geometry: { type: 'Point', coordinates: [px, y[i]] },
  }));
  writeFileSync(points, JSON.stringify({ type: 'FeatureCollection', features }));
  const out = join(folder, 'grid.bin');
  execFileSync(
    'gdal_grid',
    [
      ...['-q', '-zfield', 'z', '-a', `${algorithm}:nodata=-1`, '-ot', type, '-of', 'ENVI'],
      ...['-txe', String(WEST), String(WEST + COLS * CELL_M), '-tye', String(NORTH - ROWS * CELL_M), String(NORTH)],
      ...['-outsize', String(COLS), String(ROWS), points, out],
    ],
    { stdio: 'pipe', env: { ...process.env, GDAL_USE_AVX: 'NO', GDAL_USE_SSE: 'NO', GDAL_NUM_THREADS: '1' } },
  );
  const bytes = readFileSync(out);
  const raw = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength);
  return type === 'Float64' ? new Float64Array(raw) : new Float32Array(raw);
}

function byUs(power: number, k: number, radius_m: number | null): Float64Array {
  const out = new Float64Array(COLS * ROWS).fill(Number.NaN);
  const job: IdwJob = {
    buckets: makeBuckets(x, y),
    values: [z],
    power,
    k: k === 0 ? x.length : k,
    radius_m,
    x0: WEST + CELL_M / 2,
    y0: NORTH - CELL_M / 2,
    dx: CELL_M,
    dy: -CELL_M,
    cols: COLS,
    rows: ROWS,
    wanted: new Float64Array(COLS * ROWS).fill(1),
    out: [out],
    nearest_m: new Float32Array(COLS * ROWS),
  };
  idwGrid(job);
  return out;
}

/** Cells where the k-th sample and the next are equally far: GDAL has no rule there. */
function tied(cell: number, k: number): boolean {
  const px = WEST + ((cell % COLS) + 0.5) * CELL_M;
  const py = NORTH - (Math.floor(cell / COLS) + 0.5) * CELL_M;
  const d2 = Array.from(x, (sx, i) => (sx - px) ** 2 + ((y[i] ?? Number.NaN) - py) ** 2).sort((a, b) => a - b);
  return k > 0 && d2[k - 1] === d2[k];
}

function compare(
  got: Float64Array,
  want: ArrayLike<number>,
  limit: number,
  k: number,
): { cells: number; empty: number } {
  expect(want.length).toBe(got.length);
  let empty = 0;
  let cells = 0;
  const wrong: number[] = [];
  for (const [cell, value] of got.entries()) {
    if (tied(cell, k)) continue;
    cells++;
    if (want[cell] === -1) empty++;
    const same = want[cell] === -1 ? Number.isNaN(value) : Math.abs(value / (want[cell] ?? Number.NaN) - 1) <= limit;
    if (!same) wrong.push(cell);
  }
  expect(wrong).toEqual([]);
  return { cells, empty };
}

describe('gdal_grid in double precision', () => {
  itWithGdal('all samples, powers 2 and 3', () => {
    for (const power of [2, 3]) {
      const want = byGdal(`invdist:power=${power}:smoothing=0`, 'Float64');
      expect(compare(byUs(power, 0, null), want, 1e-12, 0).cells).toBe(COLS * ROWS);
    }
  });

  itWithGdal('12 nearest, powers 2 and 1.5', () => {
    for (const power of [2, 1.5]) {
      const want = byGdal(`invdistnn:power=${power}:radius=9000:max_points=12:min_points=1`, 'Float64');
      expect(compare(byUs(power, 12, null), want, 1e-12, 12).cells).toBeGreaterThan(2000);
    }
  });

  itWithGdal('12 nearest within 300 m, and no value where there is none', () => {
    const want = byGdal('invdistnn:power=2:radius=300:max_points=12:min_points=1', 'Float64');
    const { cells, empty } = compare(byUs(2, 12, 300), want, 1e-12, 12);
    expect(cells).toBeGreaterThan(2000);
    expect(empty).toBeGreaterThan(500);
  });

  itWithGdal('all within 300 m', () => {
    const want = byGdal('invdist:power=2:smoothing=0:radius1=300:radius2=300:min_points=1', 'Float64');
    expect(compare(byUs(2, 0, 300), want, 1e-12, 0).empty).toBeGreaterThan(500);
  });

  itWithGdal('written as float32', () => {
    const want = byGdal('invdist:power=2:smoothing=0', 'Float32');
    expect(compare(byUs(2, 0, null), want, 1e-6, 0).cells).toBe(COLS * ROWS);
  });
});
