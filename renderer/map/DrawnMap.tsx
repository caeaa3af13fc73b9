import {
  type KeyboardEvent,
  type ReactElement,
  useEffect,
  useEffectEvent,
  useId,
  useMemo,
  useRef,
  useState,
} from 'react';
import { localFrame } from '../../core/geo/frame.ts';
import type { LngLat } from '../../core/geo/types.ts';
import { figure } from '../ui/format.ts';
import { placeAreaNames } from './area-names.ts';
import { BalanceLegend } from './BalanceLegend.tsx';
import { Caption } from './Caption.tsx';
import { fitBox, lngPerPx, type Margins, type Point, project } from './camera.ts';
import {
  farText,
  farthestText,
  layerMethod,
  layerTitle,
  legendUnit,
  outsideText,
  STALE_TEXT,
  UNRATED_TEXT,
  WITHHELD_TEXT,
  zonesText,
} from './captions.ts';
import { graticule, scaleBar } from './graticule.ts';
import { useGroundAreas } from './ground-areas.ts';
import { Legend, type LegendNote } from './Legend.tsx';
import { type LabelText, placeLabels } from './labels.ts';
import { MapTable } from './MapTable.tsx';
import { sampleAt } from './marks-on-ground.ts';
import { Overlay, type OverlayProps, Scale } from './Overlay.tsx';
import type { OpenedOnMap } from './opened.ts';
import { type FieldMapProps, isOpened, isRate } from './props.ts';
import { readingAt } from './reading.ts';
import { SketchStrip } from './SketchStrip.tsx';
import { insideOf } from './shapes.ts';
import { Tools } from './Tools.tsx';
import { layerThatIs, type Scene, useDrawing, useScene } from './use-scene.ts';
import { calm_ms, useView } from './use-view.ts';

const STEP_PX = 60;
const LEVELS_A_STEP = 0.5;
const BAR_MOST_PX = 150;
const NARROW_PX = 520;
/** Room about the field for captions, legend and buttons. */
const ROOM_PX = { top: 62, bare: 48, legend: 92, notes: 108, left: 44, narrow: 28, right: 56 } as const;
/** Levels closer than the whole field that a place is shown at. */
const CLOSER = 1.2;

