import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import type { Bounds } from '../geo/bounds.ts';
import type { LngLat } from '../geo/types.ts';
import { unpackJpeg } from './geotiff-jpeg.ts';
import type { Placing } from './place.ts';
import { count } from './say.ts';
import { type BandNotes, bandNotes } from './tiff-band.ts';
import { evidentFill, type FillWord, fillProblem, fillReading } from './tiff-fill.ts';
import { compressionName, PACKINGS, pictureBand, readTiffImage, type TiffImage } from './tiff-image.ts';
import { applyMasks } from './tiff-mask.ts';
import { type PixelWindow, readPixels } from './tiff-pixels.kernel.ts';
import { type Affine, coarser, fromPlane, shifted, toPlane } from './tiff-place.ts';
import { type Placed, placeImage } from './tiff-placed.ts';
import { notWhole, tooLarge } from './tiff-problems.ts';
import { readTiffDirectories, type TiffDirectory } from './tiff-tags.ts';
import { levelOf, MOST_PIXELS, scaledWindow, windowOf } from './tiff-window.ts';
import type { CrsInfo, NamedBytes } from './types.ts';

/** One band of a raster on its own grid, or the part of it over a window. */
export interface Raster {
  /** Name of the file. */
  readonly name: string;
  readonly width: number;
  readonly height: number;
  /** Row by row, the northern row first where the grid is not turned; scale and offset applied; NaN where there is no value. */
  readonly values: Float32Array | Float64Array;
  /** From 1, and how many the file has. */
  readonly band: number;
  readonly bands: number;
  /** Positions of these pixels on the plane of the file's own system. */
  readonly affine: Affine;
  readonly crs: CrsInfo;
  /** Columns and rows from the outer corner of the first pixel: (0.5, 0.5) is its centre. NaN where the system has no such place. */
  readonly toPixel: (p: LngLat) => [col: number, row: number];
  readonly toLngLat: (col: number, row: number) => LngLat;
  /** Unit that the file gives the band, empty where it gives none. */
  readonly unit: string;
  /** What was understood: size, kind of numbers, packing, system, no-data value, scale. */
  readonly reading: readonly string[];
}

export interface RasterOptions {
  /** From 1. */
  readonly band: number;
  /** CRS told by a person, for where the file names none: an EPSG code or the text of a .prj. */
  readonly crs: string | null;
  /** Ground that is wanted, WGS84 degrees: only these pixels are read, with two to spare on each side. All where absent. */
  readonly window?: Bounds;
  /** Most pixels to read at once, MOST_PIXELS where absent. */
  readonly mostPixels?: number;
  /** What a person says of an evident fill that the file does not name; 'unsaid' where absent. */
  readonly fill?: FillWord;
}

/**
 * One band of a GeoTIFF (OGC 19-008r4, BigTIFF too): integers of 1 to 64 bits, floats of 16 to 64, in strips or tiles, bands
 * apart or side by side, unpacked from deflate, LZW, PackBits or JPEG with either predictor. The no-data value, non-finite
 * numbers, a mask and a transparent alpha band become NaN; GDAL's scale and offset are applied, and told. Where the pixels wanted are
 * more than MOST_PIXELS and the file has an overview that is small enough, that is read, and told.
 *
 * Problems: `tif-not-a-tiff`, `tif-truncated`, `tif-damaged`, `tif-kind` (complex or odd numbers), `tif-packing` (packed in another
 * way), `tif-band`, `tif-too-large`, `tif-no-place` (a picture without a position), `tif-control-points`, `tif-outside` (none of it
 * over the window), `tif-one-pixel`, and those of `findPlacing` (`crs-missing` where the file names no system).
 * Cautions: `tif-fill` (an evident fill that the file does not name: those pixels are NaN until a person has said what they are,
 * `evidentFill`), `tif-imagery` (a colour picture in 8 bits).
 * Cost: the pixels of the blocks that the window touches.
 *
 * Blocks are unpacked here rather than by geotiff.js, which writes our files, unpacks JPEG and stands against this reader in the tests: it
 * has no 64-bit whole numbers, undoes predictors in the wrong byte order for big-endian files, sets no bound on what a block unpacks to, and
 * takes two to ten times as long.
 */
