import { unpackJpeg } from './geotiff-jpeg.ts';
import { count } from './say.ts';
import { PACKINGS, readTiffImage, type TiffImage } from './tiff-image.ts';
import { type PixelWindow, readPixels } from './tiff-pixels.kernel.ts';
import type { TiffDirectory } from './tiff-tags.ts';

export interface MaskJob {
  readonly bytes: Uint8Array;
  readonly littleEndian: boolean;
  readonly directories: readonly TiffDirectory[];
  readonly full: TiffImage;
  readonly image: TiffImage;
  readonly part: PixelWindow;
  readonly band: number;
  readonly values: Float32Array | Float64Array;
}

export type Masked =
  | { readonly ok: true; readonly reading: readonly string[] }
  | { readonly ok: false; readonly why: 'cut-off' | 'damaged'; readonly detail: string };

/**
 * Makes NaN what the file's own mask (a directory of its own, NewSubfileType 4) or alpha band says is not shown. Changes
 * `values`. Source: TIFF 6.0, section 8, and ExtraSamples in section 18.
 */
export async function applyMasks(job: MaskJob): Promise<Masked> {
  const { directories, image, part, values } = job;
  const reading: string[] = [];
  const [main] = directories;
  const extra = main?.numbers(338) ?? [];
  const alpha = extra.findIndex((kind) => kind === 1 || kind === 2);
  const alphaBand = alpha < 0 ? -1 : image.bands - extra.length + alpha;
  const sources: (readonly [TiffImage, number, string])[] =
    alphaBand >= 0 && alphaBand !== job.band ? [[image, alphaBand, `band ${alphaBand + 1} is alpha`]] : [];
  for (const directory of directories.slice(1)) {
    if ((directory.number(254, 0) & 4) === 0) continue;
    const read = readTiffImage(directory);
    if (
      'image' in read &&
      read.image.width === image.width &&
      read.image.height === image.height &&
      PACKINGS.has(read.image.compression)
    )
      sources.push([read.image, 0, 'the file has a mask']);
  }
  for (const [source, band, words] of sources) {
    const jpeg = (packed: Uint8Array) => unpackJpeg(packed, source);
    const mask = await readPixels(job.bytes, job.littleEndian, source, band, part, 0, jpeg);
    if (!mask.ok) return mask;
    let hidden = 0;
    mask.values.forEach((shown, i) => {
      if (shown !== 0) return;
      hidden++;
      values[i] = Number.NaN;
    });
    reading.push(`${words}: ${count(hidden, 'pixel')} not shown`);
  }
  return { ok: true, reading };
}
