import type { Raster } from '../formats/geotiff-read.ts';
import type { Lattice } from '../geo/types.ts';

/** Pixels along a side of a patch whose corners alone are taken through the projection. */
const PATCH = 32;

/**
 * Adds each pixel to the cell that its centre falls in: the value to `sums` and 1 to `known` where it has one, 1 to `all` anyway.
 * Within patches of 32 x 32 pixels the projection is taken as bilinear between exact corners: off by side^2 / 8 times its
 * curvature, which is some 0.1 mm for pixels of 1 m and 0.02 m for pixels of 30 m, with the earth's radius for curvature.
 */
export function addPixels(
  raster: Raster,
  lattice: Lattice,
  sums: Float64Array,
  known: Int32Array,
  all: Int32Array,
): void {
  const { width, height, values } = raster;
  const { cols, rows, west_deg, south_deg, dLng_deg, dLat_deg } = lattice;
  const corner = (col: number, row: number): readonly [number, number] => {
    const p = raster.toLngLat(col, row);
    return [(p[0] - west_deg) / dLng_deg, (p[1] - south_deg) / dLat_deg];
  };
  for (let top = 0; top < height; top += PATCH) {
    const bottom = Math.min(height, top + PATCH);
    for (let left = 0; left < width; left += PATCH) {
      const right = Math.min(width, left + PATCH);
      const [nwU, nwV] = corner(left, top);
      const [neU, neV] = corner(right, top);
      const [swU, swV] = corner(left, bottom);
      const [seU, seV] = corner(right, bottom);
      if (outside(nwU, neU, swU, seU, cols) || outside(nwV, neV, swV, seV, rows)) continue;
      for (let row = top; row < bottom; row++) {
        const t = (row + 0.5 - top) / (bottom - top);
        const u0 = nwU + (swU - nwU) * t;
        const v0 = nwV + (swV - nwV) * t;
        const du = (neU + (seU - neU) * t - u0) / (right - left);
        const dv = (neV + (seV - neV) * t - v0) / (right - left);
        for (let col = left; col < right; col++) {
          const u = Math.floor(u0 + du * (col + 0.5 - left));
          const v = Math.floor(v0 + dv * (col + 0.5 - left));
          if (!(u >= 0 && u < cols && v >= 0 && v < rows)) continue;
          const cell = v * cols + u;
          all[cell]!++;
          const value = values[row * width + col]!;
          if (Number.isNaN(value)) continue;
          sums[cell]! += value;
          known[cell]!++;
        }
      }
    }
  }
}

/** All four on one side of 0 to `size`, or not numbers. */
function outside(a: number, b: number, c: number, d: number, size: number): boolean {
  return !(Math.max(a, b, c, d) >= 0 && Math.min(a, b, c, d) < size);
}

/** The value at a place among the pixels, (0.5, 0.5) being the first one's centre; NaN off the raster or where its pixel has none. */
export function bilinear({ width, height, values }: Raster, col: number, row: number): number {
  if (!(col >= 0 && col < width && row >= 0 && row < height)) return Number.NaN;
  if (Number.isNaN(values[Math.floor(row) * width + Math.floor(col)]!)) return Number.NaN;
  const x = col - 0.5;
  const y = row - 0.5;
  const left = Math.floor(x);
  const top = Math.floor(y);
  let sum = 0;
  let weights = 0;
  let least = Infinity;
  let largest = -Infinity;
  for (let j = top; j <= top + 1; j++) {
    if (j < 0 || j >= height) continue;
    const down = 1 - Math.abs(y - j);
    for (let i = left; i <= left + 1; i++) {
      if (i < 0 || i >= width) continue;
      const value = values[j * width + i]!;
      const weight = down * (1 - Math.abs(x - i));
      if (Number.isNaN(value) || weight === 0) continue;
      sum += weight * value;
      weights += weight;
      if (value < least) least = value;
      if (value > largest) largest = value;
    }
  }
  // Rounding must not carry a value past those it lies between.
  return Math.min(largest, Math.max(least, sum / weights));
}
