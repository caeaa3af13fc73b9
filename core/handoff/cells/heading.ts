import { bounds } from '../../geo/bounds.ts';
import { localFrame, toLngLat, toLocal } from '../../geo/frame.ts';
import type { LocalFrame, MultiPolygon } from '../../geo/types.ts';

/** Edges within this of one another count as one way of driving: what a road-side of several segments bends. Ours. */
const NEARLY_DEG = 2;
/** Sums that differ by less are equal, so that the last bits of a sum decide nothing. */
const EQUAL = 1e-6;
const DEG_PER_RAD = 180 / Math.PI;

/** An edge of an outer ring in the flat frame, ground on its left. */
export interface OuterEdge {
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
  readonly length_m: number;
  /** Degrees clockwise from north, 0 to 360. */
  readonly heading_deg: number;
}

/** The flat frame about the middle of the outer rings' positions, weighed by the edges they bound: it turns with the ground. */
export function middleFrame(ground: MultiPolygon): LocalFrame {
  const { west, south } = bounds(ground);
  const frame = localFrame(west <= 180 ? [west, south] : [0, 0]);
  let [x, y, sum_m] = [0, 0, 0];
  for (const { from, to, length_m } of outerEdges(ground, frame)) {
    x += ((from[0] + to[0]) / 2) * length_m;
    y += ((from[1] + to[1]) / 2) * length_m;
    sum_m += length_m;
  }
  return sum_m > 0 ? localFrame(toLngLat(frame, [x / sum_m, y / sum_m])) : frame;
}

/** Edges of the outer rings, in order; those of holes are left out, since nobody drives by them first. */
export function outerEdges(ground: MultiPolygon, frame: LocalFrame): OuterEdge[] {
  const edges: OuterEdge[] = [];
  for (const [outer = []] of ground) {
    let from: readonly [number, number] | null = null;
    for (const place of outer) {
      const to = toLocal(frame, place);
      if (from) {
        const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
        const length_m = Math.hypot(dx, dy);
        if (length_m > 0) {
          const heading_deg = (Math.atan2(dx, dy) * DEG_PER_RAD + 360) % 360;
          edges.push({ from, to, length_m, heading_deg });
        }
      }
      from = to;
    }
  }
  return edges;
}

/**
 * Way of driving along the field's longest edge: degrees clockwise from north, 0 up to 180, to a thousandth.
 *
 * Edges of the outer rings are summed by direction, whichever way they run, over every span of 2 degrees; the span with the most metres
 * wins, and its heading is the mean of its edges by length. So a road-side cut into segments, or two opposite sides, count together.
 * Of equal sums the least heading is taken. 0 for ground without edges. Cost: edges x log edges. Ours.
 */
export function longestEdgeHeading(ground: MultiPolygon): number {
  const edges = outerEdges(ground, middleFrame(ground))
    .map(({ heading_deg, length_m }) => ({ at: heading_deg % 180, length_m }))
    .sort((a, b) => a.at - b.at);
  const ring = [...edges, ...edges.map(({ at, length_m }) => ({ at: at + 180, length_m }))];
  let best_deg = 0;
  let most_m = 0;
  let end = 0;
  let sum_m = 0;
  let moment = 0;
  edges.forEach((first, i) => {
    for (let next = ring[end]; next && end < i + edges.length && next.at <= first.at + NEARLY_DEG; next = ring[end]) {
      sum_m += next.length_m;
      moment += next.length_m * next.at;
      end++;
    }
    const heading_deg = Math.round((moment / sum_m) * 1000) / 1000;
    const wrapped_deg = heading_deg >= 180 ? heading_deg - 180 : heading_deg;
    const better = sum_m > most_m * (1 + EQUAL);
    if (better || (sum_m > most_m * (1 - EQUAL) && wrapped_deg < best_deg)) {
      best_deg = wrapped_deg;
      most_m = Math.max(most_m, sum_m);
    }
    sum_m -= first.length_m;
    moment -= first.length_m * first.at;
  });
  return best_deg;
}
