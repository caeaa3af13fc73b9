import { UNITS_PER_DEG } from './ring.ts';
import type { Lattice, MultiPolygon } from './types.ts';
import { meanStrip_m2PerRad, RAD_PER_DEG, strip_m2PerRad } from './wgs84.ts';

/** Slack in units of 1e-9 degree: a cell this near to an edge counts as crossed. */
const SLACK = 4;
/** Shares of a cell nearer than this to none or all are none or all. */
const NEGLIGIBLE = 1e-9;

export interface Cover {
  /** Ellipsoidal area that the polygons share with each cell. */
  readonly cover_m2: Float64Array;
  /** 1 where an edge runs through the cell or within 0.4 mm of it. */
  readonly crossed: Uint8Array;
}

/**
 * Exact share of every cell, without clipping: each edge is cut at the lattice lines, each piece adds the area between
 * itself and the foot of its own cell, and its longitude to all cells south of it. Suffix sums down each column then
 * give the areas, so that the total equals `area_m2(polygons)` to rounding (law in the tests). Ground outside the
 * lattice is not counted. Polygons must be valid and wound per RFC 7946; parts must not overlap.
 * Cost: cells + pieces of edges. The idea is that of scan-line coverage in font rasters, with the authalic integral.
 */
export function coverCells(lattice: Lattice, polygons: MultiPolygon): Cover {
  const { cols, rows } = lattice;
  const x0 = Math.round(lattice.west_deg * UNITS_PER_DEG);
  const y0 = Math.round(lattice.south_deg * UNITS_PER_DEG);
  const stepX = Math.round(lattice.dLng_deg * UNITS_PER_DEG);
  const stepY = Math.round(lattice.dLat_deg * UNITS_PER_DEG);
  const cover_m2 = new Float64Array(cols * rows);
  const crossed = new Uint8Array(cols * rows);
  const foot_deg = new Float64Array(rows + 1);
  for (let row = 0; row <= rows; row++) foot_deg[row] = (y0 + row * stepY) / UNITS_PER_DEG;
  // Units of longitude, west counted plus, that an edge of the cell has above the cells south of it.
  const above = new Float64Array(cols * rows);
  const overhead = new Float64Array(cols);

  const piece = (x1: number, y1: number, x2: number, y2: number): void => {
    const col = Math.floor((x1 + x2) / 2 / stepX);
    const row = Math.floor((y1 + y2) / 2 / stepY);
    const west = Math.floor((Math.min(x1, x2) - SLACK) / stepX);
    const east = Math.floor((Math.max(x1, x2) + SLACK) / stepX);
    const south = Math.floor((Math.min(y1, y2) - SLACK) / stepY);
    const north = Math.floor((Math.max(y1, y2) + SLACK) / stepY);
    for (let r = Math.max(0, south); r <= north && r < rows; r++) {
      for (let c = Math.max(0, west); c <= east && c < cols; c++) crossed[r * cols + c] = 1;
    }
    if (x1 === x2 || col < 0 || col >= cols || row < 0) return;
    if (row >= rows) {
      // Above the lattice: the whole column lies south of the piece.
      overhead[col]! += x1 - x2;
      return;
    }
    const cell = row * cols + col;
    const lat1 = (y0 + y1) / UNITS_PER_DEG;
    const lat2 = (y0 + y2) / UNITS_PER_DEG;
    cover_m2[cell]! += ((x1 - x2) / UNITS_PER_DEG) * RAD_PER_DEG * meanStrip_m2PerRad(foot_deg[row]!, lat1, lat2);
    above[cell]! += x1 - x2;
  };

  for (const polygon of polygons) {
    for (const ring of polygon) {
      for (let i = 1; i < ring.length; i++) {
        const from = ring[i - 1]!;
        const to = ring[i]!;
        cutEdge(
          from[0] * UNITS_PER_DEG - x0,
          from[1] * UNITS_PER_DEG - y0,
          to[0] * UNITS_PER_DEG - x0,
          to[1] * UNITS_PER_DEG - y0,
          stepX,
          stepY,
          piece,
        );
      }
    }
  }

  for (let row = rows - 1; row >= 0; row--) {
    const perUnit_m2 = (strip_m2PerRad(foot_deg[row]!, foot_deg[row + 1]!) * RAD_PER_DEG) / UNITS_PER_DEG;
    const whole_m2 = stepX * perUnit_m2;
    for (let col = 0; col < cols; col++) {
      const cell = row * cols + col;
      const units = overhead[col]!;
      overhead[col] = units + above[cell]!;
      const share = (cover_m2[cell]! + units * perUnit_m2) / whole_m2;
      cover_m2[cell] = share < NEGLIGIBLE ? 0 : share > 1 - NEGLIGIBLE ? whole_m2 : share * whole_m2;
    }
  }
  return { cover_m2, crossed };
}

/** Calls `piece` for the parts of an edge between lattice lines, in order; cuts lie exactly on their line. */
export function cutEdge(
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  stepX: number,
  stepY: number,
  piece: (x1: number, y1: number, x2: number, y2: number) => void,
): void {
  const dx = x2 - x1;
  const dy = y2 - y1;
  const signX = Math.sign(dx);
  const signY = Math.sign(dy);
  // Number of the next line ahead, strictly beyond the start.
  let lineX = signX > 0 ? Math.floor(x1 / stepX) + 1 : Math.ceil(x1 / stepX) - 1;
  let lineY = signY > 0 ? Math.floor(y1 / stepY) + 1 : Math.ceil(y1 / stepY) - 1;
  let fromX = x1;
  let fromY = y1;
  for (;;) {
    const tX = signX === 0 ? Infinity : (lineX * stepX - x1) / dx;
    const tY = signY === 0 ? Infinity : (lineY * stepY - y1) / dy;
    const t = Math.min(tX, tY);
    if (t >= 1) break;
    const toX = tX === t ? lineX * stepX : x1 + t * dx;
    const toY = tY === t ? lineY * stepY : y1 + t * dy;
    piece(fromX, fromY, toX, toY);
    if (tX === t) lineX += signX;
    if (tY === t) lineY += signY;
    fromX = toX;
    fromY = toY;
  }
  piece(fromX, fromY, x2, y2);
}