export function DrawnMap(props: FieldMapProps & { readonly onLost: () => void }): ReactElement {
  const { out, fresh, units, productName, showZones, theme } = props;
  const root = useRef<HTMLElement>(null);
  const gl = useRef<HTMLDivElement>(null);
  const helpId = useId();
  const [table, setTable] = useState(false);
  const [narrow, setNarrow] = useState(false);
  const scene = useScene(props);
  const { layer, ground, areas, ramp } = scene;
  const notes = notesOf(scene, props);
  const margins = marginsOf(scene, props, narrow);

  const pin = (at: LngLat, sample: string | null): void => {
    const reading = readingAt(out, at);
    props.onSpot(reading);
    props.onSelectSample(sample);
    if (sample === null && reading?.zoneKey) props.onSelectZone(reading.zoneKey);
  };
  const { view, camera, fitField, stay } = useView({
    root,
    ground: gl,
    theme,
    box: ground?.box ?? null,
    margins,
    events: {
      hover: (at) => props.onHover(at && readingAt(out, at)),
      click: (at, px) => {
        const id = props.showSamples && camera ? sampleAt(out.soil, camera, px) : null;
        pin(out.soil?.samples.find((sample) => sample.id === id)?.at ?? at, id);
      },
      lost: props.onLost,
    },
  });
  useDrawing(view, scene, props);
  const areaNames = useGroundAreas(view, props.areas);
  const { sketch } = props;
  const [sketchReady, setSketchReady] = useState(false);
  useEffect(() => {
    if (!view || !sketch) return;
    // The keys that finish and cancel are the map's own.
    root.current?.querySelector<HTMLElement>('.map-stage')?.focus();
    const end = view.sketch(sketch, () => setSketchReady(true));
    return () => {
      setSketchReady(false);
      end();
    };
  }, [view, sketch]);

  const width = camera?.width ?? 0;
  useEffect(() => {
    if (width > 0) setNarrow(width < NARROW_PX);
  }, [width]);

  const showPlace = useEffectEvent(() => {
    const { focus } = props;
    if (!focus || !view || !camera || !ground) return;
    stay();
    const whole = fitBox(ground.box, camera.width, camera.height, margins).zoom;
    view.jumpTo({ centre: focus, zoom: Math.max(camera.zoom, whole + CLOSER) }, calm_ms());
  });
  const seenTick = useRef(props.focusTick);
  useEffect(() => {
    if (props.focusTick === seenTick.current) return;
    seenTick.current = props.focusTick;
    showPlace();
  }, [props.focusTick]);

  const onKeyDown = (event: KeyboardEvent): void => {
    if (!view || !camera || event.ctrlKey || event.metaKey || event.altKey) return;
    const step = event.shiftKey ? STEP_PX * 3 : STEP_PX;
    const pans: Record<string, Point> = {
      ArrowLeft: [-step, 0],
      ArrowRight: [step, 0],
      ArrowUp: [0, -step],
      ArrowDown: [0, step],
    };
    if (sketch && (event.key === 'Escape' || event.key === 'Enter' || event.key === ' ')) {
      if (event.key === 'Escape') props.onSketchEnd();
      else if (event.key === 'Enter') view.finishSketch();
      else view.cornerAtCentre();
      event.preventDefault();
      event.stopPropagation();
      return;
    }
    const pan = pans[event.key];
    if (pan) view.panBy(pan, calm_ms());
    else if (event.key === '+' || event.key === '=') view.zoomBy(LEVELS_A_STEP, calm_ms());
    else if (event.key === '-' || event.key === '_') view.zoomBy(-LEVELS_A_STEP, calm_ms());
    else if (event.key === 'Home') fitField(calm_ms());
    else if (event.key === 'Enter') pin(view.camera.centre, null);
    else if (event.key === 'Escape' && (props.spot || props.litSamples.size > 0)) {
      props.onSpot(null);
      props.onSelectSample(null);
    } else return;
    event.preventDefault();
    event.stopPropagation();
  };

  const inside = useMemo(() => (ground ? insideOf(ground.whole) : () => false), [ground]);
  const choices = props.layers
    .filter((id) => layerThatIs(id, out, props.opened) === id)
    .map((id) => ({ layer: id, title: layerTitle(id, out, productName, units) }));
  const title = layerTitle(layer, out, productName, units);
  const labels =
    camera && layer === 'opened' && props.opened
      ? placeLabels(
          openedLabels(props.opened, units),
          (p) => project(camera, p),
          () => null,
        )
      : camera && showZones && out.zones
        ? placeLabels(out.zones.zones, (p) => project(camera, p), belowLetters(scene, props))
        : [];
  // How much of the field's box reaches under the corners where captions, legend and scale stand.
  const [left, top] = ground && camera ? project(camera, [ground.box.west, ground.box.north]) : [0, 0];
  const [right, bottom] = ground && camera ? project(camera, [ground.box.east, ground.box.south]) : [0, 0];
  const height = camera?.height ?? 0;
  const under = {
    caption: top < ROOM_PX.top - 8 && left < 320 && bottom > 0,
    legend: bottom > height - (86 + 16 * notes.length) && left < 300,
    scale: bottom > height - 46 && right > width - 200,
  };
  const metresPerPx = camera ? lngPerPx(camera) * localFrame(camera.centre).mPerDegLng : 1;

  return (
    <section
      ref={root}
      className={fresh || props.preview ? 'map' : 'map map-stale'}
      aria-label="Map"
      data-theme={theme}
      data-testid="field-map"
      data-layer={layer}
      data-stale={!fresh}
      data-preview={props.preview !== null}
    >
      {!ground && <EmptyGround />}
      <div
        className="map-stage"
        role="application"
        aria-roledescription="map"
        tabIndex={ground ? 0 : -1}
        aria-label={`Map of the field: ${title}`}
        aria-describedby={helpId}
        onKeyDown={onKeyDown}
        data-testid="map-stage"
      >
        <div ref={gl} className="map-ground" />
        {camera && ground && (
          <Overlay
            camera={camera}
            graticule={graticule(camera, inside, { from: 76, to: camera.height - 116 })}
            nameLatitudes={left >= 78 && !under.caption}
            labels={labels}
            spot={props.spot}
            focus={props.focus}
            farthest={farthestOf(scene, props)}
            areas={placeAreaNames(areaNames, out.soil?.samples.map((sample) => sample.at) ?? [], (at) =>
              project(camera, at),
            )}
          />
        )}
      </div>
      <p id={helpId} className="unseen">
        Arrow keys move the map, plus and minus change its scale, Home shows the whole field, Enter pins the spot at the
        centre, Escape lets it go. The button “Map as table” lists what is drawn.
      </p>
      {sketch && (
        <SketchStrip
          task={sketch}
          ready={sketchReady}
          onFinish={() => view?.finishSketch()}
          onEnd={props.onSketchEnd}
        />
      )}
      {table && (
        <div className="map-as-table" data-testid="map-as-table">
          <MapTable {...props} />
        </div>
      )}
      {ground && !sketch && (
        <Caption
          title={title}
          lines={captionLines(scene, props)}
          layer={layer}
          choices={choices}
          onLayer={props.onLayer}
          plated={under.caption && !table}
        />
      )}
      {ramp && areas && !table && (
        <Legend
          title={title}
          ramp={ramp}
          areas={areas}
          marks={marksOf(scene, props)}
          unit={legendUnit(layer, out, productName, units)}
          notes={notes}
          units={units}
          limitMeasure={isRate(layer) || isOpened(layer) || layer === 'k2oNeed_lbPerAc' ? 'rate' : 'plain'}
          swatch_px={width < 420 ? 25 : 30}
          plated={under.legend}
        />
      )}
      {layer === 'balance' && out.zones?.balance && !table && (
        <BalanceLegend balance={out.zones.balance} units={units} plated={under.legend} />
      )}
      {camera && ground && !table && (
        <Scale bar={scaleBar(metresPerPx, units, Math.min(BAR_MOST_PX, width / 5))} plated={under.scale} />
      )}
      {ground && (
        <Tools
          onCloser={() => view?.zoomBy(LEVELS_A_STEP, calm_ms())}
          onFarther={() => view?.zoomBy(-LEVELS_A_STEP, calm_ms())}
          onWhole={() => fitField(calm_ms())}
          samples={out.soil ? props.showSamples : null}
          onSamples={props.onShowSamples}
          zones={out.zones ? showZones : null}
          onZones={props.onShowZones}
          doubt={scene.doubtful && props.shapes.outside.length > 0 ? props.showDoubt : null}
          onDoubt={props.onShowDoubt}
          table={table}
          onTable={setTable}
        />
      )}
    </section>
  );
}

