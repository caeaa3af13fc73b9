import type { Lattice } from '../../core/geo/types.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import { BALANCE_CLASSES } from '../../core/zones/balance.ts';
import { type Picture, paintCodes, pixelsPerCell } from './picture.kernel.ts';
import { BALANCE_GROUND } from './ramps.ts';

/** The balance classes as a picture over the field's lattice. */
export interface BalancePicture extends Picture {
  readonly lattice: Lattice;
}

/** Longer side of the picture: cells are drawn as they are, so no more is seen in a larger one. */
const SIDE_PX = 1600;

/** Null where the results hold no balance classes. Cost: pixels. */
export function balancePicture({ surfaces, zones }: PlanOut): BalancePicture | null {
  if (!surfaces || !zones?.balance) return null;
  const { lattice } = surfaces.grid;
  const colours = BALANCE_CLASSES.map((id) => BALANCE_GROUND[id]);
  return { lattice, ...paintCodes(zones.balance.codes, lattice, colours, pixelsPerCell(lattice, SIDE_PX, SIDE_PX)) };
}
