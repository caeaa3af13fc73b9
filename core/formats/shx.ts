import type { ShpWalk } from './shp-walk.ts';

const HEADER_BYTES = 100;
const ENTRY_BYTES = 8;

/**
 * Which record of the .shp each entry of its index points at, in the index's order: an editor may leave old records in
 * the .shp that the index no longer lists. Null where the index is damaged or points between records.
 * Source: ESRI Shapefile Technical Description (1998), page 23: offsets and lengths in 16-bit words, big-endian.
 */
export function indexOrder(shx: Uint8Array, walk: ShpWalk): readonly number[] | null {
  if (shx.length < HEADER_BYTES || (shx.length - HEADER_BYTES) % ENTRY_BYTES !== 0) return null;
  const view = new DataView(shx.buffer, shx.byteOffset, shx.byteLength);
  // One that was cut off would hide shapes.
  if (view.getInt32(24) * 2 !== shx.length || shx.length === HEADER_BYTES) return null;
  const byOffset = new Map(walk.records.map((record, i) => [record.offset, i] as const));
  const order: number[] = [];
  for (let at = HEADER_BYTES; at < shx.length; at += ENTRY_BYTES) {
    const index = byOffset.get(view.getInt32(at) * 2);
    if (index === undefined) return null;
    order.push(index);
  }
  return new Set(order).size === order.length ? order : null;
}
