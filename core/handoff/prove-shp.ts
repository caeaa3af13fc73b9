import type { MultiPolygon } from '../geo/types.ts';

/** Bytes of a header, and of a record's own header and of what stands before its parts (pages 4, 6 and 8). */
const [HEADER, RECORD, PARTS] = [100, 8, 44];
const POLYGON = 5;

/**
 * What a shapefile's bytes break of its description, walked anew with no reader between: header, record numbers and lengths, the index, rings closed, and
 * as many of them clockwise as there are parts and counter-clockwise as there are holes in what the reader made of them. Null where it is sound.
 * Source: ESRI Shapefile Technical Description, July 1998, pages 4 to 9 and 23.
 */
export function shpTrouble(shp: Uint8Array, shx: Uint8Array, polygons: readonly MultiPolygon[]): string | null {
  const view = new DataView(shp.buffer, shp.byteOffset, shp.byteLength);
  const index = new DataView(shx.buffer, shx.byteOffset, shx.byteLength);
  for (const [one, name] of [
    [view, 'shapes'],
    [index, 'index'],
  ] as const) {
    if (one.byteLength < HEADER) return `the ${name} have no header`;
    const sound = one.getInt32(0) === 9994 && one.getInt32(28, true) === 1000 && one.getInt32(32, true) === POLYGON;
    if (!sound || one.getInt32(24) * 2 !== one.byteLength) return `the header of the ${name} is wrong`;
  }
  if (index.byteLength !== HEADER + 8 * polygons.length) return 'the index lists another number of records';
  let [at, clockwise, counter] = [HEADER, 0, 0];
  for (let record = 0; record < polygons.length; record++) {
    if (at + RECORD + PARTS > view.byteLength) return 'the shapes end too early';
    const length = view.getInt32(at + 4) * 2;
    const [offset, listed] = [index.getInt32(HEADER + 8 * record) * 2, index.getInt32(HEADER + 8 * record + 4) * 2];
    if (view.getInt32(at) !== record + 1) return `record ${record + 1} has another number`;
    if (offset !== at || listed !== length) return `the index of record ${record + 1} is wrong`;
    const start = at + RECORD;
    const [parts, points] = [view.getInt32(start + 36, true), view.getInt32(start + 40, true)];
    const sized = length === PARTS + 4 * parts + 16 * points && start + length <= view.byteLength;
    if (view.getInt32(start, true) !== POLYGON || !sized) return `record ${record + 1} is no polygon of its length`;
    for (let part = 0; part < parts; part++) {
      const first = view.getInt32(start + PARTS + 4 * part, true);
      const end = part + 1 < parts ? view.getInt32(start + PARTS + 4 * part + 4, true) : points;
      const doubled = ringArea(view, start + PARTS + 4 * parts, first, end);
      if (Number.isNaN(doubled)) return `a ring of record ${record + 1} is not closed`;
      if (doubled < 0) clockwise++;
      else counter++;
    }
    at = start + length;
  }
  const holes = polygons.reduce((sum, of) => sum + of.reduce((all, rings) => all + rings.length - 1, 0), 0);
  const outer = polygons.reduce((sum, of) => sum + of.length, 0);
  return clockwise === outer && counter === holes ? null : 'a ring is wound the wrong way';
}

/** Twice the signed area of a ring; NaN where it is not closed. */
function ringArea(view: DataView, places: number, first: number, end: number): number {
  const x = (i: number): number => view.getFloat64(places + 16 * i, true);
  const y = (i: number): number => view.getFloat64(places + 16 * i + 8, true);
  if (first < 0 || end - first < 4 || places + 16 * end > view.byteLength) return Number.NaN;
  if (x(first) !== x(end - 1) || y(first) !== y(end - 1)) return Number.NaN;
  let doubled = 0;
  const [x0, y0] = [x(first), y(first)];
  for (let i = first; i + 1 < end; i++) doubled += (x(i) - x0) * (y(i + 1) - y0) - (x(i + 1) - x0) * (y(i) - y0);
  return doubled;
}
