import { getDecoder } from 'geotiff';
import type { TiffImage } from './tiff-image.ts';

/**
 * One JPEG block of a TIFF as bytes, pixel by pixel and band by band; YCbCr becomes red, green and blue (TIFF Technical Note 2;
 * ITU-R T.871). Null where it is damaged or its own size is not the block's, so a small file cannot ask for much memory.
 * Numbers of a JPEG are not exact: two readers may differ by one.
 */
export async function unpackJpeg(packed: Uint8Array, image: TiffImage): Promise<Uint8Array | null> {
  const perPixel = image.planar ? 1 : image.bands;
  const frame = frameOf(packed);
  if (!frame || image.bits !== 8 || frame.parts !== perPixel) return null;
  if (frame.width > image.blockWidth || frame.height > image.blockHeight) return null;
  let bytes: Uint8Array;
  try {
    const decoder = await getDecoder(7, {
      tileWidth: image.blockWidth,
      tileHeight: image.blockHeight,
      predictor: 1,
      bitsPerSample: 8,
      planarConfiguration: image.planar ? 2 : 1,
      ...(image.jpegTables.length > 0 ? { JPEGTables: Uint8Array.from(image.jpegTables) } : {}),
    });
    bytes = new Uint8Array(await decoder.decode(packed.slice().buffer));
  } catch {
    return null;
  }
  if (frame.width !== image.blockWidth || bytes.length !== frame.width * frame.height * perPixel) return null;
  if (image.photometric === 6 && perPixel === 3) toRgb(bytes);
  return bytes;
}

/** Size and number of components by the frame header, or null. Walks the segments before the picture itself. */
function frameOf(
  bytes: Uint8Array,
): { readonly width: number; readonly height: number; readonly parts: number } | null {
  const two = (at: number) => ((bytes[at] ?? 0) << 8) | (bytes[at + 1] ?? 0);
  let at = 2;
  while (at + 9 < bytes.length && bytes[at] === 0xff) {
    const marker = bytes[at + 1] ?? 0;
    if (marker >= 0xc0 && marker <= 0xc2) return { height: two(at + 5), width: two(at + 7), parts: bytes[at + 9] ?? 0 };
    const length = two(at + 2);
    if (length < 2 || marker === 0xda) return null;
    at += 2 + length;
  }
  return null;
}

function toRgb(bytes: Uint8Array): void {
  for (let i = 0; i + 2 < bytes.length; i += 3) {
    const y = bytes[i] ?? 0;
    const cb = (bytes[i + 1] ?? 0) - 128;
    const cr = (bytes[i + 2] ?? 0) - 128;
    bytes[i] = clamp(y + 1.402 * cr);
    bytes[i + 1] = clamp(y - 0.344136 * cb - 0.714136 * cr);
    bytes[i + 2] = clamp(y + 1.772 * cb);
  }
}

const clamp = (value: number): number => Math.min(255, Math.max(0, Math.round(value)));
