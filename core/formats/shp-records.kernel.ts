import type { LngLat, MultiPolygon } from '../geo/types.ts';
import { signedArea } from './rings.kernel.ts';

const HEADER_BYTES = 100;
const FILE_CODE = 9994;
const VERSION = 1000;
const NULL_SHAPE = 0;
const POINT = 1;
const POLYGON = 5;

export interface Shapes {
  readonly shp: Uint8Array;
  readonly shx: Uint8Array;
  /** Features, from 0, that have no ground: they are null shapes. */
  readonly empty: readonly number[];
}

const isClosed = (ring: readonly LngLat[]): boolean => {
  const first = ring[0]!;
  const last = ring[ring.length - 1]!;
  return first[0] === last[0] && first[1] === last[1];
};

/**
 * .shp and .shx of polygons: one record a feature, all its rings closed, outer ones clockwise and holes counter-clockwise. The bytes are measured first
 * and then written once, so that memory is that of the files. Throws on a coordinate that is not finite.
 * Source: ESRI Shapefile Technical Description, July 1998, pages 4 to 9.
 */
export function polygonShapes(features: readonly { readonly polygons: MultiPolygon }[]): Shapes {
  const empty: number[] = [];
  let total = HEADER_BYTES;
  for (let i = 0; i < features.length; i++) {
    const content = contentBytes(features[i]!.polygons);
    if (content === 4) empty.push(i);
    total += 8 + content;
  }
  const shp = new DataView(new ArrayBuffer(total));
  const shx = new DataView(new ArrayBuffer(HEADER_BYTES + 8 * features.length));
  const all = new Float64Array([Infinity, Infinity, -Infinity, -Infinity]);
  const box = new Float64Array(4);
  let at = HEADER_BYTES;
  for (let i = 0; i < features.length; i++) {
    const { polygons } = features[i]!;
    const content = contentBytes(polygons);
    writeRecordHeads(shp, shx, i, at, content);
    at += 8;
    if (content === 4) shp.setInt32(at, NULL_SHAPE, true);
    else {
      writePolygon(shp, at, polygons, box);
      for (let k = 0; k < 2; k++) if (box[k]! < all[k]!) all[k] = box[k]!;
      for (let k = 2; k < 4; k++) if (box[k]! > all[k]!) all[k] = box[k]!;
    }
    at += content;
  }
  writeHeader(shp, POLYGON, all);
  writeHeader(shx, POLYGON, all);
  return { shp: new Uint8Array(shp.buffer), shx: new Uint8Array(shx.buffer), empty };
}

/** .shp and .shx of points, likewise. */
export function pointShapes(points: readonly { readonly at: LngLat }[]): Shapes {
  const shp = new DataView(new ArrayBuffer(HEADER_BYTES + 28 * points.length));
  const shx = new DataView(new ArrayBuffer(HEADER_BYTES + 8 * points.length));
  const all = new Float64Array([Infinity, Infinity, -Infinity, -Infinity]);
  for (let i = 0; i < points.length; i++) {
    const start = HEADER_BYTES + 28 * i;
    const position = points[i]!.at;
    writeRecordHeads(shp, shx, i, start, 20);
    shp.setInt32(start + 8, POINT, true);
    writePosition(shp, start + 12, position, all);
  }
  writeHeader(shp, POINT, all);
  writeHeader(shx, POINT, all);
  return { shp: new Uint8Array(shp.buffer), shx: new Uint8Array(shx.buffer), empty: [] };
}

/** Content of a record in bytes, without its header (pages 5 to 8); 4 where there is no ring. */
function contentBytes(polygons: MultiPolygon): number {
  let rings = 0;
  let positions = 0;
  for (let p = 0; p < polygons.length; p++) {
    const polygon = polygons[p]!;
    for (let r = 0; r < polygon.length; r++) {
      const ring = polygon[r]!;
      if (ring.length === 0) continue;
      rings++;
      positions += ring.length + (isClosed(ring) ? 0 : 1);
    }
  }
  return rings === 0 ? 4 : 44 + 4 * rings + 16 * positions;
}

/** Record number and length in the .shp, offset and length in the .shx: big-endian 16-bit words. */
function writeRecordHeads(shp: DataView, shx: DataView, i: number, at: number, content: number): void {
  shx.setInt32(HEADER_BYTES + 8 * i, at / 2);
  shx.setInt32(HEADER_BYTES + 8 * i + 4, content / 2);
  shp.setInt32(at, i + 1);
  shp.setInt32(at + 4, content / 2);
}

/** Lengths in 16-bit words, big-endian; the rest little-endian (page 4). A file of null shapes has a box of zeros. */
function writeHeader(view: DataView, type: number, box: Float64Array): void {
  view.setInt32(0, FILE_CODE);
  view.setInt32(24, view.byteLength / 2);
  view.setInt32(28, VERSION, true);
  view.setInt32(32, type, true);
  for (let i = 0; i < 4; i++) view.setFloat64(36 + 8 * i, Number.isFinite(box[i]!) ? box[i]! : 0, true);
}

function writePolygon(view: DataView, start: number, polygons: MultiPolygon, box: Float64Array): void {
  box[0] = box[1] = Infinity;
  box[2] = box[3] = -Infinity;
  let rings = 0;
  for (let p = 0; p < polygons.length; p++)
    for (let r = 0; r < polygons[p]!.length; r++) if (polygons[p]![r]!.length > 0) rings++;
  let at = start + 44 + 4 * rings;
  let part = start + 44;
  let positions = 0;
  for (let p = 0; p < polygons.length; p++) {
    const polygon = polygons[p]!;
    for (let r = 0; r < polygon.length; r++) {
      const ring = polygon[r]!;
      const length = ring.length;
      if (length === 0) continue;
      view.setInt32(part, positions, true);
      part += 4;
      const closed = isClosed(ring);
      // Wound against what is asked, the ring is written from its end.
      const forward = clockwise(ring, closed) === (r === 0);
      for (let i = 0; i < length; i++) {
        writePosition(view, at, ring[forward ? i : closed ? length - 1 - i : (length - i) % length]!, box);
        at += 16;
      }
      positions += length;
      if (!closed) {
        writePosition(view, at, ring[0]!, box);
        at += 16;
        positions++;
      }
    }
  }
  view.setInt32(start, POLYGON, true);
  for (let i = 0; i < 4; i++) view.setFloat64(start + 4 + 8 * i, box[i]!, true);
  view.setInt32(start + 36, rings, true);
  view.setInt32(start + 40, positions, true);
}

const clockwise = (ring: readonly LngLat[], closed: boolean): boolean =>
  signedArea(closed ? ring : [...ring, ring[0]!]) < 0;

function writePosition(view: DataView, at: number, position: LngLat, box: Float64Array): void {
  const x = position[0];
  const y = position[1];
  // False for what is not a number as well.
  if (!(x - x === 0 && y - y === 0)) throw new Error(`writeShapefile: position ${x}, ${y}`);
  view.setFloat64(at, x, true);
  view.setFloat64(at + 8, y, true);
  if (x < box[0]!) box[0] = x;
  if (y < box[1]!) box[1] = y;
  if (x > box[2]!) box[2] = x;
  if (y > box[3]!) box[3] = y;
}
