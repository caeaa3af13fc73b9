/** Frames are types: degrees are not local metres. The tag is never set at run time; it only keeps the two apart. */
export type LngLat = readonly [number, number] & { readonly frame?: 'lng/lat, degrees, WGS84' };
export type LocalXY = readonly [number, number] & { readonly frame?: 'east/north, metres, local' };

/** Closed: the first position stands again at the end. */
export type Ring = readonly LngLat[];
/** Outer ring counter-clockwise, then holes clockwise (RFC 7946, 3.1.6). */
export type Polygon = readonly Ring[];
export type MultiPolygon = readonly Polygon[];

/** Flat frame about one place: x = (lng - lng0) * mPerDegLng, y likewise, with the WGS84 radii at lat0. */
export interface LocalFrame {
  readonly lng0_deg: number;
  readonly lat0_deg: number;
  readonly mPerDegLng: number;
  readonly mPerDegLat: number;
}

/**
 * Cells aligned to longitude and latitude. Cell (col, row) has index row * cols + col and covers
 * west + col * dLng .. west + (col + 1) * dLng; row 0 is the southernmost (as in ISO 11783-10).
 */
export interface Lattice {
  readonly west_deg: number;
  readonly south_deg: number;
  readonly dLng_deg: number;
  readonly dLat_deg: number;
  readonly cols: number;
  readonly rows: number;
}

/**
 * The lattice of one field. `cover_m2[cell]` is the ellipsoidal area that the spreadable ground shares with the cell:
 * 0 outside, the whole cell inside, part of it along the boundary. The sum is the spreadable area.
 */
export interface FieldGrid {
  readonly lattice: Lattice;
  readonly frame: LocalFrame;
  readonly cell_m: number;
  readonly cover_m2: Float64Array;
}
