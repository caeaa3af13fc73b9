import type { LngLat } from '../../core/geo/types.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import type { SoilOut } from '../../core/soil/types.ts';
import { type BalanceLimits, balanceClass } from '../charts/balance.ts';
import type { ZoneArcs } from './arcs.ts';
import type { Camera, Point } from './camera.ts';
import { project } from './camera.ts';
import { collection, type FeatureCollection, lineFeature, NOTHING, pointFeature, polygonFeature } from './geojson.ts';
import { markImage } from './pictures.ts';
import { colourOf, RAMPS } from './ramps.ts';

/** Zones in the colours of their rates; those withheld apart. */
export function rateShapes(out: Pick<PlanOut, 'rates' | 'zones'>): {
  readonly rates: FeatureCollection;
  readonly withheld: FeatureCollection;
} {
  const rateOf = new Map(out.rates?.zones.map((zone) => [zone.key, zone.rate_lbPerAc]));
  // What is kept out by its role has no rate: the bare ground shows.
  const zones = out.rates && out.zones ? out.zones.zones.filter(({ role }) => role !== 'keep out') : [];
  const rates = zones.flatMap((zone) => {
    const rate = rateOf.get(zone.key) ?? null;
    const colour = rate === null ? null : colourOf(RAMPS.rate, rate);
    return colour === null ? [] : [polygonFeature(zone.polygons, { colour })];
  });
  const withheld = zones.filter((zone) => (rateOf.get(zone.key) ?? null) === null);
  return {
    rates: collection(...rates),
    withheld: collection(...withheld.map((zone) => polygonFeature(zone.polygons))),
  };
}

/** Kept samples; by class each carries its mark, else all are dots. */
export function sampleShapes(soil: SoilOut | null, byClass: boolean, limits: BalanceLimits): FeatureCollection {
  return collection(
    ...(soil?.samples ?? []).map((sample) => {
      const id = byClass ? balanceClass(sample.k_ppm, sample.saturation.k_pct, limits) : null;
      return pointFeature(sample.at, id === null ? {} : { mark: markImage(id) });
    }),
  );
}

/** Places of rows set aside. A place where a kept sample stands is that sample's. */
export function setAsideShapes(soil: SoilOut | null): FeatureCollection {
  if (!soil) return NOTHING;
  const name = (at: LngLat): string => `${at[0]},${at[1]}`;
  const kept = new Set(soil.samples.map((sample) => name(sample.at)));
  const places = new Map<string, LngLat>();
  for (const row of [...soil.rows, ...soil.pointRows]) {
    if (!row.kept && row.at && !kept.has(name(row.at))) places.set(name(row.at), row.at);
  }
  return collection(...[...places.values()].map((at) => pointFeature(at)));
}

export const litShapes = (soil: SoilOut | null, lit: ReadonlySet<string>): FeatureCollection =>
  collection(...(soil?.samples ?? []).filter((s) => lit.has(s.id)).map((s) => pointFeature(s.at)));

/** Outlines of zone composites. */
export const compositeShapes = (soil: SoilOut | null): FeatureCollection =>
  collection(...(soil?.samples ?? []).flatMap((s) => (s.polygons ? [polygonFeature(s.polygons)] : [])));

/** Inwards of the boundary's own casing, and of a keep-out's edge, so that the whole width of the overprint is seen. */
const INWARDS_PX = { boundary: -4.4, keepOut: -2.3 } as const;

/** The selected zone's outline: on the line between zones, and inside the field's edge. */
export function selectedShapes(arcs: ZoneArcs | null, key: string | null): FeatureCollection {
  const edge = key === null ? undefined : arcs?.ofZone.get(key);
  if (!edge) return NOTHING;
  return collection(
    lineFeature(edge.boundary, { offset: INWARDS_PX.boundary }),
    lineFeature(edge.keepOut, { offset: INWARDS_PX.keepOut }),
    lineFeature(edge.inner, { offset: 0 }),
  );
}

const REACH_PX = 10;

/** Id of the sample under the pointer, the nearest within reach. */
export function sampleAt(soil: SoilOut | null, camera: Camera, px: Point): string | null {
  let best: string | null = null;
  let reach = REACH_PX;
  for (const sample of soil?.samples ?? []) {
    if (sample.polygons) continue;
    const [x, y] = project(camera, sample.at);
    const distance = Math.hypot(x - px[0], y - px[1]);
    if (distance <= reach) {
      best = sample.id;
      reach = distance;
    }
  }
  return best;
}
