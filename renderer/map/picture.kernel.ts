import type { Lattice } from '../../core/geo/types.ts';
import { classOf, type Ramp, UNKNOWN, ZERO } from './ramps.ts';

export interface Picture {
  readonly width: number;
  readonly height: number;
  /** RGBA, row 0 at the north as pictures have it. Transparent where nothing is known. */
  readonly rgba: Uint8ClampedArray<ArrayBuffer>;
}

/** Pixels a cell side gets, so that the longer side comes near `side_px` and never passes `most_px`. */
export function pixelsPerCell(lattice: Pick<Lattice, 'cols' | 'rows'>, side_px = 1600, most_px = 4096): number {
  const longer = Math.max(lattice.cols, lattice.rows);
  return longer > most_px ? most_px / longer : Math.max(1, Math.min(16, Math.floor(side_px / longer)));
}

/**
 * A surface as a picture in the colours of its classes, flat, with no shades between them.
 * Each pixel takes the class of the value between the four cell centres around it (bilinear), so a class edge lies
 * between the two centres that differ: never more than half a cell from where the cells themselves would put it.
 * Cells without a value count for nothing; a pixel in a cell that has ground but no value stays transparent.
 */
export function paintSurface(
  values: Float64Array,
  cover_m2: Float64Array,
  lattice: Pick<Lattice, 'cols' | 'rows'>,
  ramp: Ramp,
  perCell = pixelsPerCell(lattice),
): Picture {
  const { cols, rows } = lattice;
  const width = Math.max(1, Math.round(cols * perCell));
  const height = Math.max(1, Math.round(rows * perCell));
  const rgba = new Uint8ClampedArray(width * height * 4);
  const colours = ramp.colours.map(channels);
  const zero = channels(ramp.zero ?? '#FFFFFF');

  const west = new Int32Array(width);
  const east = new Int32Array(width);
  const own = new Int32Array(width);
  const across = new Float64Array(width);
  for (let x = 0; x < width; x++) {
    const col = ((x + 0.5) * cols) / width - 0.5;
    const left = Math.floor(col);
    west[x] = Math.max(0, left);
    east[x] = Math.min(cols - 1, left + 1);
    own[x] = Math.min(cols - 1, Math.max(0, Math.round(col)));
    across[x] = col - left;
  }
  for (let y = 0; y < height; y++) {
    const row = ((height - y - 0.5) * rows) / height - 0.5;
    const below = Math.floor(row);
    const south = Math.max(0, below) * cols;
    const north = Math.min(rows - 1, below + 1) * cols;
    const ownRow = Math.min(rows - 1, Math.max(0, Math.round(row))) * cols;
    const up = row - below;
    for (let x = 0; x < width; x++) {
      const cell = ownRow + own[x]!;
      if (Number.isNaN(values[cell]!) && cover_m2[cell]! > 0) continue;
      const right = across[x]!;
      let sum = 0;
      let weight = 0;
      const sw = values[south + west[x]!]!;
      const se = values[south + east[x]!]!;
      const nw = values[north + west[x]!]!;
      const ne = values[north + east[x]!]!;
      if (!Number.isNaN(sw)) {
        const w = (1 - right) * (1 - up);
        sum += w * sw;
        weight += w;
      }
      if (!Number.isNaN(se)) {
        const w = right * (1 - up);
        sum += w * se;
        weight += w;
      }
      if (!Number.isNaN(nw)) {
        const w = (1 - right) * up;
        sum += w * nw;
        weight += w;
      }
      if (!Number.isNaN(ne)) {
        const w = right * up;
        sum += w * ne;
        weight += w;
      }
      if (weight <= 0) continue;
      const at = classOf(ramp, sum / weight);
      if (at === UNKNOWN) continue;
      const colour = at === ZERO ? zero : colours[at]!;
      const o = (y * width + x) * 4;
      rgba[o] = colour[0];
      rgba[o + 1] = colour[1];
      rgba[o + 2] = colour[2];
      rgba[o + 3] = 255;
    }
  }
  return { width, height, rgba };
}

function channels(hex: string): readonly [number, number, number] {
  const n = Number.parseInt(hex.slice(1), 16);
  return [(n >> 16) & 255, (n >> 8) & 255, n & 255];
}