/** The rates of a file, written on its pieces. */
const openedLabels = ({ labels }: OpenedOnMap, units: FieldMapProps['units']) =>
  labels.map(({ key, rate_lbPerAc, acres, spot }) => ({
    key,
    letter: figure(rate_lbPerAc, 'rate', units),
    acres,
    spot,
    otherSpots: [],
  }));

function captionLines(
  { layer }: Scene,
  { out, fresh, units, showZones, showSamples, samplesByClass, preview, opened }: FieldMapProps,
): string[] {
  if (preview) return [preview.says];
  // A file does not grow old with the plan.
  if (layer === 'opened' && opened) return [`${layerMethod(layer, out, units)}: ${opened.name}`];
  if (!fresh) return [STALE_TEXT];
  const zones = showZones && !isRate(layer) && out.zones ? zonesText(out.zones.zones.map((zone) => zone.letter)) : '';
  const classes = showSamples && samplesByClass && out.soil ? 'samples marked by balance class' : '';
  const line = [layerMethod(layer, out, units), zones, classes].filter((part) => part !== '').join(' · ');
  return line === '' ? [] : [line];
}

/** What stands below a zone's letter: its rate, or that none is given. */
function belowLetters({ layer }: Scene, { out, units }: FieldMapProps): (zoneKey: string) => LabelText | null {
  if (!isRate(layer)) return () => null;
  // A cell over several zones has a rate of its own: the letters then stand alone.
  if (layer === 'written' && out.handoff?.cells) return () => null;
  const rates = new Map(out.rates?.zones.map((zone) => [zone.key, zone.rate_lbPerAc]));
  const keptOut = new Set(out.zones?.zones.filter(({ role }) => role === 'keep out').map(({ key }) => key));
  return (key) => {
    if (keptOut.has(key)) return { text: 'kept out', plate: true };
    const rate = rates.get(key) ?? null;
    return rate === null ? { text: 'withheld', plate: true } : { text: figure(rate, 'rate', units), plate: false };
  };
}

