import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { encodeUtf8 } from '../base/text.ts';
import type { LngLat } from '../geo/types.ts';
import { WGS84_PRJ } from './crs.ts';
import { type CellOut, writeDbf } from './dbf-write.ts';
import { boxOf } from './rings.kernel.ts';
import { closeRing, windRing } from './rings.ts';
import type { FeatureOut, FieldSpec, NamedBytes } from './types.ts';

const HEADER_BYTES = 100;
const FILE_CODE = 9994;
const VERSION = 1000;
const NULL_SHAPE = 0;
const POINT = 1;
const POLYGON = 5;

type Box = readonly [west: number, south: number, east: number, north: number];

/** One record: null, a position, or the rings of all parts in the order they are written. */
type Shape = null | { readonly at: LngLat } | { readonly rings: readonly (readonly LngLat[])[]; readonly box: Box };

/**
 * A polygon shapefile in WGS84: .shp, .shx, .dbf, .prj and .cpg named `base`. Coordinates as given; each feature is one
 * record of all its parts and holes, outer rings clockwise and holes counter-clockwise, closed. Same input, same bytes.
 *
 * Problems: `shp-no-features`; those of `writeDbf`; caution `shp-no-geometry` (a feature without parts, a null shape).
 * Throws on a coordinate that is not finite. Source: ESRI Shapefile Technical Description, July 1998.
 */
export function writeShapefile(
  base: string,
  fields: readonly FieldSpec[],
  features: readonly FeatureOut[],
): Result<readonly NamedBytes[]> {
  const problems: Problem[] = [];
  const shapes = features.map(({ polygons }, i): Shape => {
    const rings = polygons.flatMap((polygon) => polygon.map((ring, k) => windRing(closeRing(ring), k === 0)));
    if (rings.length > 0) return { rings, box: boxOf(rings.flat()) };
    problems.push(
      caution(
        'shp-no-geometry',
        `Feature ${i + 1} has no ground and is written without a shape.`,
        'Leave it out, or check why it is empty.',
        { file: `${base}.shp`, feature: i + 1 },
      ),
    );
    return null;
  });
  const values = features.map((feature) => feature.values);
  return bundle(base, POLYGON, shapes, fields, values, WGS84_PRJ, problems);
}

/**
 * A point shapefile, coordinates as given. `prj` is the text of the .prj that they are in; WGS84 without it.
 * Problems and source as for `writeShapefile`.
 */
export function writePointShapefile(
  base: string,
  fields: readonly FieldSpec[],
  points: readonly { readonly at: LngLat; readonly values: readonly CellOut[] }[],
  prj: string = WGS84_PRJ,
): Result<readonly NamedBytes[]> {
  const shapes = points.map(({ at }): Shape => ({ at }));
  return bundle(
    base,
    POINT,
    shapes,
    fields,
    points.map((point) => point.values),
    prj,
    [],
  );
}

function bundle(
  base: string,
  type: number,
  shapes: readonly Shape[],
  fields: readonly FieldSpec[],
  values: readonly (readonly CellOut[])[],
  prj: string,
  problems: readonly Problem[],
): Result<readonly NamedBytes[]> {
  if (shapes.length === 0)
    return fail(
      stop('shp-no-features', `There is nothing to write to ${base}.shp.`, 'Check why no feature came out.', {
        file: `${base}.shp`,
      }),
    );
  const dbf = writeDbf(fields, values, `${base}.dbf`);
  if (!dbf.ok) return fail(...problems, ...dbf.problems);
  const { shp, shx } = writeShapes(type, shapes);
  return ok(
    [
      { name: `${base}.shp`, bytes: shp },
      { name: `${base}.shx`, bytes: shx },
      { name: `${base}.dbf`, bytes: dbf.value },
      { name: `${base}.prj`, bytes: encodeUtf8(prj) },
      { name: `${base}.cpg`, bytes: encodeUtf8('UTF-8') },
    ],
    [...problems, ...dbf.problems],
  );
}

/** Content of a record in bytes, without its header (pages 5 to 8). */
function contentBytes(shape: Shape): number {
  if (shape === null) return 4;
  if ('at' in shape) return 20;
  return 44 + 4 * shape.rings.length + 16 * shape.rings.reduce((sum, ring) => sum + ring.length, 0);
}

function writeShapes(type: number, shapes: readonly Shape[]): { shp: Uint8Array; shx: Uint8Array } {
  const lengths = shapes.map(contentBytes);
  const shp = new DataView(new ArrayBuffer(lengths.reduce((sum, length) => sum + 8 + length, HEADER_BYTES)));
  const shx = new DataView(new ArrayBuffer(HEADER_BYTES + 8 * shapes.length));
  const box = boxOf(shapes.flatMap((shape) => (shape === null ? [] : 'at' in shape ? [shape.at] : corners(shape.box))));
  writeHeader(shp, type, box);
  writeHeader(shx, type, box);
  let at = HEADER_BYTES;
  for (const [i, shape] of shapes.entries()) {
    const length = lengths[i] ?? 0;
    shx.setInt32(HEADER_BYTES + 8 * i, at / 2);
    shx.setInt32(HEADER_BYTES + 8 * i + 4, length / 2);
    shp.setInt32(at, i + 1);
    shp.setInt32(at + 4, length / 2);
    writeContent(shp, at + 8, type, shape);
    at += 8 + length;
  }
  return { shp: new Uint8Array(shp.buffer), shx: new Uint8Array(shx.buffer) };
}

const corners = ([west, south, east, north]: Box): readonly (readonly [number, number])[] => [
  [west, south],
  [east, north],
];

/** Lengths in 16-bit words, big-endian; the rest little-endian (page 4). A file of null shapes has a box of zeros. */
function writeHeader(view: DataView, type: number, box: Box): void {
  view.setInt32(0, FILE_CODE);
  view.setInt32(24, view.byteLength / 2);
  view.setInt32(28, VERSION, true);
  view.setInt32(32, type, true);
  for (const [i, value] of box.entries()) view.setFloat64(36 + 8 * i, Number.isFinite(value) ? value : 0, true);
}

function writeContent(view: DataView, start: number, type: number, shape: Shape): void {
  view.setInt32(start, shape === null ? NULL_SHAPE : type, true);
  if (shape === null) return;
  if ('at' in shape) {
    writePosition(view, start + 4, shape.at);
    return;
  }
  for (const [i, value] of shape.box.entries()) view.setFloat64(start + 4 + 8 * i, value, true);
  view.setInt32(start + 36, shape.rings.length, true);
  let at = start + 44 + 4 * shape.rings.length;
  let points = 0;
  for (const [i, ring] of shape.rings.entries()) {
    view.setInt32(start + 44 + 4 * i, points, true);
    for (const position of ring) {
      writePosition(view, at, position);
      at += 16;
    }
    points += ring.length;
  }
  view.setInt32(start + 40, points, true);
}

function writePosition(view: DataView, at: number, [x, y]: LngLat): void {
  if (!Number.isFinite(x) || !Number.isFinite(y)) throw new Error(`writeShapefile: position ${x}, ${y}`);
  view.setFloat64(at, x, true);
  view.setFloat64(at + 8, y, true);
}
