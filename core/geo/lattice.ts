import { fail, ok, type Result, stop } from '../base/problem.ts';
import { bounds } from './bounds.ts';
import { coverCells } from './cover.kernel.ts';
import { localFrame } from './frame.ts';
import { toDegrees, UNITS_PER_DEG } from './ring.ts';
import type { FieldGrid, Lattice, LngLat, MultiPolygon } from './types.ts';

/** Most cells that a lattice may have. */
export const MOST_CELLS = 4_000_000;

/**
 * The lattice of one field: cells of `cell_m` by the WGS84 radii at the field's middle latitude, aligned to longitude and
 * latitude, centred on the field's box with at least one spare cell around it.
 *
 * Steps are rounded to 4e-9 degree and the origin to 1e-9, so that cell corners, edge midpoints and their midpoints are
 * all 9-decimal coordinates; a 10 m cell is then true to 0.2 mm. Holds: the sum of `cover_m2` = `area_m2(ground)`.
 * Problems: `geo-no-ground`, `geo-too-many-cells`. Throws on a cell size that is not positive.
 */
export function makeFieldGrid(ground: MultiPolygon, cell_m: number): Result<FieldGrid> {
  if (!(cell_m > 0)) throw new RangeError(`cell size ${cell_m} m`);
  const box = bounds(ground);
  if (!(box.west < box.east && box.south < box.north)) {
    return fail(
      stop('geo-no-ground', 'The field has no ground to be spread.', 'Check the boundary and the keep-out areas.'),
    );
  }
  const frame = localFrame([(box.west + box.east) / 2, (box.south + box.north) / 2]);
  const x = axis(box.west, box.east, cell_m / frame.mPerDegLng);
  const y = axis(box.south, box.north, cell_m / frame.mPerDegLat);
  if (x.count * y.count > MOST_CELLS) {
    const least_m = Math.ceil(cell_m * Math.sqrt((x.count * y.count) / MOST_CELLS));
    return fail(
      stop(
        'geo-too-many-cells',
        `Cells of ${cell_m} m would make ${x.count} x ${y.count} of them over this field.`,
        `Take cells of ${least_m} m or larger, or check whether one part of the boundary lies far away.`,
        { setting: 'surfaces.cell_m' },
      ),
    );
  }
  const lattice: Lattice = {
    west_deg: x.from_deg,
    south_deg: y.from_deg,
    dLng_deg: x.step_deg,
    dLat_deg: y.step_deg,
    cols: x.count,
    rows: y.count,
  };
  return ok({ lattice, frame, cell_m, cover_m2: coverCells(lattice, ground).cover_m2 });
}

function axis(
  from_deg: number,
  to_deg: number,
  step_deg: number,
): { readonly from_deg: number; readonly step_deg: number; readonly count: number } {
  const step = Math.max(4, Math.round((step_deg * UNITS_PER_DEG) / 4) * 4);
  const from = Math.floor(from_deg * UNITS_PER_DEG);
  const to = Math.ceil(to_deg * UNITS_PER_DEG);
  const count = Math.ceil((to - from) / step) + 2;
  const start = from - Math.floor((count * step - (to - from)) / 2);
  return { from_deg: toDegrees(start), step_deg: toDegrees(step), count };
}

/** The middle of a cell. */
export function cellCentre(lattice: Lattice, cell: number): LngLat {
  const col = cell % lattice.cols;
  const row = (cell - col) / lattice.cols;
  return [lattice.west_deg + (col + 0.5) * lattice.dLng_deg, lattice.south_deg + (row + 0.5) * lattice.dLat_deg];
}

/** Index of the cell under a place, -1 outside the lattice. A place on a line belongs to the cell east or north of it. */
export function cellAt(lattice: Lattice, p: LngLat): number {
  const col = Math.floor((p[0] - lattice.west_deg) / lattice.dLng_deg);
  const row = Math.floor((p[1] - lattice.south_deg) / lattice.dLat_deg);
  if (!(col >= 0 && col < lattice.cols && row >= 0 && row < lattice.rows)) return -1;
  return row * lattice.cols + col;
}