export async function readRaster(file: NamedBytes, options: RasterOptions): Promise<Result<Raster>> {
  const { name, bytes } = file;
  const tiff = readTiffDirectories(bytes);
  if (!tiff.ok) return fail(notWhole(name, tiff.why, tiff.detail));
  const [directory] = tiff.directories;
  if (!directory) return fail(notWhole(name, 'damaged', 'no directory'));
  const read = imageOf(directory, name);
  if (!read.ok) return read;
  const full = read.value;
  if (!(options.band >= 1 && options.band <= full.bands))
    return fail(
      stop(
        'tif-band',
        `${name} has ${count(full.bands, 'band')}, and band ${options.band} is asked for.`,
        `Choose a band from 1 to ${full.bands}.`,
        { file: name },
      ),
    );
  if (full.width * full.height === 1) return fail(onePixel(name));
  const placed = placeImage(directory, full, options.crs, name);
  if (!placed.ok) return placed;
  const { affine, placing } = placed.value;
  const window = windowOf(full, affine, placing, options.window);
  if (!window) return fail(...placed.problems, outside(name, full, affine, placing));
  const level = levelOf(tiff.directories, full, window, options.mostPixels ?? MOST_PIXELS, name);
  if (!level.ok) return fail(...placed.problems, ...level.problems);
  const { image } = level.value;
  const [across, down] = [full.width / image.width, full.height / image.height];
  const part = scaledWindow(window, image, across, down);
  const notes = bandNotes(directory, options.band - 1, full);
  const jpeg = (packed: Uint8Array) => unpackJpeg(packed, image);
  const pixels = await readPixels(bytes, tiff.littleEndian, image, options.band - 1, part, notes.empty, jpeg);
  if (!pixels.ok) return fail(...placed.problems, notWhole(name, pixels.why, pixels.detail));
  withoutNoData(pixels.values, notes.noData, image);
  const fill = evidentFill(pixels.values, directory.has(NO_DATA_TAG));
  const word = options.fill ?? 'unsaid';
  if (fill && word !== 'a value')
    pixels.values.forEach((one, index) => {
      if (one === fill.value) pixels.values[index] = Number.NaN;
    });
  const values = scaled(pixels.values, notes);
  const masked = await applyMasks({
    bytes,
    littleEndian: tiff.littleEndian,
    directories: tiff.directories,
    full,
    image,
    part,
    band: options.band - 1,
    values,
  });
  if (!masked.ok) return fail(...placed.problems, notWhole(name, masked.why, masked.detail));
  const picture = pictureBand(full, options.band);
  const own = shifted(coarser(affine, across, down), part.col, part.row);
  const northUp = turnNorth(values, part, own);
  return ok(
    {
      name,
      width: part.cols,
      height: part.rows,
      values,
      band: options.band,
      bands: full.bands,
      affine: northUp,
      crs: placing.info,
      toPixel: (p) => {
        const [x, y] = placing.fromLngLat(p);
        return fromPlane(northUp, x, y);
      },
      toLngLat: (col, row) => {
        const [x, y] = toPlane(northUp, col, row);
        return placing.toLngLat(x, y);
      },
      unit: notes.unit,
      reading: [
        `${full.width} x ${full.height} pixels${sizeWords(placed.value)}`,
        `band ${options.band} of ${full.bands}: ${kindWords(full)}, ${compressionName(full.compression)}, in ${full.tiled ? 'tiles' : 'strips'}`,
        `coordinate system ${placing.info.name} (${FROM_WORDS[placing.info.from]})`,
        ...(placed.value.points ? ['positions are those of pixel centres, and are read so'] : []),
        ...(level.value.overview
          ? [`read from its overview of ${image.width} x ${image.height} pixels, since all are too many`]
          : []),
        ...notes.reading,
        ...(picture === null ? [] : [`a picture: this band is its ${picture}, 0 to 255, and no measured quantity`]),
        ...(fill ? [fillReading(fill, word)] : []),
        ...masked.reading,
        ...(pixels.emptyBlocks > 0 ? [`${count(pixels.emptyBlocks, 'block')} left empty by the file`] : []),
      ],
    },
    [
      ...placed.problems,
      ...(picture === null ? [] : [imagery(name, picture, options.band, full.bands)]),
      ...(fill && word === 'unsaid' ? [fillProblem(name, fill, directory.text(NO_DATA_TAG)?.trim() || null)] : []),
    ],
  );
}

/** GDAL_NODATA: a file that has it names its own. */
const NO_DATA_TAG = 42113;

const FROM_WORDS = {
  prj: 'its .prj says so',
  format: 'the file says so',
  told: 'as told',
  assumed: 'assumed, since the file names none',
} as const satisfies Record<CrsInfo['from'], string>;

