import { type CanvasSource, type GeoJSONSource, Map as GlMap, type MapMouseEvent, setWorkerUrl } from 'maplibre-gl';
import workerUrl from 'maplibre-gl/dist/maplibre-gl-worker.mjs?worker&url';
import type { LngLat } from '../../core/geo/types.ts';
import type { SketchTask } from '../store/sketch.ts';
import type { Camera, Point } from './camera.ts';
import type { FeatureCollection } from './geojson.ts';
import type { Inks } from './inks.ts';
import { markPictures, type PatternName, patternImage, patternPicture } from './pictures.ts';
import { beginSketch, type Sketch } from './sketch.ts';
import { emptyStyle, layersOf, type SourceId, STALE_LAYER, SURFACE_LAYER } from './style.ts';

setWorkerUrl(workerUrl);

export interface ViewEvents {
  readonly camera: (camera: Camera) => void;
  /** A person moved the map: it no longer follows the field by itself. */
  readonly moved: () => void;
  readonly hover: (at: LngLat | null) => void;
  readonly click: (at: LngLat, px: Point) => void;
  readonly idle: (idle: boolean) => void;
  readonly lost: () => void;
}
export interface SurfacePicture {
  readonly pixels: ImageData;
  /** North-west, north-east, south-east, south-west. */
  readonly corners: readonly [LngLat, LngLat, LngLat, LngLat];
}

const PATTERN_LAYERS = {
  'keep-out': 'grass',
  far: 'far',
  outside: 'outside',
  withheld: 'withheld',
  areas: 'area',
} as const satisfies Record<string, PatternName>;
/** Steps of the zoom's fraction that patterns are made for: the eye sees no difference of 3 %. */
const FRACTIONS = 24;
const CLOSEST_ZOOM = 21;

/** The WebGL side of the map: shapes, surface and camera go in, pointer and camera come out. Nothing else knows MapLibre. */
export class FieldView {
  readonly #map: GlMap;
  readonly #events: ViewEvents;
  #inks: Inks;
  #ready = false;
  #removed = false;
  readonly #waiting: (() => void)[] = [];
  readonly #canvas = document.createElement('canvas');
  /** While something is drawn by hand, clicks are corners and pin no spot. */
  #sketching = 0;
  #sketch: Sketch | null = null;

