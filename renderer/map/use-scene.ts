import { useEffect, useMemo } from 'react';
import { M2_PER_ACRE } from '../../core/base/units.ts';
import { isMade, layerValues } from '../../core/layers/layer.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import type { AnyLayerId } from '../../core/surfaces/types.ts';
import type { ZoneArcs } from './arcs.ts';
import { balancePicture } from './balance-picture.ts';
import { collection, type FeatureCollection, lineFeature, NOTHING, polygonFeature } from './geojson.ts';
import {
  compositeShapes,
  litShapes,
  rateShapes,
  sampleShapes,
  selectedShapes,
  setAsideShapes,
} from './marks-on-ground.ts';
import { type FieldMapProps, isOpened, isRate, isSurface, type MapLayer } from './props.ts';
import { type ClassAreas, classAreas, RAMPS, type Ramp } from './ramps.ts';
import { type DoubtShapes, type GroundShapes, groundShapes } from './shapes.ts';
import type { FieldView, SurfacePicture } from './view.ts';
import { writtenRecords, writtenShapes } from './written.ts';

/** What of the results the map can draw now. */
export interface Scene {
  readonly layer: MapLayer;
  readonly ground: GroundShapes | null;
  readonly arcs: ZoneArcs | null;
  /** What of the doubtful ground is drawn. */
  readonly doubt: DoubtShapes;
  /** Whether the layer is one that there can be doubt about. */
  readonly doubtful: boolean;
  readonly rated: ReturnType<typeof rateShapes> & { readonly edges: FeatureCollection };
  readonly picture: SurfacePicture | null;
  readonly areas: ClassAreas | null;
  /** Null where the layer has no colours of its own. */
  readonly ramp: Ramp | null;
}

/** Falls back to the plain ground where the results have not come as far as the layer asked for. */
export function layerThatIs(layer: MapLayer, out: PlanOut, opened: FieldMapProps['opened']): MapLayer {
  if (layer === 'samples') return layer;
  if (layer === 'opened') return opened ? layer : 'samples';
  if (layer === 'openedLess') return opened?.less ? layer : 'samples';
  if (layer === 'balance') return out.zones?.balance && out.surfaces ? layer : 'samples';
  if (layer === 'rate') return out.rates && out.zones ? layer : 'samples';
  if (layer === 'written') return out.handoff ? layer : layerThatIs('rate', out, opened);
  return out.surfaces && layerValues(out.surfaces, layer) ? layer : 'samples';
}

const surfaceOf = (layer: MapLayer): AnyLayerId | null => (isSurface(layer) ? layer : null);

