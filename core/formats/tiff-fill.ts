import { caution, type Problem } from '../base/problem.ts';

/** What a person says of pixels that hold an evident fill: nothing yet, that there is no data, or that it is a value. */
export type FillWord = 'unsaid' | 'no data' | 'a value';

/** Fills that are met where a file names no no-data value (common practice, no source); figures beyond 1e15 are one too. */
const FILLS: ReadonlySet<number> = new Set([
  -999, -9999, -99_999, -32_767, -32_768, -2_147_483_648, 32_767, 65_535, 2_147_483_647, 4_294_967_295,
]);
/** No field has a measure as large in any unit (ours). */
const HUGE = 1e15;
/** Figures that are values as often as fills: one only where much of the raster holds exactly it, and it stands far from all else. */
const COMMON: ReadonlySet<number> = new Set([-1, 0, 255]);
const COMMON_SHARE = 0.05;

export interface Fill {
  readonly value: number;
  readonly pixels: number;
  readonly of: number;
}

/**
 * A fill value that the file does not name as no-data: one of `FILLS` or beyond 1e15 either way, as the least (or largest) of all numbers and
 * farther from the next than all the others are from each other. Where the file names no no-data value at all, -1, 0 and 255 too, where more
 * than 5 % of the pixels hold it and the others are not all of one value: 0 is common in imagery. Null where there is none. Ours.
 * Cost: three passes over the pixels.
 */
export function evidentFill(values: Float32Array | Float64Array, namesOne = false): Fill | null {
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  let of = 0;
  for (const value of values) {
    if (Number.isNaN(value)) continue;
    of++;
    if (value < least) least = value;
    if (value > most) most = value;
  }
  if (of === 0) return null;
  for (const fill of [least, most]) {
    const plain = FILLS.has(fill) || Math.abs(fill) > HUGE;
    if (!plain && (namesOne || !COMMON.has(fill))) continue;
    const { pixels, next, last } = besides(values, fill);
    // All of one value: a whole file of fills, or a level field below the sea, which no one has.
    if (next > last) return plain ? { value: fill, pixels, of } : null;
    const gap = fill === least ? next - fill : fill - last;
    if (gap > last - next && (plain || (pixels > COMMON_SHARE * of && last > next))) return { value: fill, pixels, of };
  }
  return null;
}

/** How many pixels hold a figure, and the least and the largest of the others. */
function besides(
  values: Float32Array | Float64Array,
  fill: number,
): { readonly pixels: number; readonly next: number; readonly last: number } {
  let pixels = 0;
  let next = Number.POSITIVE_INFINITY;
  let last = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (value === fill) pixels++;
    else {
      if (value < next) next = value;
      if (value > last) last = value;
    }
  }
  return { pixels, next, last };
}

/** The start of the sentence by which what was understood tells of a fill. */
export const FILL_SAID = 'pixels that hold ';

/** A figure that people know the fill by: floats cut to what was typed. */
export const fillText = ({ value }: Fill): string => (Math.abs(value) > HUGE ? value.toExponential(4) : String(value));

export const fillReading = (fill: Fill, word: FillWord): string =>
  `${FILL_SAID}${fillText(fill)}: ${fill.pixels.toLocaleString('en-US')} of ${fill.of.toLocaleString('en-US')}, ${
    word === 'a value'
      ? 'values, as told'
      : word === 'no data'
        ? 'no data, as told'
        : 'taken as no data until a person says so'
  }`;

/** `tif-fill`: fills are left out until a person has said what they are. */
export const fillProblem = (name: string, fill: Fill, noData: string | null = null): Problem =>
  caution(
    'tif-fill',
    `${fill.pixels.toLocaleString('en-US')} of ${fill.of.toLocaleString('en-US')} pixels of ${name} about the field hold ${fillText(fill)}, and the file names ${noData === null ? 'no no-data value' : `another no-data value, ${noData.slice(0, 20)}`}: they are left out, as not known.`,
    'Say under Surfaces, Your layers, whether that is no data or a value; or name it in the file (gdal_edit.py -a_nodata).',
    { file: name },
  );
