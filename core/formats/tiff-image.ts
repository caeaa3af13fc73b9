import type { TiffDirectory } from './tiff-tags.ts';

/** How the pixels of one image are laid down in a TIFF. */
export interface TiffImage {
  readonly width: number;
  readonly height: number;
  readonly bands: number;
  readonly bits: number;
  readonly kind: 'uint' | 'int' | 'float';
  readonly compression: number;
  readonly predictor: number;
  /** Bands lie one after the other, each in blocks of its own. */
  readonly planar: boolean;
  /** Blocks are tiles, or strips as wide as the image. */
  readonly tiled: boolean;
  readonly blockWidth: number;
  readonly blockHeight: number;
  readonly blocksAcross: number;
  readonly blocksDown: number;
  readonly offsets: readonly number[];
  readonly byteCounts: readonly number[];
  readonly jpegTables: readonly number[];
  readonly photometric: number;
}

/** What each number of the Compression tag is called (TIFF 6.0; the registered ones by libtiff). */
const COMPRESSIONS: Readonly<Record<number, string>> = {
  1: 'not packed',
  2: 'CCITT',
  3: 'CCITT',
  4: 'CCITT',
  5: 'LZW',
  6: 'old JPEG',
  7: 'JPEG',
  8: 'deflate',
  32773: 'PackBits',
  32946: 'deflate',
  34712: 'JPEG 2000',
  34887: 'LERC',
  34925: 'LZMA',
  50000: 'ZSTD',
  50001: 'WebP',
  50002: 'JPEG XL',
};
export const compressionName = (compression: number): string =>
  COMPRESSIONS[compression] ?? `compression ${compression}`;

/** Colours of the bands of a picture, by Photometric Interpretation (TIFF 6.0, sections 6 and 21): 2 is RGB, 6 YCbCr, unpacked to RGB. */
const COLOURS = ['red', 'green', 'blue'] as const;

/** The colour that a band (from 1) of a picture in 8 bits holds; null where the image is no picture or the band is beside it. */
export function pictureBand({ photometric, bits, kind, bands }: TiffImage, band: number): string | null {
  const isPicture = (photometric === 2 || photometric === 6) && bits === 8 && kind === 'uint' && bands >= 3;
  return isPicture ? (COLOURS[band - 1] ?? null) : null;
}

/** Packings that are read: none, LZW, JPEG, deflate under both its numbers, PackBits. */
export const PACKINGS: ReadonlySet<number> = new Set([1, 5, 7, 8, 32946, 32773]);

/** Most bytes that one block may have: what is packed into one is unpacked at once. */
const MOST_BLOCK_BYTES = 400_000_000;

export type ImageOrTrouble =
  | { readonly image: TiffImage }
  | { readonly trouble: 'damaged' | 'type' | 'large'; readonly detail: string };

/**
 * The layout of a directory's image. `trouble`: `type` where its numbers are of a kind that is not read (complex, 12 bits,
 * bands of different kinds), `large` where one block is past the limit, `damaged` where the tags contradict each other.
 * Source: TIFF revision 6.0, sections 3, 14, 15 and 19, with its Technical Note 3 for the floating-point predictor.
 */
export function readTiffImage(directory: TiffDirectory): ImageOrTrouble {
  const width = directory.number(256, 0);
  const height = directory.number(257, 0);
  const bands = directory.number(277, 1);
  if (!(width > 0 && height > 0 && bands > 0 && bands < 10_000))
    return { trouble: 'damaged', detail: `${width} x ${height} pixels, ${bands} bands` };
  const bitsOf = directory.numbers(258);
  const formats = directory.numbers(339);
  const bits = bitsOf[0] ?? 1;
  const format = formats[0] ?? 1;
  if (bitsOf.some((one) => one !== bits) || formats.some((one) => one !== format))
    return { trouble: 'type', detail: 'its bands hold numbers of different kinds' };
  const kind = format === 1 || format === 4 ? 'uint' : format === 2 ? 'int' : format === 3 ? 'float' : null;
  const known =
    kind === 'float'
      ? [16, 32, 64]
      : kind === 'int'
        ? [8, 16, 32, 64]
        : kind === 'uint'
          ? [1, 2, 4, 8, 16, 32, 64]
          : [];
  if (kind === null || !known.includes(bits) || directory.number(266, 1) !== 1)
    return { trouble: 'type', detail: `sample format ${format} of ${bits} bits` };
  const tiled = directory.has(324);
  const blockWidth = tiled ? directory.number(322, 0) : width;
  const blockHeight = tiled ? directory.number(323, 0) : Math.min(height, directory.number(278, height));
  if (!(blockWidth > 0 && blockHeight > 0)) return { trouble: 'damaged', detail: 'its blocks have no size' };
  const planar = bands > 1 && directory.number(284, 1) === 2;
  if ((blockWidth * blockHeight * (planar ? 1 : bands) * bits) / 8 > MOST_BLOCK_BYTES)
    return { trouble: 'large', detail: `one block has ${blockWidth} x ${blockHeight} pixels` };
  const blocksAcross = Math.ceil(width / blockWidth);
  const blocksDown = Math.ceil(height / blockHeight);
  const offsets = directory.numbers(tiled ? 324 : 273);
  const blocks = blocksAcross * blocksDown * (planar ? bands : 1);
  const told = directory.numbers(tiled ? 325 : 279);
  const byteCounts = told.length > 0 || offsets.length > 1 ? told : [Number.POSITIVE_INFINITY];
  if (offsets.length < blocks || byteCounts.length < blocks)
    return { trouble: 'damaged', detail: `${offsets.length} blocks of ${blocks}` };
  return {
    image: {
      width,
      height,
      bands,
      bits,
      kind,
      compression: directory.number(259, 1),
      predictor: directory.number(317, 1),
      planar,
      tiled,
      blockWidth,
      blockHeight,
      blocksAcross,
      blocksDown,
      offsets,
      byteCounts,
      jpegTables: directory.numbers(347),
      photometric: directory.number(262, 1),
    },
  };
}
