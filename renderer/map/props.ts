import type { LngLat, MultiPolygon } from '../../core/geo/types.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import type { AnyLayerId } from '../../core/surfaces/types.ts';
import type { BalanceLimits } from '../charts/balance.ts';
import type { SketchTask } from '../store/sketch.ts';
import type { OpenedOnMap } from './opened.ts';
import type { PaintedLayer } from './painted.ts';
import type { MapShapes } from './shapes.ts';

/**
 * What the map's ground shows: a surface, the balance classes, the rates of all passes together, by zones or as the files hold them, a file as it was
 * opened, that file less the plan, or only boundary and samples.
 */
export type MapLayer = AnyLayerId | 'balance' | 'rate' | 'written' | 'opened' | 'openedLess' | 'samples';

export const isSurface = (layer: MapLayer): layer is AnyLayerId =>
  layer !== 'balance' && layer !== 'samples' && !isRate(layer) && !isOpened(layer);

/** Product to be spread: by zones, or by the records of the files. */
export const isRate = (layer: MapLayer): layer is 'rate' | 'written' => layer === 'rate' || layer === 'written';

/** Of a file that was opened, not of the plan. */
export const isOpened = (layer: MapLayer): layer is 'opened' | 'openedLess' =>
  layer === 'opened' || layer === 'openedLess';

/** An area with a name, drawn over the field: outlined, hatched and named. */
export interface GroundArea {
  readonly id: string;
  readonly name: string;
  readonly polygons: MultiPolygon;
  /** Drawn in the spot colour: the one whose history is being told. */
  readonly chosen: boolean;
}

/** A coarse surface in the place of a layer's own values, while its settings are being tried. */
export interface MapPreview {
  readonly painted: PaintedLayer;
  /** What it is, for the line under the title: `Draft, power 3`. */
  readonly says: string;
}

/** Every layer's value at one place, for the spot line. */
export interface SpotReading {
  readonly at: LngLat;
  readonly cell: number;
  readonly values: Readonly<Partial<Record<AnyLayerId, number>>>;
  readonly zoneKey: string | null;
  readonly zoneLetter: string | null;
  readonly rate_lbPerAc: number | null;
  readonly nearestSample: { readonly id: string; readonly distance_m: number } | null;
}

export interface FieldMapProps {
  readonly out: PlanOut;
  /** False while the results are older than the plan: drawn greyed, and the caption says so. */
  readonly fresh: boolean;
  readonly layer: MapLayer;
  /** Layers that can be chosen, in order; the caption opens the list. */
  readonly layers: readonly MapLayer[];
  readonly onLayer: (layer: MapLayer) => void;
  readonly showSamples: boolean;
  readonly showZones: boolean;
  /** Ground outside the samples' hull and the spot farthest from any sample, where a surface is shown. */
  readonly showDoubt: boolean;
  /** The map's own buttons ask for a change of the three above. */
  readonly onShowSamples: (show: boolean) => void;
  readonly onShowZones: (show: boolean) => void;
  readonly onShowDoubt: (show: boolean) => void;
  /** Shown instead of the chosen layer. */
  readonly preview: MapPreview | null;
  /** Samples drawn in the shapes of their balance classes, else as dots. */
  readonly samplesByClass: boolean;
  /** The plan's floors and range (`plan.rates` fits): heavy ticks of the legend, shapes of the samples. */
  readonly limits: BalanceLimits;
  /** The plan's `surfaces.far_m`: ground beyond it is hatched. */
  readonly far_m: number;
  /** Outlines of `out`, and its surface layer as a picture: null while that is being painted, or where the layer is none. */
  readonly shapes: MapShapes;
  readonly painted: PaintedLayer | null;
  readonly productName: string;
  readonly units: 'US' | 'metric';
  readonly theme: 'light' | 'dark';
  readonly selectedZone: string | null;
  readonly onSelectZone: (zoneKey: string | null) => void;
  /** Ids of samples lit by a selection elsewhere. */
  readonly litSamples: ReadonlySet<string>;
  readonly onSelectSample: (id: string | null) => void;
  readonly spot: LngLat | null;
  readonly onSpot: (reading: SpotReading | null) => void;
  readonly onHover: (reading: SpotReading | null) => void;
  /** Change of this number flies to `focus`. */
  readonly focusTick: number;
  readonly focus: LngLat | null;
  /** Areas of the ground's history, where they are shown. */
  readonly areas: readonly GroundArea[];
  /** A prescription that was opened from a file, where there is one. */
  readonly opened?: OpenedOnMap | null;
  /** What is drawn by hand just now; null where nothing is. */
  readonly sketch: SketchTask | null;
  readonly onSketchEnd: () => void;
}