/** Everything that is drawn, made once for as long as what it is made from stays the same. */
export function useScene(props: FieldMapProps): Scene {
  const { out, layer: asked, shapes, showDoubt, preview } = props;
  const { field, zones, rates, handoff } = out;
  const opened = props.opened ?? null;
  const layer = layerThatIs(preview?.painted.layer ?? asked, out, opened);
  const less = layer === 'openedLess' ? (opened?.less ?? null) : null;
  const surfaceId = surfaceOf(layer);
  const surface = surfaceId === null ? null : (preview?.painted ?? props.painted);
  const classes = useMemo(() => (layer === 'balance' ? balancePicture(out) : null), [layer, out]);
  const painted = classes ?? surface ?? less;

  const ground = useMemo(() => (field ? groundShapes(field) : null), [field]);
  const arcs = zones ? shapes.arcs : null;
  // What the samples say little about concerns what is made from them, not what was brought.
  const onSurface = layer === 'balance' || (surfaceId !== null && isMade(surfaceId));
  const doubt = useMemo<DoubtShapes>(
    () => ({ far: onSurface ? shapes.far : [], outside: onSurface && showDoubt ? shapes.outside : [] }),
    [shapes, onSurface, showDoubt],
  );
  const byZones = useMemo(() => rateShapes({ rates, zones }), [rates, zones]);
  const written = useMemo(() => (layer === 'written' ? writtenShapes({ handoff }) : null), [layer, handoff]);
  const rated = useMemo(() => ({ ...byZones, ...(written ?? { edges: NOTHING }) }), [byZones, written]);
  const picture = useMemo<SurfacePicture | null>(() => {
    if (!painted) return null;
    const { lattice } = painted;
    const east = lattice.west_deg + lattice.cols * lattice.dLng_deg;
    const north = lattice.south_deg + lattice.rows * lattice.dLat_deg;
    return {
      pixels: new ImageData(painted.rgba, painted.width, painted.height),
      corners: [
        [lattice.west_deg, north],
        [east, north],
        [east, lattice.south_deg],
        [lattice.west_deg, lattice.south_deg],
      ],
    };
  }, [painted]);
  const rateAreas = useMemo<ClassAreas | null>(() => {
    const keptOut = new Set(zones?.zones.filter(({ role }) => role === 'keep out').map(({ key }) => key));
    const given = rates?.zones.filter((zone) => zone.rate_lbPerAc !== null && !keptOut.has(zone.key));
    return given
      ? classAreas(
          RAMPS.rate,
          given.map((zone) => zone.rate_lbPerAc ?? 0),
          given.map((zone) => zone.acres * M2_PER_ACRE),
        )
      : null;
  }, [rates, zones]);
  const writtenAreas = useMemo<ClassAreas | null>(() => {
    if (layer !== 'written') return null;
    const records = writtenRecords({ handoff });
    return classAreas(
      RAMPS.rate,
      records.map(({ rate_lbPerAc }) => rate_lbPerAc),
      records.map(({ piece }) => piece.acres * M2_PER_ACRE),
    );
  }, [layer, handoff]);
  const file = layer === 'opened' ? opened : null;
  const areas = layer === 'rate' ? rateAreas : (file?.areas ?? writtenAreas ?? (surface ?? less)?.areas ?? null);
  const ramp = isRate(layer) || file ? RAMPS.rate : ((surface ?? less)?.ramp ?? null);

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
    view.put('boundary', collection(polygonFeature(ground.whole)));
  }, [view, ground]);
  // What a file has outside the field is to be seen.
  const file = layer === 'opened' ? (props.opened ?? null) : null;
  const bare = isOpened(layer) ? (props.opened?.unrated ?? NOTHING) : null;
  const mask = file ? null : (ground?.mask ?? null);
  useEffect(() => view?.put('mask', mask ? collection(polygonFeature(mask)) : NOTHING), [view, mask]);
  const { zones } = props.out;
  useEffect(() => {
    if (!view || !ground) return;
    const byRole = (zones?.zones ?? []).filter(({ role }) => role === 'keep out').flatMap(({ polygons }) => polygons);
    view.put('keepOut', collection(polygonFeature([...ground.keepOut, ...byRole])));
  }, [view, ground, zones]);
  useEffect(() => view?.show(picture), [view, picture]);
  const stale = !fresh && props.preview === null && file === null;
  useEffect(() => view?.setStale(stale), [view, stale]);
  useEffect(() => {
    view?.put('rates', file ? file.fills : isRate(layer) ? rated.rates : NOTHING);
    view?.put('cells', file ? file.edges : rated.edges);
    view?.put('withheld', bare ?? (isRate(layer) ? rated.withheld : NOTHING));
  }, [view, layer, rated, file, bare]);
  useEffect(() => {
    view?.put('far', doubt.far.length > 0 ? collection(polygonFeature(doubt.far)) : NOTHING);
    view?.put('outside', doubt.outside.length > 0 ? collection(polygonFeature(doubt.outside)) : NOTHING);
  }, [view, doubt]);
  useEffect(
    () => view?.put('arcs', showZones && arcs ? collection(lineFeature(arcs.shared)) : NOTHING),
    [view, showZones, arcs],
  );
  useEffect(
    () => view?.put('selected', showZones || isRate(layer) ? selectedShapes(arcs, selectedZone) : NOTHING),
    [view, showZones, layer, arcs, selectedZone],
  );
  useEffect(
    () => view?.put('composites', file ? file.outlines : showSamples ? compositeShapes(soil) : NOTHING),
    [view, soil, showSamples, file],
  );
  useEffect(() => view?.put('setAside', showSamples ? setAsideShapes(soil) : NOTHING), [view, soil, showSamples]);
  useEffect(
    () => view?.put('samples', showSamples ? sampleShapes(soil, samplesByClass, limits) : NOTHING),
    [view, soil, showSamples, samplesByClass, limits],
  );
  useEffect(() => view?.put('lit', litShapes(soil, litSamples)), [view, soil, litSamples]);
}
