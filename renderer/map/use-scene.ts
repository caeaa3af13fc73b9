import { useEffect, useMemo } from 'react';
import { M2_PER_ACRE } from '../../core/base/units.ts';
import { isMade } from '../../core/layers/layer.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import type { AnyLayerId } from '../../core/surfaces/types.ts';
import { type ZoneArcs, zoneArcs } from './arcs.ts';
import { collection, lineFeature, NOTHING, polygonFeature } from './geojson.ts';
import { type ShownLayer, shownLayer } from './layer-of.ts';
import {
  compositeShapes,
  litShapes,
  rateShapes,
  sampleShapes,
  selectedShapes,
  setAsideShapes,
} from './marks-on-ground.ts';
import { paintSurface } from './picture.kernel.ts';
import type { FieldMapProps, MapLayer } from './props.ts';
import { type ClassAreas, classAreas, RAMPS, type Ramp } from './ramps.ts';
import { type DoubtShapes, type GroundShapes, groundShapes } from './shapes.ts';
import type { FieldView, SurfacePicture } from './view.ts';

/** What of the results the map can draw now. */
export interface Scene {
  readonly layer: MapLayer;
  readonly ground: GroundShapes | null;
  readonly arcs: ZoneArcs | null;
  /** What of the doubtful ground is drawn. */
  readonly doubt: DoubtShapes;
  /** Whether the layer is one that there can be doubt about. */
  readonly doubtful: boolean;
  readonly rated: ReturnType<typeof rateShapes>;
  readonly picture: SurfacePicture | null;
  readonly areas: ClassAreas | null;
  /** Null where the layer has no colours of its own. */
  readonly ramp: Ramp | null;
}

/** Falls back to the plain ground where the results have not come as far as the layer asked for. */
export function layerThatIs(layer: MapLayer, out: PlanOut): MapLayer {
  if (layer === 'samples') return layer;
  if (layer === 'rate') return out.rates && out.zones ? layer : 'samples';
  return shownLayer(out.surfaces, layer) ? layer : 'samples';
}

const surfaceOf = (layer: MapLayer): AnyLayerId | null => (layer === 'rate' || layer === 'samples' ? null : layer);

/** Everything that is drawn, made once for as long as what it is made from stays the same. */
export function useScene({ out, layer: asked, doubt: all, showDoubt, preview }: FieldMapProps): Scene {
  const { field, surfaces, zones, rates } = out;
  const layer = layerThatIs(preview?.layer ?? asked, out);
  const surfaceId = surfaceOf(layer);
  const shown = useMemo<ShownLayer | null>(() => surfaceId && shownLayer(surfaces, surfaceId), [surfaces, surfaceId]);
  // A draft's values have the cells of the surface whose place they take.
  const values = preview && preview.values.length === shown?.values.length ? preview.values : (shown?.values ?? null);

  const ground = useMemo(() => (field ? groundShapes(field) : null), [field]);
  const arcs = useMemo<ZoneArcs | null>(
    () => (zones && ground ? zoneArcs(zones.zones, ground.spreadable, ground.whole) : null),
    [zones, ground],
  );
  // What the samples say little about concerns what is made from them, not what was brought.
  const onSurface = surfaceId !== null && isMade(surfaceId);
  const doubt = useMemo<DoubtShapes>(
    () => ({ far: onSurface ? all.far : [], outside: onSurface && showDoubt ? all.outside : [] }),
    [all, onSurface, showDoubt],
  );
  const rated = useMemo(() => rateShapes({ rates, zones }), [rates, zones]);
  const picture = useMemo<SurfacePicture | null>(() => {
    if (!values || !shown || !surfaces) return null;
    const { lattice, cover_m2 } = surfaces.grid;
    const { width, height, rgba } = paintSurface(values, cover_m2, lattice, shown.ramp);
    const east = lattice.west_deg + lattice.cols * lattice.dLng_deg;
    const north = lattice.south_deg + lattice.rows * lattice.dLat_deg;
    return {
      pixels: new ImageData(rgba, width, height),
      corners: [
        [lattice.west_deg, north],
        [east, north],
        [east, lattice.south_deg],
        [lattice.west_deg, lattice.south_deg],
      ],
    };
  }, [surfaces, shown, values]);
  const areas = useMemo<ClassAreas | null>(() => {
    if (layer === 'rate' && rates) {
      const given = rates.zones.filter((zone) => zone.rate_lbPerAc !== null);
      return classAreas(
        RAMPS.rate,
        given.map((zone) => zone.rate_lbPerAc ?? 0),
        given.map((zone) => zone.acres * M2_PER_ACRE),
      );
    }
    return values && shown && surfaces ? classAreas(shown.ramp, values, surfaces.grid.cover_m2) : null;
  }, [layer, shown, values, surfaces, rates]);
  const ramp = layer === 'rate' ? RAMPS.rate : (shown?.ramp ?? null);

  return { layer, ground, arcs, doubt, doubtful: onSurface, rated, picture, areas, ramp };
}

/** Puts the scene on the map, each part when it changes. */
export function useDrawing(view: FieldView | null, scene: Scene, props: FieldMapProps): void {
  const { layer, ground, arcs, doubt, rated, picture } = scene;
  const { fresh, showSamples, showZones, samplesByClass, limits, litSamples, selectedZone } = props;
  const { soil } = props.out;
  useEffect(() => {
    if (!view || !ground) return;
    view.put('ground', collection(polygonFeature(ground.spreadable)));
    view.put('mask', collection(polygonFeature(ground.mask)));
    view.put('keepOut', collection(polygonFeature(ground.keepOut)));
    view.put('boundary', collection(polygonFeature(ground.whole)));
  }, [view, ground]);
  useEffect(() => view?.show(picture), [view, picture]);
  const stale = !fresh && props.preview === null;
  useEffect(() => view?.setStale(stale), [view, stale]);
  useEffect(() => {
    view?.put('rates', layer === 'rate' ? rated.rates : NOTHING);
    view?.put('withheld', layer === 'rate' ? rated.withheld : NOTHING);
  }, [view, layer, rated]);
  useEffect(() => {
    view?.put('far', doubt.far.length > 0 ? collection(polygonFeature(doubt.far)) : NOTHING);
    view?.put('outside', doubt.outside.length > 0 ? collection(polygonFeature(doubt.outside)) : NOTHING);
  }, [view, doubt]);
  useEffect(
    () => view?.put('arcs', showZones && arcs ? collection(lineFeature(arcs.shared)) : NOTHING),
    [view, showZones, arcs],
  );
  useEffect(
    () => view?.put('selected', showZones || layer === 'rate' ? selectedShapes(arcs, selectedZone) : NOTHING),
    [view, showZones, layer, arcs, selectedZone],
  );
  useEffect(() => view?.put('composites', showSamples ? compositeShapes(soil) : NOTHING), [view, soil, showSamples]);
  useEffect(() => view?.put('setAside', showSamples ? setAsideShapes(soil) : NOTHING), [view, soil, showSamples]);
  useEffect(
    () => view?.put('samples', showSamples ? sampleShapes(soil, samplesByClass, limits) : NOTHING),
    [view, soil, showSamples, samplesByClass, limits],
  );
  useEffect(() => view?.put('lit', litShapes(soil, litSamples)), [view, soil, litSamples]);
}
