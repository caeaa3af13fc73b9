import { layersOf } from '../../core/layers/layer.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';

import type { MapLayer } from '../map/props.ts';
import { openedNow, useOpened } from '../store/opened.ts';

/** Layers that the results hold, in the order of the list. */
export function mapLayers(out: PlanOut | null): readonly MapLayer[] {
  return [
    'samples',
    ...(out?.surfaces ? layersOf(out.surfaces) : []),
    ...(out?.zones?.balance ? (['balance'] as const) : []),
    ...(out?.rates ? (['rate'] as const) : []),
    ...(out?.handoff ? (['written'] as const) : []),
    ...(openedNow() ? (['opened'] as const) : []),
    ...(openedNow() && useOpened.getState().back ? (['openedLess'] as const) : []),
  ];
}
