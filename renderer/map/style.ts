import type { LayerSpecification, StyleSpecification } from 'maplibre-gl';
import { NOTHING } from './geojson.ts';
import type { Inks } from './inks.ts';
import { SET_ASIDE_IMAGE } from './pictures.ts';

/** What can be put on the map, as collections of shapes. */
export const SOURCES = [
  'ground',
  'mask',
  'rates',
  'cells',
  'far',
  'outside',
  'withheld',
  'arcs',
  'selected',
  'composites',
  'areas',
  'keepOut',
  'boundary',
  'setAside',
  'samples',
  'lit',
] as const;
export type SourceId = (typeof SOURCES)[number];

/** Layers that come and go by themselves; all others show whatever their source holds. */
export const SURFACE_LAYER = 'surface';
export const STALE_LAYER = 'stale';

/** Closed shapes keep their corners at every zoom, so nothing is simplified away. */
const SOURCE = { type: 'geojson', data: NOTHING, tolerance: 0, maxzoom: 20, buffer: 64 } as const;

export const emptyStyle = (inks: Inks): StyleSpecification => ({
  version: 8,
  sources: Object.fromEntries(SOURCES.map((id) => [id, SOURCE])),
  layers: layersOf(inks),
  transition: { duration: 0, delay: 0 },
});

/** Bottom to top. The surface's raster goes in under `stale` once there is one. */
export function layersOf(inks: Inks): LayerSpecification[] {
  const dark = inks.keepOutEdge !== inks.line;
  return [
    { id: 'page', type: 'background', paint: { 'background-color': inks.page } },
    fill('ground', 'ground', { 'fill-color': inks.ground }),
    { ...fill('rates', 'rates', { 'fill-color': ['to-color', ['get', 'colour']] }) },
    line('cells', 'cells', { 'line-color': inks.line, 'line-width': 0.4, 'line-opacity': 0.5 }),
    fill(STALE_LAYER, 'ground', { 'fill-color': inks.page, 'fill-opacity': 0.55 }, 'none'),
    fill('outside', 'outside', { 'fill-opacity': 1 }),
    line('outside-edge', 'outside', { 'line-color': inks.line, 'line-width': 0.8, 'line-opacity': 0.7 }),
    fill('far', 'far', { 'fill-opacity': 1 }),
    line('far-edge', 'far', { 'line-color': inks.line, 'line-width': 1, 'line-dasharray': [3, 3] }),
    fill('withheld', 'withheld', { 'fill-opacity': 1 }),
    line('composites', 'composites', { 'line-color': inks.line, 'line-width': 1 }),
    line('zone-case', 'arcs', { 'line-color': inks.casing, 'line-width': 3.6, 'line-opacity': 0.9 }),
    line('zone-line', 'arcs', { 'line-color': inks.line, 'line-width': 1.3 }),
    line('withheld-edge', 'withheld', { 'line-color': inks.line, 'line-width': 1.4 }),
    line('selected-case', 'selected', {
      'line-color': inks.casing,
      'line-width': 6.5,
      'line-offset': ['get', 'offset'],
    }),
    line('selected-line', 'selected', { 'line-color': inks.over, 'line-width': 3.4, 'line-offset': ['get', 'offset'] }),
    fill('areas', 'areas', { 'fill-opacity': 1 }),
    line('areas-case', 'areas', { 'line-color': inks.casing, 'line-width': 4, 'line-opacity': 0.9 }),
    line('areas-edge', 'areas', {
      'line-color': ['case', ['==', ['get', 'chosen'], 1], inks.over, inks.line],
      'line-width': 1.6,
      'line-dasharray': [5, 1.5],
    }),
    // Above the lines between zones too, so that none of their ends stands out of the field.
    fill('mask', 'mask', { 'fill-color': inks.page }),
    fill('keep-out', 'keepOut', { 'fill-opacity': 1 }),
    line('keep-out-edge', 'keepOut', { 'line-color': inks.keepOutEdge, 'line-width': 1.2 }),
    line('boundary-case', 'boundary', {
      'line-color': inks.casing,
      'line-width': dark ? 4.4 : 5,
      'line-opacity': dark ? 0.92 : 1,
    }),
    line('boundary-line', 'boundary', { 'line-color': inks.line, 'line-width': 2 }),
    {
      id: 'set-aside',
      type: 'symbol',
      source: 'setAside',
      layout: { 'icon-image': SET_ASIDE_IMAGE, 'icon-allow-overlap': true, 'icon-ignore-placement': true },
    },
    {
      id: 'sample-dots',
      type: 'circle',
      source: 'samples',
      filter: ['!', ['has', 'mark']],
      paint: {
        'circle-radius': 3,
        'circle-color': inks.line,
        'circle-stroke-width': 1.4,
        'circle-stroke-color': inks.casing,
      },
    },
    {
      id: 'sample-marks',
      type: 'symbol',
      source: 'samples',
      filter: ['has', 'mark'],
      layout: { 'icon-image': ['get', 'mark'], 'icon-allow-overlap': true, 'icon-ignore-placement': true },
    },
    ring('lit-case', inks.casing, 4, 6.5),
    ring('lit', inks.over, 2, 7.5),
  ];
}

type FillPaint = Extract<LayerSpecification, { type: 'fill' }>['paint'];
type LinePaint = Extract<LayerSpecification, { type: 'line' }>['paint'];

const fill = (
  id: string,
  source: SourceId,
  paint: NonNullable<FillPaint>,
  visibility: 'visible' | 'none' = 'visible',
): LayerSpecification => ({
  id,
  type: 'fill',
  source,
  layout: { visibility },
  paint: { 'fill-antialias': true, ...paint },
});
const line = (id: string, source: SourceId, paint: NonNullable<LinePaint>): LayerSpecification => ({
  id,
  type: 'line',
  source,
  layout: { 'line-join': 'round', 'line-cap': id.endsWith('-edge') ? 'butt' : 'round' },
  paint,
});
/** A ring about a lit sample; its radius is that of the inner edge of the stroke. */
const ring = (id: string, ink: string, width: number, radius: number): LayerSpecification => ({
  id,
  type: 'circle',
  source: 'lit',
  paint: {
    'circle-radius': radius,
    'circle-opacity': 0,
    'circle-stroke-width': width,
    'circle-stroke-color': ink,
  },
});
