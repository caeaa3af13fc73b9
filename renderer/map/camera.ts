import type { LngLat } from '../../core/geo/types.ts';

/**
 * The map's view as plain numbers: Web Mercator on a square of 512 px at zoom 0, north up, never tilted.
 * The same formulas as MapLibre's, so that what is drawn over its canvas stays on its place.
 * Source: Snyder, Map Projections: A Working Manual, USGS PP 1395 (1987), spherical Mercator, eq. 7-1 to 7-4.
 */
export interface Camera {
  readonly centre: LngLat;
  readonly zoom: number;
  readonly width: number;
  readonly height: number;
}
export interface Margins {
  readonly top: number;
  readonly bottom: number;
  readonly left: number;
  readonly right: number;
}
export interface Box {
  readonly west: number;
  readonly south: number;
  readonly east: number;
  readonly north: number;
}
export type Point = readonly [number, number];

const TILE_PX = 512;
const CLOSEST_ZOOM = 21;
const RAD = Math.PI / 180;

/** Lng/lat to the unit square: 0, 0 is the north-west corner. */
const toUnit = (p: LngLat): Point => [
  (p[0] + 180) / 360,
  0.5 - Math.log(Math.tan(Math.PI / 4 + (p[1] * RAD) / 2)) / (2 * Math.PI),
];
const fromUnit = (u: Point): LngLat => [
  u[0] * 360 - 180,
  (2 * Math.atan(Math.exp((0.5 - u[1]) * 2 * Math.PI)) - Math.PI / 2) / RAD,
];

export const worldPx = (zoom: number): number => TILE_PX * 2 ** zoom;

/** Pixels from the view's upper left corner. */
export function project(camera: Camera, p: LngLat): Point {
  const world = worldPx(camera.zoom);
  const [x, y] = toUnit(p);
  const [cx, cy] = toUnit(camera.centre);
  return [(x - cx) * world + camera.width / 2, (y - cy) * world + camera.height / 2];
}

export function unproject(camera: Camera, at: Point): LngLat {
  const world = worldPx(camera.zoom);
  const [cx, cy] = toUnit(camera.centre);
  return fromUnit([cx + (at[0] - camera.width / 2) / world, cy + (at[1] - camera.height / 2) / world]);
}

/** Degrees of longitude that one pixel is wide. */
export const lngPerPx = (camera: Camera): number => 360 / worldPx(camera.zoom);

/** The view that holds the whole box inside the margins, as large as it can be. */
export function fitBox(box: Box, width: number, height: number, margins: Margins): Pick<Camera, 'centre' | 'zoom'> {
  const [west, north] = toUnit([box.west, box.north]);
  const [east, south] = toUnit([box.east, box.south]);
  const free = [
    Math.max(1, width - margins.left - margins.right),
    Math.max(1, height - margins.top - margins.bottom),
  ] as const;
  const scale = Math.min(free[0] / Math.max(east - west, 1e-12), free[1] / Math.max(south - north, 1e-12));
  const zoom = Math.min(CLOSEST_ZOOM, Math.max(0, Math.log2(scale / TILE_PX)));
  const world = worldPx(zoom);
  const x = (west + east) / 2 - (margins.left - margins.right) / 2 / world;
  const y = (north + south) / 2 - (margins.top - margins.bottom) / 2 / world;
  return { centre: fromUnit([x, y]), zoom };
}
