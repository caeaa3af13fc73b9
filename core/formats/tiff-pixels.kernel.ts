import type { TiffImage } from './tiff-image.ts';
import { unpackBlock } from './tiff-unpack.kernel.ts';

/** Columns and rows of an image, the last ones not included. */
export interface PixelWindow {
  readonly col: number;
  readonly row: number;
  readonly cols: number;
  readonly rows: number;
}

export type Pixels =
  | { readonly ok: true; readonly values: Float32Array | Float64Array; readonly emptyBlocks: number }
  | { readonly ok: false; readonly why: 'cut-off' | 'damaged'; readonly detail: string };

/**
 * One band's numbers in a window of the image, in the order of the file's rows. Float32Array where every number of the file
 * fits one (up to 16-bit integers, 32-bit floats), else Float64Array; 64-bit integers past 2^53 lose their last digits.
 * Only the blocks that the window touches are unpacked. A block of no bytes holds `empty` (how sparse files leave it out).
 * `jpeg` unpacks a JPEG block to its bytes. Cost: the pixels of those blocks.
 */
export async function readPixels(
  bytes: Uint8Array,
  littleEndian: boolean,
  image: TiffImage,
  band: number,
  window: PixelWindow,
  empty: number,
  jpeg: (packed: Uint8Array) => Promise<Uint8Array | null>,
): Promise<Pixels> {
  const { blockWidth, blockHeight, blocksAcross, blocksDown, planar, bits, bands } = image;
  const length = window.cols * window.rows;
  const single = bits <= 16 || (image.kind === 'float' && bits === 32);
  const values = single ? new Float32Array(length) : new Float64Array(length);
  const perPixel = planar ? 1 : bands;
  const lineBytes = Math.ceil((blockWidth * perPixel * bits) / 8);
  let emptyBlocks = 0;
  const lastAcross = Math.floor((window.col + window.cols - 1) / blockWidth);
  const lastDown = Math.floor((window.row + window.rows - 1) / blockHeight);
  for (let down = Math.floor(window.row / blockHeight); down <= lastDown; down++) {
    for (let across = Math.floor(window.col / blockWidth); across <= lastAcross; across++) {
      const number = (planar ? band * blocksAcross * blocksDown : 0) + down * blocksAcross + across;
      const offset = image.offsets[number]!;
      const count = Math.min(image.byteCounts[number]!, Math.max(0, bytes.length - offset));
      const place = placeOf(image, window, across, down);
      if (offset === 0 || image.byteCounts[number] === 0) {
        emptyBlocks++;
        fillPart(values, window, place, empty);
        continue;
      }
      // The last strip holds only the rows that are left; a tile is always whole.
      const lines = image.tiled ? blockHeight : Math.min(blockHeight, image.height - down * blockHeight);
      if (count < image.byteCounts[number]! && image.byteCounts[number] !== Number.POSITIVE_INFINITY)
        return {
          ok: false,
          why: 'cut-off',
          detail: `block ${number} ends at ${offset + image.byteCounts[number]!} of ${bytes.length} bytes`,
        };
      const packed = bytes.subarray(offset, offset + count);
      const raw =
        image.compression === 7 ? await jpeg(packed) : unpackBlock(packed, image.compression, lines * lineBytes);
      // Rows below the window need not be whole: some writers leave out the end of the last one.
      const needed = (place.toRow - down * blockHeight) * lineBytes;
      if (!raw || raw.length < needed)
        return {
          ok: false,
          why: 'damaged',
          detail: `block ${number} unpacks to ${raw?.length ?? 'no'} bytes of ${needed}`,
        };
      const samples = samplesOf(raw, littleEndian, image, lineBytes, Math.floor(raw.length / lineBytes), perPixel);
      copyPart(
        values,
        window,
        place,
        samples,
        across * blockWidth,
        down * blockHeight,
        blockWidth,
        perPixel,
        planar ? 0 : band,
      );
    }
  }
  return { ok: true, values, emptyBlocks };
}

/** The part of a block that lies in the window, in columns and rows of the image. */
interface Part {
  readonly fromCol: number;
  readonly toCol: number;
  readonly fromRow: number;
  readonly toRow: number;
}

function placeOf(image: TiffImage, window: PixelWindow, across: number, down: number): Part {
  return {
    fromCol: Math.max(window.col, across * image.blockWidth),
    toCol: Math.min(window.col + window.cols, (across + 1) * image.blockWidth, image.width),
    fromRow: Math.max(window.row, down * image.blockHeight),
    toRow: Math.min(window.row + window.rows, (down + 1) * image.blockHeight, image.height),
  };
}

function fillPart(values: Float32Array | Float64Array, window: PixelWindow, part: Part, value: number): void {
  for (let row = part.fromRow; row < part.toRow; row++) {
    const line = (row - window.row) * window.cols - window.col;
    values.fill(value, line + part.fromCol, line + part.toCol);
  }
}

function copyPart(
  values: Float32Array | Float64Array,
  window: PixelWindow,
  part: Part,
  samples: Samples,
  blockCol: number,
  blockRow: number,
  blockWidth: number,
  perPixel: number,
  band: number,
): void {
  const { fromCol, toCol } = part;
  for (let row = part.fromRow; row < part.toRow; row++) {
    const to = (row - window.row) * window.cols - window.col;
    const from = ((row - blockRow) * blockWidth - blockCol) * perPixel + band;
    for (let col = fromCol; col < toCol; col++) values[to + col] = Number(samples[from + col * perPixel]!);
  }
}

