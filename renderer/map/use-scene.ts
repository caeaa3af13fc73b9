import { useEffect, useMemo } from 'react';
import { M2_PER_ACRE } from '../../core/base/units.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import type { LayerId } from '../../core/surfaces/types.ts';
import { type ZoneArcs, zoneArcs } from './arcs.ts';
import { collection, lineFeature, NOTHING, polygonFeature } from './geojson.ts';
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
import { type ClassAreas, classAreas, RAMPS } from './ramps.ts';
import { farShapes, type GroundShapes, groundShapes } from './shapes.ts';
import type { FieldView, SurfacePicture } from './view.ts';

/** What of the results the map can draw now. */
export interface Scene {
  readonly layer: MapLayer;
  readonly ground: GroundShapes | null;
  readonly arcs: ZoneArcs | null;
  readonly far: MultiPolygon;
  readonly rated: ReturnType<typeof rateShapes>;
  readonly picture: SurfacePicture | null;
  readonly areas: ClassAreas | null;
}

/** Falls back to the plain ground where the results have not come as far as the layer asked for. */
export function layerThatIs(layer: MapLayer, out: PlanOut): MapLayer {
  if (layer === 'samples') return layer;
  if (layer === 'rate') return out.rates && out.zones ? layer : 'samples';
  return out.surfaces?.layers[layer] ? layer : 'samples';
}

const surfaceOf = (layer: MapLayer): LayerId | null => (layer === 'rate' || layer === 'samples' ? null : layer);

/** Everything that is drawn, made once for as long as what it is made from stays the same. */
export function useScene({ out, layer: asked, far_m }: FieldMapProps): Scene {
  const { field, surfaces, zones, rates } = out;
  const layer = layerThatIs(asked, out);
  const surfaceId = surfaceOf(layer);

  const ground = useMemo(() => (field ? groundShapes(field) : null), [field]);
  const arcs = useMemo<ZoneArcs | null>(
    () => (zones && ground ? zoneArcs(zones.zones, ground.spreadable, ground.whole) : null),
    [zones, ground],
  );
  const far = useMemo(
    () => (surfaces && field ? farShapes(surfaces, field.spreadable, far_m) : []),
    [surfaces, field, far_m],
  );
  const rated = useMemo(() => rateShapes({ rates, zones }), [rates, zones]);
  const picture = useMemo<SurfacePicture | null>(() => {
    const values = surfaceId && surfaces?.layers[surfaceId];
    if (!values || !surfaces) return null;
    const { lattice, cover_m2 } = surfaces.grid;
    const { width, height, rgba } = paintSurface(values, cover_m2, lattice, RAMPS[surfaceId]);
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
  }, [surfaces, surfaceId]);
  const areas = useMemo<ClassAreas | null>(() => {
    if (layer === 'rate' && rates) {
      const given = rates.zones.filter((zone) => zone.rate_lbPerAc !== null);
      return classAreas(
        RAMPS.rate,
        given.map((zone) => zone.rate_lbPerAc ?? 0),
        given.map((zone) => zone.acres * M2_PER_ACRE),
      );
    }
    const values = surfaceId && surfaces?.layers[surfaceId];
    return values && surfaces ? classAreas(RAMPS[surfaceId], values, surfaces.grid.cover_m2) : null;
  }, [layer, surfaceId, surfaces, rates]);

  return { layer, ground, arcs, far, rated, picture, areas };
}

/** Puts the scene on the map, each part when it changes. */
export function useDrawing(view: FieldView | null, scene: Scene, props: FieldMapProps): void {
  const { layer, ground, arcs, far, rated, picture } = scene;
  const { fresh, showSamples, showZones, samplesByClass, limits, litSamples, selectedZone } = props;
  const { soil } = props.out;
  const hatched = surfaceOf(layer) !== null && far.length > 0;
  useEffect(() => {
    if (!view || !ground) return;
    view.put('ground', collection(polygonFeature(ground.spreadable)));
    view.put('mask', collection(polygonFeature(ground.mask)));
    view.put('keepOut', collection(polygonFeature(ground.keepOut)));
    view.put('boundary', collection(polygonFeature(ground.whole)));
  }, [view, ground]);
  useEffect(() => view?.show(picture), [view, picture]);
  useEffect(() => view?.setStale(!fresh), [view, fresh]);
  useEffect(() => {
    view?.put('rates', layer === 'rate' ? rated.rates : NOTHING);
    view?.put('withheld', layer === 'rate' ? rated.withheld : NOTHING);
  }, [view, layer, rated]);
  useEffect(() => view?.put('far', hatched ? collection(polygonFeature(far)) : NOTHING), [view, hatched, far]);
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