function imageOf(directory: TiffDirectory, name: string): Result<TiffImage> {
  const read = readTiffImage(directory);
  if ('image' in read) {
    if (PACKINGS.has(read.image.compression)) return ok(read.image);
    return fail(
      stop(
        'tif-packing',
        `${name} is packed as ${compressionName(read.image.compression)}, which is not read.`,
        'Save it again packed with deflate or LZW, or not at all (gdal_translate -co COMPRESS=DEFLATE).',
        { file: name },
      ),
    );
  }
  if (read.trouble === 'damaged') return fail(notWhole(name, 'damaged', read.detail));
  return fail(
    read.trouble === 'large'
      ? tooLarge(name, read.detail)
      : stop(
          'tif-kind',
          `${name} holds numbers of a kind that is not read.`,
          'Save it again as 32-bit floats (gdal_translate -ot Float32).',
          { file: name },
          read.detail,
        ),
  );
}

/** No-data as NaN. */
function withoutNoData(raw: Float32Array | Float64Array, noData: number | null, image: TiffImage): void {
  const single = image.kind === 'float' && image.bits <= 32;
  const value = noData === null ? null : single ? Math.fround(noData) : noData;
  // Writers cut the digits of the largest float, so what is as large counts as the same.
  const slack = value !== null && single && Math.abs(value) > 1e30 ? Math.abs(value) * 1e-5 : 0;
  for (let i = 0; i < raw.length; i++) {
    const one = raw[i] ?? Number.NaN;
    if (!Number.isFinite(one) || (value !== null && (one === value || Math.abs(one - value) <= slack)))
      raw[i] = Number.NaN;
  }
}

const scaled = (raw: Float32Array | Float64Array, { scale, offset }: BandNotes): Float32Array | Float64Array =>
  scale === 1 && offset === 0 ? raw : Float64Array.from(raw, (one) => one * scale + offset);

/** Rows turned so that the first is the northern one, where the grid runs south to north without being turned. */
function turnNorth(values: Float32Array | Float64Array, { cols, rows }: PixelWindow, affine: Affine): Affine {
  if (affine.b !== 0 || affine.d !== 0 || affine.e < 0) return affine;
  for (let row = 0; row < rows >> 1; row++) {
    const top = values.slice(row * cols, (row + 1) * cols);
    const other = (rows - 1 - row) * cols;
    values.copyWithin(row * cols, other, other + cols);
    values.set(top, other);
  }
  return { ...affine, e: -affine.e, f: affine.f + affine.e * rows };
}

function kindWords({ kind, bits }: TiffImage): string {
  return kind === 'float'
    ? `${bits}-bit floats`
    : `${bits}-bit ${kind === 'uint' ? 'whole numbers without sign' : 'whole numbers'}`;
}

function sizeWords({ affine, placing }: Placed): string {
  const across = Math.hypot(affine.a, affine.d);
  const down = Math.hypot(affine.b, affine.e);
  const turned = affine.b !== 0 || affine.d !== 0 ? ', turned' : '';
  const unit = placing.kind === 'geographic' ? 'degrees' : 'units of its system';
  const plain = (size: number) => String(Number(size.toPrecision(6)));
  return ` of ${across === down ? plain(across) : `${plain(across)} x ${plain(down)}`} ${unit}${turned}`;
}

const onePixel = (name: string): Problem =>
  stop(
    'tif-one-pixel',
    `${name} is a single pixel: one value tells no part of the field from another.`,
    'Choose the raster itself, in its own pixels; this may be a thumbnail or a mean.',
    { file: name },
  );

const imagery = (name: string, picture: string, band: number, bands: number): Problem =>
  caution(
    'tif-imagery',
    `${name} is a picture in 8 bits: band ${band} of ${bands} is its ${picture}, from 0 to 255, and no measured quantity such as elevation.`,
    'Keep it as imagery, band by band; for elevation or an index choose the file that holds the figures.',
    { file: name },
  );

function outside(name: string, image: TiffImage, affine: Affine, placing: Placing): Problem {
  const [x, y] = toPlane(affine, image.width / 2, image.height / 2);
  const [lng, lat] = placing.toLngLat(x, y);
  const where =
    Number.isFinite(lng) && Number.isFinite(lat) ? `; its middle is at ${lat.toFixed(4)}, ${lng.toFixed(4)}` : '';
  return stop(
    'tif-outside',
    `${name} does not cover the field${where}.`,
    'Choose a raster of this field, or check its coordinate system.',
    { file: name },
  );
}
