import type { PlanOut } from '../../core/pipeline/types.ts';
import { LAYER_IDS } from '../../core/surfaces/types.ts';
import type { MapLayer } from '../map/props.ts';

/** Layers that the results hold, in the order of the list. */
export function mapLayers(out: PlanOut | null): readonly MapLayer[] {
  const made = out?.surfaces?.layers ?? {};
  return ['samples', ...LAYER_IDS.filter((id) => made[id] !== undefined), ...(out?.rates ? (['rate'] as const) : [])];
}
