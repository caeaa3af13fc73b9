import { caution, type Problem } from '../base/problem.ts';

/** What a person says of pixels that hold an evident fill: nothing yet, that there is no data, or that it is a value. */
export type FillWord = 'unsaid' | 'no data' | 'a value';

/** Fills that are met where a file names no no-data value (common practice, no source); larger floats than 1e30 are one too. */
const FILLS = [-999, -9999, -99_999, -32_767, -32_768, -2_147_483_648] as const;
const HUGE = 1e30;

export interface Fill {
  readonly value: number;
  readonly pixels: number;
  readonly of: number;
}

/**
 * A fill value that the file does not name as no-data: one of -999, -9999, -99999, -32767, -32768, -2147483648, or beyond 1e30 either
 * way, as the least (or largest) of all numbers and farther from the next than all the others are from each other. Null where there is
 * none. Ours. Cost: two passes over the pixels.
 */
export function evidentFill(values: Float32Array | Float64Array): Fill | null {
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
  const isFill = (value: number): boolean => FILLS.some((fill) => fill === value) || Math.abs(value) > HUGE;
  const low = isFill(least);
  if (!low && !(most > HUGE)) return null;
  const fill = low ? least : most;
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
  // All of one value: a whole file of fills, or a level field below the sea, which no one has.
  if (next > last) return { value: fill, pixels, of };
  const gap = low ? next - fill : fill - last;
  return gap > last - next ? { value: fill, pixels, of } : null;
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
export const fillProblem = (name: string, fill: Fill): Problem =>
  caution(
    'tif-fill',
    `${fill.pixels.toLocaleString('en-US')} of ${fill.of.toLocaleString('en-US')} pixels of ${name} about the field hold ${fillText(fill)}, and the file names no no-data value: they are left out, as not known.`,
    'Say under Surfaces, Your layers, whether that is no data or a value; or name it in the file (gdal_edit.py -a_nodata).',
    { file: name },
  );
