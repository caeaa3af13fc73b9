import { M2_PER_ACRE } from '../base/units.ts';
import type { Raster } from '../formats/geotiff-read.ts';
import { cellCentre } from '../geo/lattice.ts';
import type { FieldGrid } from '../geo/types.ts';
import { addPixels, bilinear } from './onto-lattice.kernel.ts';

export interface OntoLattice {
  /** In cell order; NaN off the ground and where the raster has no value. */
  readonly values: Float64Array;
  /** Acres of the field whose cells have a value. */
  readonly known_ac: number;
  readonly how: 'mean' | 'bilinear';
}

/**
 * A raster's values at the cells of a field's lattice, for cells that share ground with the field.
 *
 * Pixels finer than the cells (by the area of one at the field's middle): the mean of the known pixels whose centres fall inside the cell,
 * NaN where all of those have no value. Coarser, or no pixel's centre in the cell: bilinear between the four pixels whose centres
 * are about the cell's centre, those without a value or off the raster left out and the weights of the others raised to 1; NaN where
 * the pixel under the cell's centre itself has no value, so nothing is carried past the edge of what was measured.
 *
 * A constant raster gives that constant; every value lies between the least and the largest of the raster.
 * Cost: the pixels of the raster, or the cells. Ours; `average` and `bilinear` of gdalwarp agree where grids line up.
 */
export function ontoLattice(raster: Raster, grid: FieldGrid): OntoLattice {
  const { lattice, cover_m2 } = grid;
  const values = new Float64Array(lattice.cols * lattice.rows).fill(Number.NaN);
  const how = pixelsPerCell(raster, grid) > 1 ? 'mean' : 'bilinear';
  const sums = new Float64Array(values.length);
  const known = new Int32Array(values.length);
  const all = new Int32Array(values.length);
  if (how === 'mean') addPixels(raster, lattice, sums, known, all);
  let known_m2 = 0;
  for (let cell = 0; cell < values.length; cell++) {
    const ground_m2 = cover_m2[cell] ?? 0;
    if (!(ground_m2 > 0)) continue;
    const pixels = known[cell] ?? 0;
    const value =
      pixels > 0
        ? (sums[cell] ?? 0) / pixels
        : (all[cell] ?? 0) > 0
          ? Number.NaN
          : bilinear(raster, ...raster.toPixel(cellCentre(lattice, cell)));
    values[cell] = value;
    if (!Number.isNaN(value)) known_m2 += ground_m2;
  }
  return { values, known_ac: known_m2 / M2_PER_ACRE, how };
}

/** Area of a cell over that of a pixel, at the middle of the lattice; NaN where the raster's system does not reach it. */
function pixelsPerCell(raster: Raster, { lattice }: FieldGrid): number {
  const lng = lattice.west_deg + (lattice.cols / 2) * lattice.dLng_deg;
  const lat = lattice.south_deg + (lattice.rows / 2) * lattice.dLat_deg;
  const [col, row] = raster.toPixel([lng, lat]);
  const [eastCol, eastRow] = raster.toPixel([lng + lattice.dLng_deg, lat]);
  const [northCol, northRow] = raster.toPixel([lng, lat + lattice.dLat_deg]);
  const area = (eastCol - col) * (northRow - row) - (eastRow - row) * (northCol - col);
  return Math.abs(area);
}
