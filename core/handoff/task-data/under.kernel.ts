import { coverCells } from '../../geo/cover.kernel.ts';
import { toDegrees, toUnits } from '../../geo/ring.ts';
import type { Lattice, MultiPolygon } from '../../geo/types.ts';

/** A shape and what is to be spread under it, one rate a product. */
export interface RatedShape {
  readonly polygons: MultiPolygon;
  readonly rates: readonly number[];
}

/**
 * Rates over the lattice's cells, one array a product; NaN in cells that no shape reaches into.
 *
 * `mean`: sum of rate x area that the shape shares with the cell, over the cell's ground (`ground_m2`), so that rate x ground of all cells keeps the pounds;
 * ground of the cell under no shape counts as 0. `most`: the rate of the shape that shares most with the cell, the first of equals.
 * Shapes must not overlap. Cost: each shape costs the cells of its own box. Ours.
 */
export function ratesUnder(
  lattice: Lattice,
  ground_m2: Float64Array,
  shapes: readonly RatedShape[],
  products: number,
  how: 'mean' | 'most',
): Float64Array[] {
  const cells = lattice.cols * lattice.rows;
  const sums = Array.from({ length: products }, () => new Float64Array(cells));
  const covered_m2 = new Float64Array(cells);
  const mean = how === 'mean';
  for (const { polygons, rates } of shapes) {
    const window = windowOf(lattice, polygons);
    if (!window) continue;
    const { cover_m2 } = coverCells(window.lattice, polygons);
    const { cols, rows } = window.lattice;
    for (let row = 0, at = 0; row < rows; row++) {
      let cell = (row + window.row) * lattice.cols + window.col;
      for (let col = 0; col < cols; col++, at++, cell++) {
        const share_m2 = cover_m2[at]!;
        if (share_m2 === 0) continue;
        if (mean) {
          covered_m2[cell]! += share_m2;
          for (let k = 0; k < products; k++) sums[k]![cell]! += share_m2 * rates[k]!;
        } else if (share_m2 > covered_m2[cell]!) {
          covered_m2[cell] = share_m2;
          for (let k = 0; k < products; k++) sums[k]![cell] = rates[k]!;
        }
      }
    }
  }
  for (let cell = 0; cell < cells; cell++) {
    const covered = covered_m2[cell]!;
    if (covered === 0) for (let k = 0; k < products; k++) sums[k]![cell] = Number.NaN;
    else if (mean) {
      const ground = ground_m2[cell]!;
      // Rounding of the shares must not move a rate that holds for the whole cell.
      const over_m2 = covered < ground * WHOLE ? ground : covered;
      for (let k = 0; k < products; k++) sums[k]![cell]! /= over_m2;
    }
  }
  return sums;
}
const WHOLE = 1 - 1e-6;

/** The part of the lattice under the shapes' box; null where they lie beside it. */
function windowOf(
  lattice: Lattice,
  polygons: MultiPolygon,
): { readonly lattice: Lattice; readonly col: number; readonly row: number } | null {
  let west = Infinity;
  let south = Infinity;
  let east = -Infinity;
  let north = -Infinity;
  for (const polygon of polygons) {
    for (const place of polygon[0]!) {
      if (place[0] < west) west = place[0];
      if (place[0] > east) east = place[0];
      if (place[1] < south) south = place[1];
      if (place[1] > north) north = place[1];
    }
  }
  const x0 = toUnits(lattice.west_deg);
  const y0 = toUnits(lattice.south_deg);
  const stepX = toUnits(lattice.dLng_deg);
  const stepY = toUnits(lattice.dLat_deg);
  const col = Math.max(0, Math.floor((toUnits(west) - x0) / stepX));
  const row = Math.max(0, Math.floor((toUnits(south) - y0) / stepY));
  const cols = Math.min(lattice.cols, Math.ceil((toUnits(east) - x0) / stepX)) - col;
  const rows = Math.min(lattice.rows, Math.ceil((toUnits(north) - y0) / stepY)) - row;
  if (!(cols > 0 && rows > 0)) return null;
  const west_deg = toDegrees(x0 + col * stepX);
  const south_deg = toDegrees(y0 + row * stepY);
  return { lattice: { ...lattice, west_deg, south_deg, cols, rows }, col, row };
}
