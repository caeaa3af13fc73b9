import { fail, ok, type Result } from '../base/problem.ts';
import type { Bounds } from '../geo/bounds.ts';
import type { Placing } from './place.ts';
import { PACKINGS, readTiffImage, type TiffImage } from './tiff-image.ts';
import type { PixelWindow } from './tiff-pixels.kernel.ts';
import { type Affine, fromPlane } from './tiff-place.ts';
import { tooLarge } from './tiff-problems.ts';
import type { TiffDirectory } from './tiff-tags.ts';

/** Most pixels that are read at once: 400 MB of 32-bit floats. */
export const MOST_PIXELS = 100_000_000;

/** Places along each side of the window that are looked at; its sides may bend in the file's system. */
const ALONG = 9;
const SPARE_PIXELS = 2;

/** Pixels over some ground, with two to spare on each side; all where no ground is named, null where none is over it. */
export function windowOf(
  image: TiffImage,
  affine: Affine,
  placing: Placing,
  box: Bounds | undefined,
): PixelWindow | null {
  if (!box) return { col: 0, row: 0, cols: image.width, rows: image.height };
  let [west, north, east, south] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < ALONG; i++) {
    for (let j = 0; j < ALONG; j++) {
      const lng = box.west + ((box.east - box.west) * i) / (ALONG - 1);
      const lat = box.south + ((box.north - box.south) * j) / (ALONG - 1);
      const [x, y] = placing.fromLngLat([lng, lat]);
      const [col, row] = fromPlane(affine, x, y);
      if (!Number.isFinite(col) || !Number.isFinite(row)) continue;
      west = Math.min(west, col);
      east = Math.max(east, col);
      north = Math.min(north, row);
      south = Math.max(south, row);
    }
  }
  if (!(west < image.width && east > 0 && north < image.height && south > 0)) return null;
  const col = Math.max(0, Math.floor(west) - SPARE_PIXELS);
  const row = Math.max(0, Math.floor(north) - SPARE_PIXELS);
  return {
    col,
    row,
    cols: Math.min(image.width, Math.ceil(east) + SPARE_PIXELS) - col,
    rows: Math.min(image.height, Math.ceil(south) + SPARE_PIXELS) - row,
  };
}

/** Which image of the file is read. */
export interface Level {
  readonly image: TiffImage;
  readonly overview: boolean;
}

/** The image itself, or the finest overview whose part of the window is not too much. */
export function levelOf(
  directories: readonly TiffDirectory[],
  full: TiffImage,
  window: PixelWindow,
  most: number,
  name: string,
): Result<Level> {
  if (window.cols * window.rows <= most) return ok({ image: full, overview: false });
  const smaller = directories
    .slice(1)
    .filter((directory) => (directory.number(254, 0) & 5) === 1)
    .flatMap((directory) => {
      const read = readTiffImage(directory);
      return 'image' in read && PACKINGS.has(read.image.compression) && read.image.bands === full.bands
        ? [read.image]
        : [];
    })
    .filter((image) => (window.cols * window.rows * image.width * image.height) / (full.width * full.height) <= most)
    .sort((one, other) => other.width - one.width);
  const [image] = smaller;
  return image
    ? ok({ image, overview: true })
    : fail(tooLarge(name, `${window.cols} x ${window.rows} pixels would be read`));
}

/** The same window in pixels `across` and `down` times as large. */
export function scaledWindow(window: PixelWindow, image: TiffImage, across: number, down: number): PixelWindow {
  const col = Math.floor(window.col / across);
  const row = Math.floor(window.row / down);
  return {
    col,
    row,
    cols: Math.min(image.width, Math.ceil((window.col + window.cols) / across)) - col,
    rows: Math.min(image.height, Math.ceil((window.row + window.rows) / down)) - row,
  };
}
