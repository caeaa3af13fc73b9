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
  const pixels = new Uint32Array(rgba.buffer);
  // In class order with ZERO in front, as packed pixels.
  const inks = Uint32Array.from([ramp.zero ?? '#FFFFFF', ...ramp.colours], packed);
  const classes = new Int8Array(values.length);
  for (let cell = 0; cell < classes.length; cell++) classes[cell] = classOf(ramp, values[cell]!);

  const centreLeft = new Int32Array(width);
  const own = new Int32Array(width);
  const across = new Float64Array(width);
  for (let x = 0; x < width; x++) {
    const col = ((x + 0.5) * cols) / width - 0.5;
    centreLeft[x] = Math.floor(col);
    own[x] = Math.min(cols - 1, Math.max(0, Math.round(col)));
    across[x] = col - centreLeft[x]!;
  }
  for (let y = 0; y < height; y++) {
    const row = ((height - y - 0.5) * rows) / height - 0.5;
    const below = Math.floor(row);
    const south = Math.max(0, below) * cols;
    const north = Math.min(rows - 1, below + 1) * cols;
    const ownRow = Math.min(rows - 1, Math.max(0, Math.round(row))) * cols;
    const up = row - below;
    let end = 0;
    for (let start = 0; start < width; start = end) {
      const left = centreLeft[start]!;
      for (end = start + 1; end < width && centreLeft[end] === left; ) end++;
      const west = Math.max(0, left);
      const east = Math.min(cols - 1, left + 1);
      const sw = values[south + west]!;
      const se = values[south + east]!;
      const nw = values[north + west]!;
      const ne = values[north + east]!;
      const one = classes[south + west]!;
      // Between four of one class there is nothing else: most of the picture is filled without working it out.
      if (one === classes[south + east] && one === classes[north + west] && one === classes[north + east]) {
        const ink = inks[one - ZERO]!;
        if (one !== UNKNOWN) for (let x = start; x < end; x++) pixels[y * width + x] = ink;
        continue;
      }
      for (let x = start; x < end; x++) {
        const cell = ownRow + own[x]!;
        if (Number.isNaN(values[cell]!) && cover_m2[cell]! > 0) continue;
        const right = across[x]!;
        let sum = 0;
        let weight = 0;
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
        const at = weight > 0 ? classOf(ramp, sum / weight) : UNKNOWN;
        if (at !== UNKNOWN) pixels[y * width + x] = inks[at - ZERO]!;
      }
    }
  }
  return { width, height, rgba };
}

/** Opaque, as four bytes in the machine's own order. */
function packed(hex: string): number {
  const n = Number.parseInt(hex.slice(1), 16);
  const bytes = new Uint8Array([(n >> 16) & 255, (n >> 8) & 255, n & 255, 255]);
  return new Uint32Array(bytes.buffer)[0]!;
}

/**
 * Classes without an order as a picture: each pixel takes the colour of the cell it lies in, since nothing lies between two such classes.
 * Code 0 stays transparent; code n takes colour n - 1.
 */
export function paintCodes(
  codes: Uint8Array,
  { cols, rows }: Pick<Lattice, 'cols' | 'rows'>,
  colours: readonly string[],
  perCell: number,
): Picture {
  const width = Math.max(1, Math.round(cols * perCell));
  const height = Math.max(1, Math.round(rows * perCell));
  const rgba = new Uint8ClampedArray(width * height * 4);
  const pixels = new Uint32Array(rgba.buffer);
  const inks = Uint32Array.from(colours, packed);
  for (let y = 0; y < height; y++) {
    const row = rows - 1 - Math.floor((y * rows) / height);
    for (let x = 0; x < width; x++) {
      const code = codes[row * cols + Math.floor((x * cols) / width)]!;
      if (code > 0) pixels[y * width + x] = inks[code - 1]!;
    }
  }
  return { width, height, rgba };
}