function notesOf({ layer, doubt, rated }: Scene, { out, far_m, units, opened }: FieldMapProps): LegendNote[] {
  if (isOpened(layer))
    return opened && opened.unrated.features.length > 0 ? [{ mark: 'withheld', text: UNRATED_TEXT }] : [];
  if (isRate(layer)) return rated.withheld.features.length > 0 ? [{ mark: 'withheld', text: WITHHELD_TEXT }] : [];
  const { surfaces } = out;
  if (!surfaces) return [];
  return [
    ...(doubt.far.length > 0 ? [{ mark: 'far', text: farText(far_m, surfaces.far_ac, units) } as const] : []),
    ...(doubt.outside.length > 0
      ? [{ mark: 'outside', text: outsideText(surfaces.outsideHull_ac, units) } as const]
      : []),
  ];
}

function farthestOf({ doubtful }: Scene, { out, showDoubt, units }: FieldMapProps): OverlayProps['farthest'] {
  const farthest = out.surfaces?.density.farthest;
  if (!farthest || !showDoubt || !doubtful) return null;
  return { at: farthest.at, text: farthestText(farthest.distance_m, units) };
}

function marksOf({ layer }: Scene, { limits }: FieldMapProps): number[] {
  if (layer === 'k_ppm') return [limits.floor_ppm];
  return layer === 'kSat_pct' ? [limits.floor_pct, limits.rangeTop_pct, limits.caution_pct] : [];
}

/** The same for every layer of one result, so that the field does not jump when the layer changes. */
function marginsOf({ rated }: Scene, { out, shapes, opened }: FieldMapProps, narrow: boolean): Margins {
  const noted = shapes.far.length > 0 || shapes.outside.length > 0 || rated.withheld.features.length > 0;
  return {
    top: ROOM_PX.top,
    bottom: !out.surfaces && !opened ? ROOM_PX.bare : noted ? ROOM_PX.notes : ROOM_PX.legend,
    left: narrow ? ROOM_PX.narrow : ROOM_PX.left,
    right: ROOM_PX.right,
  };
}

/** The page before there is a field: its crosses only. */
const EmptyGround = (): ReactElement => (
  <svg className="map-overlay" width="100%" height="100%" aria-hidden="true">
    <defs>
      <pattern id="map-crosses" width="148" height="148" patternUnits="userSpaceOnUse">
        <path className="map-graticule" d="M56 40h8M60 36v8" />
      </pattern>
    </defs>
    <rect width="100%" height="100%" fill="url(#map-crosses)" />
  </svg>
);
