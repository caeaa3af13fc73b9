import type { Map as GlMap } from 'maplibre-gl';
import type { SnappableContext, TerraDrawMouseEvent, TerraDraw as TerraDrawType } from 'terra-draw';
import type { LngLat } from '../../core/geo/types.ts';
import type { SketchTask } from '../store/sketch.ts';
import type { Inks } from './inks.ts';

/** Pixels within which a corner is drawn to a vertex, and else to the nearest place of a line. */
const VERTEX_PX = 12;
const LINE_PX = 8;

/** A drawing in progress. */
export interface Sketch {
  /** Takes what is drawn so far as finished, where it is enough. */
  readonly finish: () => void;
  /** Puts a corner, or a place of the brush, in the middle of the map: drawing without a pointer. */
  readonly cornerAtCentre: () => void;
  readonly end: () => void;
}

/** Lets a person draw one shape on the map. The drawing library is fetched when it is first needed. */
export async function beginSketch(map: GlMap, task: SketchTask, inks: Inks): Promise<Sketch> {
  const [td, { TerraDrawMapLibreGLAdapter }] = await Promise.all([
    import('terra-draw'),
    import('terra-draw-maplibre-gl-adapter'),
  ]);
  const over = inks.over as `#${string}`; // tokens.css gives colours as hex
  const casing = inks.casing as `#${string}`;
  const snapping = {
    toCustom: (event: TerraDrawMouseEvent, context: SnappableContext) => snapped(event, context, task),
  };
  const points = {
    closingPointColor: casing,
    closingPointWidth: 5,
    closingPointOutlineColor: over,
    closingPointOutlineWidth: 2,
    snappingPointColor: casing,
    snappingPointWidth: 5,
    snappingPointOutlineColor: over,
    snappingPointOutlineWidth: 2,
  } as const;
  const modes = {
    polygon: () =>
      new td.TerraDrawPolygonMode({
        snapping,
        styles: { fillColor: over, fillOpacity: 0.12, outlineColor: over, outlineWidth: 2, ...points },
      }),
    line: () =>
      new td.TerraDrawLineStringMode({ snapping, styles: { lineStringColor: over, lineStringWidth: 2, ...points } }),
    point: () => new td.TerraDrawPointMode({ styles: { pointColor: over, pointWidth: 5, pointOutlineColor: casing } }),
    brush: () =>
      new td.TerraDrawFreehandLineStringMode({
        drawInteraction: 'click-drag',
        minDistance: 4,
        styles: {
          lineStringColor: over,
          lineStringOpacity: 0.45,
          lineStringWidth: () => Math.max(2, (task.width_m ?? 1) / metresPerPx(map)),
        },
      }),
  } as const;
  const mode = modes[task.shape]();
  const draw: TerraDrawType = new td.TerraDraw({ adapter: new TerraDrawMapLibreGLAdapter({ map }), modes: [mode] });
  let ended = false;
  const end = (): void => {
    if (ended) return;
    ended = true;
    draw.stop();
  };
  draw.start();
  draw.setMode(mode.mode);
  draw.on('finish', (id) => {
    const geometry = draw.getSnapshotFeature(id)?.geometry;
    // The library is still at work on the shape when it tells of it.
    setTimeout(() => {
      if (ended) return;
      if (task.again) draw.clear();
      else end();
      if (geometry) task.onDone(positionsOf(geometry));
    });
  });
  const canvas = map.getCanvas();
  const onDouble = (): void => finish();
  // A brush is dragged with a pointer; without one its places are gathered here.
  let places: LngLat[] = [];
  const finish = (): void => {
    if (task.shape === 'brush' && places.length > 0) {
      const gathered = places;
      places = [];
      draw.clear();
      task.onDone(gathered);
      return;
    }
    canvas.dispatchEvent(new KeyboardEvent('keyup', { key: 'Enter' }));
  };
  map.on('dblclick', onDouble);
  return {
    finish,
    cornerAtCentre() {
      if (task.shape === 'brush') {
        const { lng, lat } = map.getCenter();
        places = [...places, [lng, lat]];
        draw.clear();
        const coordinates = places.length === 1 ? [...places, ...places] : places;
        draw.addFeatures([
          {
            type: 'Feature',
            geometry: { type: 'LineString', coordinates: coordinates.map(([x, y]) => [rounded(x), rounded(y)]) },
            properties: { mode: mode.mode },
          },
        ]);
        return;
      }
      const box = canvas.getBoundingClientRect();
      const at = {
        clientX: box.left + box.width / 2,
        clientY: box.top + box.height / 2,
        button: 0,
        isPrimary: true,
        bubbles: true,
      };
      for (const kind of ['pointermove', 'pointerdown', 'pointerup'] as const)
        canvas.dispatchEvent(new PointerEvent(kind, at));
    },
    end() {
      map.off('dblclick', onDouble);
      end();
    },
  };
}

