import type { SoilSettings } from '../soil/settings.ts';
import type { SoilOut } from '../soil/types.ts';
import type { SurfacesOut } from '../surfaces/types.ts';
import type { ZonesOut } from '../zones/types.ts';
import { goalsByLayer, planOfZone } from './choices.ts';
import type { GuideTableInput } from './guides/table.ts';
import type { RatesSettings } from './settings.ts';
import type { ZoneRate } from './types.ts';

/** What a guide is asked with at a zone, and the plan's choices as they stand there. */
export interface GuideGround extends GuideTableInput {
  readonly rates: RatesSettings;
}

/**
 * The ground of one zone as the ledger asks a guide about it: the zone's own choices, its own yield goal or its layer's, and the extractant that K
 * was converted to. `out`: what the stages gave; where one is missing the plan's own figure stands. Linear in the cells where a layer sets the goal.
 */
export function guideGround(
  zone: Pick<ZoneRate, 'key' | 'reading'>,
  plan: { readonly rates: RatesSettings; readonly soil: SoilSettings },
  out: {
    readonly soil: Pick<SoilOut, 'extractant'> | null;
    readonly zones: Pick<ZonesOut, 'zones' | 'labels'> | null;
    readonly surfaces: Pick<SurfacesOut, 'own' | 'grid'> | null;
  } | null,
): GuideGround {
  const goals =
    plan.rates.yieldLayer && out?.zones && out.surfaces ? goalsByLayer(plan.rates, out.zones, out.surfaces) : null;
  const label = out?.zones?.zones.find(({ key }) => key === zone.key)?.label;
  const layerGoal = label === undefined ? null : (goals?.byLabel.get(label) ?? null);
  return {
    reading: zone.reading,
    soil: { ...plan.soil, extractant: out?.soil?.extractant ?? plan.soil.extractant },
    rates: planOfZone(plan.rates, zone.key, layerGoal).plan,
  };
}
