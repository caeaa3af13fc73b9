import { squareMetres, toAcres } from '../base/units.ts';
import { FACTORS, supplyFactor } from '../soil/chemistry.ts';
import type { SoilSettings } from '../soil/settings.ts';
import type { SurfacesOut } from '../surfaces/types.ts';
import { governingTarget } from './governing.ts';
import type { RatesSettings } from './settings.ts';

type Targets = Pick<RatesSettings, 'governs' | 'floor_ppm' | 'floor_pct' | 'rangeTop_pct' | 'calcareousReason'>;

/**
 * K2O (lb/ac) that each cell takes to reach the governing target, all at once: lines 2 to 4 of the ledger on the cell's own reading.
 * 0 where the cell is not short or lies above the range; NaN outside the field and where the target is not known. In cell order.
 * It goes by the plan's common targets: zones are made from it, so that what single zones choose otherwise cannot count here.
 * `depth_in` is the depth sampled where the samples tell another than the plan. Linear in the cells.
 */
export const needPerCell = (
  surfaces: SurfacesOut,
  soil: SoilSettings,
  rates: Targets,
  depth_in: number = soil.depth_in,
): Float64Array => needByCell(surfaces, soil, () => rates, depth_in);

/** The same by the targets of each cell, such as those of the zone that it lies in. */
export function needByCell(
  surfaces: SurfacesOut,
  soil: SoilSettings,
  targetsAt: (cell: number) => Targets,
  depth_in: number,
): Float64Array {
  const { k_ppm, cec_meq, ph } = surfaces.layers;
  const need = new Float64Array(surfaces.grid.cover_m2.length).fill(Number.NaN);
  if (!k_ppm) return need;
  const factor = supplyFactor(depth_in, soil);
  const kPpmPerMeq = FACTORS[soil.factors].k;
  for (let cell = 0; cell < need.length; cell++) {
    const reading = {
      k_ppm: k_ppm[cell] ?? Number.NaN,
      cec_meq: cec_meq?.[cell] ?? Number.NaN,
      ph: ph?.[cell] ?? Number.NaN,
    };
    const targets = targetsAt(cell);
    need[cell] = governingTarget(
      reading,
      targets,
      targets.governs,
      factor,
      kPpmPerMeq,
      soil.extractant,
    ).takes_lbK2OPerAc;
  }
  return need;
}

/** Cells that need this little more than their zone's reading are even with it: the last bits of a sum. */
const EVEN_LBPERAC = 1e-6;

/**
 * Acres of each zone whose cells need more than the zone's reading does, by label: ground that a mean leaves short. A cell whose need is
 * not known counts as not short. `takes_lbK2OPerAc` by label; a zone without one, or with NaN, counts every cell in need.
 */
export function shortAcres(
  labels: Int16Array,
  need_lbPerAc: Float64Array,
  cover_m2: Float64Array,
  takes_lbK2OPerAc: ReadonlyMap<number, number>,
): ReadonlyMap<number, number> {
  const short = new Map<number, number>();
  for (let cell = 0; cell < labels.length; cell++) {
    const label = labels[cell] ?? 0;
    if (label === 0) continue;
    const takes = takes_lbK2OPerAc.get(label) ?? 0;
    if ((need_lbPerAc[cell] ?? Number.NaN) > (Number.isNaN(takes) ? 0 : takes) + EVEN_LBPERAC)
      short.set(label, (short.get(label) ?? 0) + (cover_m2[cell] ?? 0));
  }
  return new Map([...short].map(([label, area]) => [label, toAcres(squareMetres(area))]));
}
