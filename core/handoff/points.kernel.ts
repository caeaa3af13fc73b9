import type { MultiPolygon } from '../geo/types.ts';

/** Places in lng/lat, with their order by latitude, so that the few beside an edge are found by halving. */
export interface Places {
  readonly lng: Float64Array;
  readonly lat: Float64Array;
  /** Numbers of the places from south to north, and their latitudes in that order. */
  readonly order: Int32Array;
  readonly sorted: Float64Array;
}

/** No record lies there. */
export const NOWHERE = -1;
/** Several records lie there. */
export const SEVERAL = -2;

/** Uniform numbers in 0 to 1 from a seed: xorshift with the triple 13, 17, 5 (Marsaglia 2003, Journal of Statistical Software 8(14)). */
export function uniform(seed: number): () => number {
  let state = seed >>> 0 || 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}

/** Places made ready to be looked up. */
export function placesOf(lng: Float64Array, lat: Float64Array): Places {
  const order = Int32Array.from(lat.keys()).sort((a, b) => lat[a]! - lat[b]!);
  return { lng, lat, order, sorted: Float64Array.from(order, (place) => lat[place]!) };
}

/** Number of the first place at or north of a latitude. */
function firstFrom(sorted: Float64Array, lat: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle]! < lat) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * Number of the record that each place lies in, NOWHERE or SEVERAL. Rings of a record count by the even-odd rule, whatever their winding, half open:
 * a place on a south or west edge is inside. Cost: for each edge the places at its latitudes within its polygon's box.
 * Source: crossing number (Shimrat 1962, Communications of the ACM 5:434).
 */
export function recordsAt(places: Places, records: readonly MultiPolygon[]): Int32Array {
  const { lng, lat, order, sorted } = places;
  const found = new Int32Array(lng.length).fill(NOWHERE);
  const odd = new Uint8Array(lng.length);
  const touched: number[] = [];
  for (let record = 0; record < records.length; record++) {
    for (const polygon of records[record]!) {
      let west = Infinity;
      let east = -Infinity;
      for (const [x] of polygon[0] ?? []) {
        if (x < west) west = x;
        if (x > east) east = x;
      }
      for (const ring of polygon) {
        for (let i = 1; i < ring.length; i++) {
          const [x1, y1] = ring[i - 1]!;
          const [x2, y2] = ring[i]!;
          if (y1 === y2) continue;
          const north = Math.max(y1, y2);
          for (let at = firstFrom(sorted, Math.min(y1, y2)); at < sorted.length && sorted[at]! < north; at++) {
            const place = order[at]!;
            const x = lng[place]!;
            if (x < west || x > east) continue;
            if (x >= x1 + ((lat[place]! - y1) / (y2 - y1)) * (x2 - x1)) continue;
            touched.push(place);
            odd[place]! ^= 1;
          }
        }
      }
      for (const place of touched) {
        if (odd[place] === 0) continue;
        odd[place] = 0;
        found[place] = found[place] === NOWHERE || found[place] === record ? record : SEVERAL;
      }
      touched.length = 0;
    }
  }
  return found;
}

/**
 * Marks with 1 the places that have no edge of another value within a box of `halfLng_deg`, `halfLat_deg` around them; 0 for the others and for
 * places in no record. `isOther(place, record)` says whether a record differs from what holds at the place. Edges of `ground` always
 * count. Cost as for `recordsAt`.
 */
export function farFromBorders(
  places: Places,
  at: Int32Array,
  records: readonly MultiPolygon[],
  ground: MultiPolygon,
  half: { readonly lng_deg: number; readonly lat_deg: number },
  isOther: (place: number, record: number) => boolean,
): Uint8Array {
  const { lng, lat, order, sorted } = places;
  const far = Uint8Array.from(at, (record) => (record >= 0 ? 1 : 0));
  const walk = (polygons: MultiPolygon, record: number): void => {
    for (const polygon of polygons) {
      for (const ring of polygon) {
        for (let i = 1; i < ring.length; i++) {
          const [x1, y1] = ring[i - 1]!;
          const [x2, y2] = ring[i]!;
          const north = Math.max(y1, y2) + half.lat_deg;
          const west = Math.min(x1, x2) - half.lng_deg;
          const east = Math.max(x1, x2) + half.lng_deg;
          const from = firstFrom(sorted, Math.min(y1, y2) - half.lat_deg);
          for (let next = from; next < sorted.length && sorted[next]! <= north; next++) {
            const place = order[next]!;
            const x = lng[place]!;
            if (far[place] === 0 || x < west || x > east) continue;
            if (record >= 0 && !isOther(place, record)) continue;
            // Separating axis: the edge's own direction, in boxes.
            const reach = half.lng_deg * Math.abs(y2 - y1) + half.lat_deg * Math.abs(x2 - x1);
            const off = (x2 - x1) * (lat[place]! - y1) - (y2 - y1) * (x - x1);
            if (Math.abs(off) <= reach) far[place] = 0;
          }
        }
      }
    }
  };
  walk(ground, -1);
  records.forEach(walk);
  return far;
}