  constructor(container: HTMLElement, inks: Inks, start: Pick<Camera, 'centre' | 'zoom'>, events: ViewEvents) {
    this.#inks = inks;
    this.#events = events;
    this.#map = new GlMap({
      container,
      style: emptyStyle(inks),
      center: [start.centre[0], start.centre[1]],
      zoom: start.zoom,
      maxZoom: CLOSEST_ZOOM,
      attributionControl: false,
      dragRotate: false,
      pitchWithRotate: false,
      touchPitch: false,
      keyboard: false,
      doubleClickZoom: false,
      boxZoom: false,
      trackResize: false,
      renderWorldCopies: false,
      fadeDuration: 0,
      // Nothing slides on after the hand has let go.
      dragPan: { maxSpeed: 0 },
      canvasContextAttributes: { antialias: true, preserveDrawingBuffer: false },
    });
    this.#map.touchZoomRotate.disableRotation();
    const canvas = this.#map.getCanvas();
    // The stage around it takes the focus and the keys, and says what is shown.
    canvas.removeAttribute('tabindex');
    canvas.setAttribute('role', 'presentation');
    canvas.removeAttribute('aria-label');
    canvas.addEventListener('webglcontextlost', () => {
      // Taking the map down gives its context back, which is no loss.
      if (!this.#removed) events.lost();
    });
    this.#listen();
    this.#map.once('style.load', () => this.#begin());
  }

  get camera(): Camera {
    const { lng, lat } = this.#map.getCenter();
    const box = this.#map.getContainer();
    return { centre: [lng, lat], zoom: this.#map.getZoom(), width: box.clientWidth, height: box.clientHeight };
  }

  put(source: SourceId, data: FeatureCollection): void {
    this.#whenReady(() => {
      // Every id of SOURCES is a GeoJSON source of the style.
      const known = this.#map.getSource(source) as GeoJSONSource | undefined;
      known?.setData(data);
    });
  }

  show(picture: SurfacePicture | null): void {
    this.#whenReady(() => {
      if (!picture) {
        if (this.#map.getLayer(SURFACE_LAYER)) this.#map.setLayoutProperty(SURFACE_LAYER, 'visibility', 'none');
        return;
      }
      this.#canvas.width = picture.pixels.width;
      this.#canvas.height = picture.pixels.height;
      this.#canvas.getContext('2d')?.putImageData(picture.pixels, 0, 0);
      const coordinates = picture.corners.map(([lng, lat]) => [lng, lat]) as Corners;
      // The id is only ever given to a canvas source.
      const known = this.#map.getSource(SURFACE_LAYER) as CanvasSource | undefined;
      if (known) {
        known.setCoordinates(coordinates);
        known.play();
        known.pause();
        this.#map.setLayoutProperty(SURFACE_LAYER, 'visibility', 'visible');
      } else {
        this.#map.addSource(SURFACE_LAYER, { type: 'canvas', canvas: this.#canvas, coordinates, animate: false });
        this.#map.addLayer(
          {
            id: SURFACE_LAYER,
            type: 'raster',
            source: SURFACE_LAYER,
            paint: { 'raster-resampling': 'nearest', 'raster-fade-duration': 0 },
          },
          STALE_LAYER,
        );
      }
      this.#map.triggerRepaint();
    });
  }

  setStale(stale: boolean): void {
    this.#whenReady(() => this.#map.setLayoutProperty(STALE_LAYER, 'visibility', stale ? 'visible' : 'none'));
  }

  setInks(inks: Inks): void {
    this.#inks = inks;
    this.#whenReady(() => {
      for (const layer of layersOf(inks)) {
        for (const [name, value] of Object.entries(layer.paint ?? {})) {
          // The names are those of the layer's own paint, which Object.entries widens to text.
          this.#map.setPaintProperty(layer.id, name as PaintName, value);
        }
      }
      this.#fitPatterns();
    });
  }

  /** Lets a person draw one shape; what it gives ends the drawing. `onReady` once the drawing library is there and listens. */
  sketch(task: SketchTask, onReady: () => void): () => void {
    let over = false;
    this.#sketching++;
    this.#whenReady(async () => {
      const sketch = await beginSketch(this.#map, task, this.#inks);
      if (over || this.#removed) sketch.end();
      else {
        this.#sketch = sketch;
        onReady();
      }
    });
    return () => {
      if (over) return;
      over = true;
      this.#sketching--;
      if (!this.#removed) this.#sketch?.end();
      this.#sketch = null;
    };
  }
  finishSketch(): void {
    this.#sketch?.finish();
  }
  cornerAtCentre(): void {
    this.#sketch?.cornerAtCentre();
  }

  jumpTo(to: Pick<Camera, 'centre' | 'zoom'>, duration_ms = 0): void {
    const target = { center: [to.centre[0], to.centre[1]] as [number, number], zoom: to.zoom };
    if (duration_ms > 0) this.#map.easeTo({ ...target, duration: duration_ms, essential: true });
    else this.#map.jumpTo(target);
  }
  panBy(px: Point, duration_ms: number): void {
    this.#events.moved();
    this.#map.panBy([px[0], px[1]], { duration: duration_ms, essential: true });
  }
  zoomBy(levels: number, duration_ms: number): void {
    this.#events.moved();
    this.#map.easeTo({ zoom: this.#map.getZoom() + levels, duration: duration_ms, essential: true });
  }

  /** To be called when the container's size has changed; draws at once, so that no empty frame is seen. */
  resize(): void {
    this.#map.resize();
    this.#events.camera(this.camera);
    if (this.#ready) this.#map.redraw();
  }

  remove(): void {
    this.#removed = true;
    this.#map.remove();
  }

  #listen(): void {
    const { camera, hover, click, idle, moved } = this.#events;
    const lngLat = (event: MapMouseEvent): LngLat => [event.lngLat.lng, event.lngLat.lat];
    this.#map.on('move', () => camera(this.camera));
    this.#map.on('zoomend', () => this.#fitPatterns());
    this.#map.on('mousemove', (event) => {
      if (!this.#map.isMoving()) hover(lngLat(event));
    });
    this.#map.on('mouseout', () => hover(null));
    this.#map.on('click', (event) => {
      if (this.#sketching === 0) click(lngLat(event), [event.point.x, event.point.y]);
    });
    this.#map.on('render', () => idle(false));
    this.#map.on('idle', () => idle(true));
    for (const name of ['dragstart', 'wheel', 'touchstart'] as const) this.#map.on(name, () => moved());
  }

  #begin(): void {
    for (const picture of markPictures(devicePixelRatio)) {
      this.#map.addImage(picture.name, picture.data, { pixelRatio: picture.pixelRatio });
    }
    this.#ready = true;
    this.#fitPatterns();
    for (const step of this.#waiting.splice(0)) step();
    this.#events.camera(this.camera);
  }

  #whenReady(step: () => void): void {
    if (this.#removed) return;
    if (this.#ready) step();
    else this.#waiting.push(step);
  }

  /** Patterns of the size that the zoom's fraction asks for. */
  #fitPatterns(): void {
    if (!this.#ready || this.#removed) return;
    const zoom = this.#map.getZoom();
    const fraction = Math.min(FRACTIONS - 1, Math.floor((zoom - Math.floor(zoom)) * FRACTIONS)) / FRACTIONS;
    for (const [layer, name] of Object.entries(PATTERN_LAYERS)) {
      const image = patternImage(name, fraction, this.#inks);
      if (this.#map.getPaintProperty(layer, 'fill-pattern') === image) continue;
      if (!this.#map.hasImage(image)) {
        const picture = patternPicture(name, fraction, this.#inks, devicePixelRatio);
        this.#map.addImage(image, picture.data, { pixelRatio: picture.pixelRatio });
      }
      this.#map.setPaintProperty(layer, 'fill-pattern', image);
    }
  }
}

type PaintName = Parameters<GlMap['setPaintProperty']>[1];
type Corners = [[number, number], [number, number], [number, number], [number, number]];

/** Whether this machine can draw the map at all. */
export function canDraw(): boolean {
  const context = document.createElement('canvas').getContext('webgl2');
  context?.getExtension('WEBGL_lose_context')?.loseContext();
  return context !== null;
}
