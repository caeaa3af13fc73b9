import { findContacts } from '../geo/contacts.kernel.ts';
import { signedArea_deg2, toUnits } from '../geo/ring.ts';
import type { MultiPolygon, Ring } from '../geo/types.ts';

/** What is the matter with a record's polygons. */
export type Fault = 'unclosed' | 'no area' | 'wound wrong' | 'crosses itself' | 'parts meet';

/**
 * What keeps a record's polygons from being valid by OGC simple features and RFC 7946; null where nothing does. In order: a ring that is not closed, that
 * holds no ground, that is wound the wrong way (outer counter-clockwise, holes clockwise), that crosses or touches itself, rings that cross or
 * run along one another; they may touch at single places. Rings are told apart to 1e-9 degree. Cost: about linear. Ours.
 */
export function faultOf(polygons: MultiPolygon): Fault | null {
  const rings: Ring[] = [];
  for (const polygon of polygons) {
    for (let place = 0; place < polygon.length; place++) {
      const ring = polygon[place]!;
      const [first, last] = [ring[0], ring[ring.length - 1]];
      if (!first || !last || ring.length < 4 || first[0] !== last[0] || first[1] !== last[1]) return 'unclosed';
      const area = signedArea_deg2(ring);
      if (area === 0) return 'no area';
      if (area > 0 !== (place === 0)) return 'wound wrong';
      rings.push(ring);
    }
  }
  const [only] = rings;
  if (rings.length === 1 && only && isConvex(only)) return null;
  for (const { kind, ringA, ringB } of findContacts(rings.map(inUnits))) {
    if (ringA === ringB) return 'crosses itself';
    if (kind !== 'touch') return 'parts meet';
  }
  return null;
}

/** Whole numbers, without a place that comes twice in a row. */
function inUnits(ring: Ring): Float64Array {
  const flat: number[] = [];
  for (const [lng, lat] of ring) {
    const [x, y] = [toUnits(lng), toUnits(lat)];
    const last = flat.length;
    if (last > 0 && flat[last - 2] === x && flat[last - 1] === y) continue;
    flat.push(x, y);
  }
  return Float64Array.from(flat);
}

/** True for a ring that turns left at every corner and runs east and back but once: it cannot meet itself. */
function isConvex(ring: Ring): boolean {
  const count = ring.length - 1;
  if (count > 12) return false;
  let turns = 0;
  let before = 0;
  for (let i = 0; i < count; i++) {
    const [a, b, c] = [ring[i]!, ring[i + 1]!, ring[((i + 1) % count) + 1]!];
    if ((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) <= 0) return false;
    const way = Math.sign(b[0] - a[0]);
    if (way !== 0 && before !== 0 && way !== before) turns++;
    if (way !== 0) before = way;
  }
  return turns <= 2;
}