type Samples =
  | Uint8Array
  | Int8Array
  | Uint16Array
  | Int16Array
  | Uint32Array
  | Int32Array
  | Float32Array
  | Float64Array
  | BigUint64Array
  | BigInt64Array;

/** A block's bytes as numbers: predictor undone and bytes in this machine's order. Changes `raw`. */
function samplesOf(
  raw: Uint8Array,
  littleEndian: boolean,
  image: TiffImage,
  lineBytes: number,
  lines: number,
  perPixel: number,
): Samples {
  const { bits, kind } = image;
  if (bits < 8) return spread(raw, bits, image.blockWidth * perPixel, lineBytes, lines);
  const size = bits / 8;
  const used = lines * lineBytes;
  // A view of 2 to 8 bytes a number wants a buffer that begins where the numbers do.
  const own = raw.byteOffset % size === 0 ? raw.subarray(0, used) : raw.slice(0, used);
  // Only these packings are written with a predictor; a stray tag beside another means nothing.
  const predictor = DIFFERENCED.has(image.compression) ? image.predictor : 1;
  if (predictor === 3) undoFloatPredictor(own, size, lineBytes, lines, perPixel);
  else {
    if (littleEndian !== HOST_IS_LITTLE && size > 1) swap(own, size);
    if (predictor === 2) undoDifferences(own, size, lineBytes, lines, perPixel);
  }
  const count = used / size;
  const { buffer, byteOffset } = own;
  if (kind === 'float')
    return bits === 64
      ? new Float64Array(buffer, byteOffset, count)
      : bits === 32
        ? new Float32Array(buffer, byteOffset, count)
        : halves(new Uint16Array(buffer, byteOffset, count));
  const signed = kind === 'int';
  switch (bits) {
    case 8:
      return signed ? new Int8Array(buffer, byteOffset, count) : own;
    case 16:
      return signed ? new Int16Array(buffer, byteOffset, count) : new Uint16Array(buffer, byteOffset, count);
    case 32:
      return signed ? new Int32Array(buffer, byteOffset, count) : new Uint32Array(buffer, byteOffset, count);
    default:
      return signed ? new BigInt64Array(buffer, byteOffset, count) : new BigUint64Array(buffer, byteOffset, count);
  }
}

const DIFFERENCED: ReadonlySet<number> = new Set([5, 8, 32946]);
const HOST_IS_LITTLE = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1;

function swap(bytes: Uint8Array, size: number): void {
  for (let at = 0; at + size <= bytes.length; at += size) {
    for (let i = 0, j = size - 1; i < j; i++, j--) {
      const kept = bytes[at + i]!;
      bytes[at + i] = bytes[at + j]!;
      bytes[at + j] = kept;
    }
  }
}

/** Each number is the difference from the one before it in its row and band (TIFF 6.0, section 14). */
function undoDifferences(bytes: Uint8Array, size: number, lineBytes: number, lines: number, perPixel: number): void {
  const { buffer, byteOffset } = bytes;
  const perLine = lineBytes / size;
  if (size === 8) {
    const wide = new BigUint64Array(buffer, byteOffset, perLine * lines);
    for (let line = 0; line < lines; line++)
      for (let i = line * perLine + perPixel; i < (line + 1) * perLine; i++) wide[i]! += wide[i - perPixel]!;
    return;
  }
  const numbers =
    size === 1
      ? bytes
      : size === 2
        ? new Uint16Array(buffer, byteOffset, perLine * lines)
        : new Uint32Array(buffer, byteOffset, perLine * lines);
  for (let line = 0; line < lines; line++)
    for (let i = line * perLine + perPixel; i < (line + 1) * perLine; i++) numbers[i]! += numbers[i - perPixel]!;
}

/** Bytes of a row by their weight, most significant first, as differences (TIFF Technical Note 3). */
function undoFloatPredictor(bytes: Uint8Array, size: number, lineBytes: number, lines: number, perPixel: number): void {
  const count = lineBytes / size;
  const row = new Uint8Array(lineBytes);
  for (let line = 0; line < lines; line++) {
    const from = line * lineBytes;
    for (let i = from + perPixel; i < from + lineBytes; i++) bytes[i]! += bytes[i - perPixel]!;
    row.set(bytes.subarray(from, from + lineBytes));
    for (let i = 0; i < count; i++)
      for (let b = 0; b < size; b++) bytes[from + i * size + (HOST_IS_LITTLE ? size - 1 - b : b)] = row[b * count + i]!;
  }
}

/** Numbers of less than a byte, most significant bits first; a row begins with a byte. */
function spread(raw: Uint8Array, bits: number, perLine: number, lineBytes: number, lines: number): Uint8Array {
  const out = new Uint8Array(perLine * lines);
  const mask = (1 << bits) - 1;
  for (let line = 0; line < lines; line++)
    for (let i = 0; i < perLine; i++) {
      const bit = i * bits;
      out[line * perLine + i] = (raw[line * lineBytes + (bit >> 3)]! >> (8 - bits - (bit & 7))) & mask;
    }
  return out;
}

/** IEEE 754 binary16. */
function halves(raw: Uint16Array): Float32Array {
  return Float32Array.from(raw, (half) => {
    const sign = half & 0x8000 ? -1 : 1;
    const exponent = (half >> 10) & 31;
    const part = half & 1023;
    if (exponent === 0) return sign * part * 2 ** -24;
    return exponent === 31
      ? part
        ? Number.NaN
        : sign * Number.POSITIVE_INFINITY
      : sign * (1 + part / 1024) * 2 ** (exponent - 15);
  });
}