/** The drawing library takes no more decimals. */
const rounded = (degrees: number): number => Number(degrees.toFixed(9));

type Drawn = NonNullable<ReturnType<TerraDrawType['getSnapshotFeature']>>['geometry'];

function positionsOf(geometry: Drawn): readonly LngLat[] {
  const list =
    geometry.type === 'Polygon'
      ? (geometry.coordinates[0] ?? [])
      : geometry.type === 'LineString'
        ? geometry.coordinates
        : [geometry.coordinates as number[]];
  return list.map((position): LngLat => [Number(position[0]), Number(position[1])]);
}

function metresPerPx(map: GlMap): number {
  const { lat } = map.getCenter();
  return (40_075_016.686 * Math.cos((lat * Math.PI) / 180)) / (512 * 2 ** map.getZoom());
}

/** The vertex that is near enough, else the nearest place on a line; undefined where neither is. */
function snapped(
  event: TerraDrawMouseEvent,
  { project }: SnappableContext,
  { snapTo = [] }: SketchTask,
): [number, number] | undefined {
  const here = project(event.lng, event.lat);
  // What lies outside this box of degrees is too far to be looked at closely.
  const east = project(event.lng + 1e-5, event.lat).x - here.x;
  const reach = (VERTEX_PX / Math.max(1e-9, Math.abs(east))) * 1e-5 * 1.5;
  let vertex: { at: LngLat; px: number } | null = null;
  let onLine: { at: LngLat; px: number } | null = null;
  for (const line of snapTo) {
    for (let i = 0; i < line.length; i++) {
      const a = line[i];
      if (!a) continue;
      if (Math.abs(a[0] - event.lng) < reach && Math.abs(a[1] - event.lat) < reach) {
        const at = project(a[0], a[1]);
        const px = Math.hypot(at.x - here.x, at.y - here.y);
        if (px < (vertex?.px ?? VERTEX_PX)) vertex = { at: a, px };
      }
      const b = line[i + 1];
      if (!b || !isNear(a, b, [event.lng, event.lat], reach)) continue;
      const t = shareAlong(a, b, [event.lng, event.lat]);
      const at: LngLat = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
      const on = project(at[0], at[1]);
      const px = Math.hypot(on.x - here.x, on.y - here.y);
      if (px < (onLine?.px ?? LINE_PX)) onLine = { at, px };
    }
  }
  const found = vertex ?? onLine;
  return found ? [Number(found.at[0].toFixed(9)), Number(found.at[1].toFixed(9))] : undefined;
}

const isNear = (a: LngLat, b: LngLat, p: LngLat, reach: number): boolean =>
  Math.min(a[0], b[0]) - reach < p[0] &&
  Math.max(a[0], b[0]) + reach > p[0] &&
  Math.min(a[1], b[1]) - reach < p[1] &&
  Math.max(a[1], b[1]) + reach > p[1];

/** Where the foot of the perpendicular stands between two places, 0 to 1, in the flat picture of the map. */
function shareAlong(a: LngLat, b: LngLat, p: LngLat): number {
  const narrow = Math.cos((p[1] * Math.PI) / 180);
  const dx = (b[0] - a[0]) * narrow;
  const dy = b[1] - a[1];
  const length2 = dx * dx + dy * dy;
  if (length2 === 0) return 0;
  return Math.min(1, Math.max(0, ((p[0] - a[0]) * narrow * dx + (p[1] - a[1]) * dy) / length2));
}
