import { contains } from '../../core/geo/contains.ts';
import { localFrame, toLocal } from '../../core/geo/frame.ts';
import { cellAt } from '../../core/geo/lattice.ts';
import type { LngLat } from '../../core/geo/types.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import { type AnyLayerId, LAYER_IDS } from '../../core/surfaces/types.ts';
import type { SpotReading } from './props.ts';

/**
 * Every layer's value at one place, read from the cells themselves and never from what is drawn.
 * Null outside the spreadable ground. Before there are surfaces `cell` is -1 and only the nearest sample is known.
 * A layer without a value there is left out. Linear in samples and boundary positions.
 */
export function readingAt(out: PlanOut, at: LngLat): SpotReading | null {
  if (!out.field || !contains(out.field.spreadable, at)) return null;
  const nearestSample = nearest(out, at);
  const cell = out.surfaces ? cellAt(out.surfaces.grid.lattice, at) : -1;
  if (!out.surfaces || cell < 0) {
    return { at, cell: -1, values: {}, zoneKey: null, zoneLetter: null, rate_lbPerAc: null, nearestSample };
  }
  const values: Partial<Record<AnyLayerId, number>> = {};
  for (const id of LAYER_IDS) {
    const value = out.surfaces.layers[id]?.[cell];
    if (value !== undefined && !Number.isNaN(value)) values[id] = value;
  }
  for (const own of out.surfaces.own) {
    const value = own.values[cell];
    if (value !== undefined && !Number.isNaN(value)) values[own.id] = value;
  }
  const label = out.zones?.labels[cell] ?? 0;
  const zone = label === 0 ? undefined : out.zones?.zones.find((z) => z.label === label);
  const rate = zone && out.rates?.zones.find((z) => z.key === zone.key);
  return {
    at,
    cell,
    values,
    zoneKey: zone?.key ?? null,
    zoneLetter: zone?.letter ?? null,
    rate_lbPerAc: rate?.rate_lbPerAc ?? null,
    nearestSample,
  };
}

function nearest(out: PlanOut, at: LngLat): SpotReading['nearestSample'] {
  const frame = localFrame(at);
  let best: SpotReading['nearestSample'] = null;
  for (const sample of out.soil?.samples ?? []) {
    const [x, y] = toLocal(frame, sample.at);
    const distance_m = sample.polygons && contains(sample.polygons, at) ? 0 : Math.hypot(x, y);
    if (best === null || distance_m < best.distance_m) best = { id: sample.id, distance_m };
  }
  return best;
}
