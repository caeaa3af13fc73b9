import type { GeoKeys } from './geo-keys.ts';
import type { TiffDirectory } from './tiff-tags.ts';

/**
 * Where pixels lie on the plane of the file's coordinate system: x = a col + b row + c, y = d col + e row + f. (0, 0) is the
 * outer corner of the first pixel, (0.5, 0.5) its centre.
 */
export interface Affine {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  readonly e: number;
  readonly f: number;
}

export type AffineOrTrouble =
  | { readonly affine: Affine; readonly points: boolean }
  | { readonly trouble: 'none' | 'control-points' | 'damaged' };

/**
 * The position of an image from its transformation, or its tie point and pixel scale. Where the keys say that a pixel is a
 * point, positions are those of centres and half a pixel is taken off (`points`). A negative pixel scale north to south is
 * taken for a positive one, as GDAL does. Source: OGC 19-008r4, clauses 7.1.2 and B.6.
 */
export function readAffine(directory: TiffDirectory, keys: GeoKeys): AffineOrTrouble {
  const matrix = directory.numbers(34264);
  const scale = directory.numbers(33550);
  const ties = directory.numbers(33922);
  let affine: Affine;
  if (matrix.length >= 16) {
    const [a = 0, b = 0, , c = 0, d = 0, e = 0, , f = 0] = matrix;
    affine = { a, b, c, d, e, f };
  } else if (scale.length >= 2 && ties.length >= 6) {
    const [col = 0, row = 0, , x = 0, y = 0] = ties;
    const [across = 0, down = 0] = scale;
    const north = Math.abs(down);
    affine = { a: across, b: 0, c: x - col * across, d: 0, e: -north, f: y + row * north };
  } else return { trouble: ties.length > 6 ? 'control-points' : 'none' };
  const points = keys.get(1025) === 2;
  if (points) affine = { ...affine, c: affine.c - (affine.a + affine.b) / 2, f: affine.f - (affine.d + affine.e) / 2 };
  const sound = Object.values(affine).every(Number.isFinite) && affine.a * affine.e - affine.b * affine.d !== 0;
  return sound ? { affine, points } : { trouble: 'damaged' };
}

/** The plane's position of a place among the pixels. */
export const toPlane = ({ a, b, c, d, e, f }: Affine, col: number, row: number): [x: number, y: number] => [
  a * col + b * row + c,
  d * col + e * row + f,
];

/** The place among the pixels of a position on the plane: the inverse of `toPlane`. */
export function fromPlane({ a, b, c, d, e, f }: Affine, x: number, y: number): [col: number, row: number] {
  const det = a * e - b * d;
  return [(e * (x - c) - b * (y - f)) / det, (a * (y - f) - d * (x - c)) / det];
}

/** The same positions counted from another pixel. */
export const shifted = (affine: Affine, col: number, row: number): Affine => {
  const [c, f] = toPlane(affine, col, row);
  return { ...affine, c, f };
};

/** The same ground with pixels `across` and `down` times as large. */
export const coarser = (affine: Affine, across: number, down: number): Affine => ({
  ...affine,
  a: affine.a * across,
  d: affine.d * across,
  b: affine.b * down,
  e: affine.e * down,
});
