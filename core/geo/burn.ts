import { coverCells } from './cover.kernel.ts';
import type { Lattice, MultiPolygon } from './types.ts';

/**
 * Which shape lies under each cell, as its number from 1: the one that shares most ground with the cell, the first of
 * equals. 0 where no shape reaches into the cell or the cell is not wanted.
 *
 * So a cell counts as a shape's own although the shape covers only a part of it: outlines drawn a few metres inside the
 * boundary, or a gap narrower than a cell, leave no cell empty. Who needs the ground that truly lies under no shape
 * takes `difference`. Cost: shapes x cells. Throws where there are more shapes than an Int16 can number. Ours.
 */
export function burnPolygons(
  lattice: Lattice,
  shapes: readonly MultiPolygon[],
  wanted: (cell: number) => boolean,
): Int16Array {
  if (shapes.length > 32_767) throw new RangeError(`${shapes.length} shapes`);
  const cells = lattice.cols * lattice.rows;
  const numbers = new Int16Array(cells);
  const most_m2 = new Float64Array(cells);
  shapes.forEach((shape, index) => {
    const { cover_m2 } = coverCells(lattice, shape);
    for (let cell = 0; cell < cells; cell++) {
      const share = cover_m2[cell] ?? 0;
      if (share <= (most_m2[cell] ?? 0)) continue;
      most_m2[cell] = share;
      numbers[cell] = index + 1;
    }
  });
  for (let cell = 0; cell < cells; cell++) if (numbers[cell] !== 0 && !wanted(cell)) numbers[cell] = 0;
  return numbers;
}
