import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect } from 'vitest';
import { writeGeoTiff } from '../../core/formats/geotiff-write.ts';
import { outlineLabels } from '../../core/geo/outline.ts';
import type { Lattice, MultiPolygon } from '../../core/geo/types.ts';
import { sieveLabels } from '../../core/zones/sieve.kernel.ts';
import { itWithGdal } from '../gdal.ts';
import { box } from '../geo/shapes.ts';

/** A lattice of 1e-5 degree, whose whole ground is the cells themselves. */
const lattice: Lattice = {
  west_deg: -93,
  south_deg: 42,
  dLng_deg: 0.00001,
  dLat_deg: 0.00001,
  cols: 90,
  rows: 70,
};
/** The outermost cells stay bare, as on every lattice of a field. */
const ground: MultiPolygon = [[box(-92.99999, 42.00001, -92.99911, 42.00069)]];

function wavy(): Int16Array {
  return Int16Array.from({ length: lattice.cols * lattice.rows }, (_, cell) => {
    const col = cell % lattice.cols;
    const row = (cell - col) / lattice.cols;
    if (col === 0 || row === 0 || col === lattice.cols - 1 || row === lattice.rows - 1) return 0;
    const wave = Math.sin(col / 7) + Math.cos(row / 5 + col / 11) + 0.4 * Math.sin(cell * 12.9898);
    return 1 + Math.min(4, Math.max(0, Math.floor(((wave + 2.4) / 4.8) * 5)));
  });
}

/** Twice the area in square degrees, by the shoelace formula about the lattice's corner. */
const twice = (ring: readonly (readonly number[])[]): number =>
  ring.reduce((sum, [x = 0, y = 0], i) => {
    const [u = 0, v = 0] = ring[(i + 1) % ring.length] ?? [];
    return sum + ((x + 93) * (v - 42) - (u + 93) * (y - 42));
  }, 0);
const area = (polygons: readonly (readonly (readonly (readonly number[])[])[])[]): number =>
  polygons.flat().reduce((sum, ring) => sum + twice(ring) / 2, 0);

interface Feature {
  readonly properties: { readonly DN: number };
  readonly geometry: { readonly coordinates: number[][][] };
}

/** Areas by label as gdal_polygonize gives them for the same raster. */
function byGdal(labels: Int16Array): Map<number, number> {
  const folder = mkdtempSync(join(tmpdir(), 'pearlash-test-'));
  try {
    writeFileSync(join(folder, 'labels.tif'), writeGeoTiff(Float64Array.from(labels), lattice));
    execFileSync('gdal_polygonize.py', [
      '-q',
      join(folder, 'labels.tif'),
      '-f',
      'GeoJSONSeq',
      join(folder, 'out.json'),
    ]);
    const areas = new Map<number, number>();
    for (const line of readFileSync(join(folder, 'out.json'), 'utf8').split('\n')) {
      if (line.trim() === '') continue;
      const { properties, geometry } = JSON.parse(line.replaceAll('\x1e', '')) as Feature; // as GDAL writes it
      areas.set(properties.DN, (areas.get(properties.DN) ?? 0) + Math.abs(area([geometry.coordinates])));
    }
    return areas;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

itWithGdal('outlines of the classes hold the same area as those of gdal_polygonize, to 1e-9, raw and sieved', () => {
  const raw = wavy();
  const cover = Float64Array.from(raw, (label) => (label === 0 ? 0 : 1));
  const sieved = sieveLabels(raw, lattice.cols, cover, 40, 0).labels;
  for (const labels of [raw, sieved]) {
    const theirs = byGdal(labels);
    const ours = outlineLabels(labels, lattice, ground, false, { least_m2: 0 });
    expect([...ours.keys()].sort()).toEqual([1, 2, 3, 4, 5]);
    for (const [label, polygons] of ours)
      expect(Math.abs(area(polygons) / (theirs.get(label) ?? 0) - 1)).toBeLessThan(1e-9);
  }
});
