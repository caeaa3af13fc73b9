import { localFrame, toLocal } from '../../geo/frame.ts';
import type { LngLat, MultiPolygon } from '../../geo/types.ts';

/** Two areas that share an edge. */
export interface Border {
  readonly a: number;
  readonly b: number;
  readonly length_m: number;
  /** Half way along the edges they share. */
  readonly at: LngLat;
}

interface Shared {
  readonly a: number;
  readonly b: number;
  readonly edges: { readonly from: LngLat; readonly to: LngLat; readonly length_m: number }[];
}

/**
 * Which areas border each other, by edges they share position for position, as outlines traced together do; a border told by one side with
 * more positions than by the other is not found. Linear in the positions.
 */
export function bordersOf(areas: readonly MultiPolygon[]): readonly Border[] {
  const first = areas.find((area) => area.length > 0)?.[0]?.[0]?.[0];
  if (!first) return [];
  const frame = localFrame(first);
  const owner = new Map<string, number>();
  const found = new Map<string, Shared>();
  areas.forEach((area, index) => {
    for (const ring of area.flat()) {
      for (let at = 0; at + 1 < ring.length; at++) {
        const [from, to] = [ring[at], ring[at + 1]];
        if (!from || !to) continue;
        const [p, q] = [from.join(), to.join()];
        const edge = p < q ? `${p} ${q}` : `${q} ${p}`;
        const other = owner.get(edge);
        if (other === undefined) owner.set(edge, index);
        else if (other !== index) {
          const key = `${Math.min(other, index)} ${Math.max(other, index)}`;
          const pair = found.get(key) ?? { a: Math.min(other, index), b: Math.max(other, index), edges: [] };
          const [x1, y1] = toLocal(frame, from);
          const [x2, y2] = toLocal(frame, to);
          pair.edges.push({ from, to, length_m: Math.hypot(x2 - x1, y2 - y1) });
          found.set(key, pair);
        }
      }
    }
  });
  return [...found.values()].map(borderOf);
}

function borderOf({ a, b, edges }: Shared): Border {
  const length_m = edges.reduce((sum, edge) => sum + edge.length_m, 0);
  let along = 0;
  for (const { from, to, length_m: own } of edges) {
    along += own;
    if (along >= length_m / 2) return { a, b, length_m, at: [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2] };
  }
  throw new Error('a border without edges');
}

/** A number from 0 for each of `count` areas so that no two that border share one, the smallest first: greedy, the longest chain of neighbours first. */
export function apartNumbers(count: number, borders: readonly Pick<Border, 'a' | 'b'>[]): readonly number[] {
  const next = Array.from({ length: count }, () => new Set<number>());
  for (const { a, b } of borders) {
    next[a]?.add(b);
    next[b]?.add(a);
  }
  const order = next.map((set, index) => [index, set.size] as const).sort((p, q) => q[1] - p[1] || p[0] - q[0]);
  const numbers = new Array<number>(count).fill(-1);
  for (const [index] of order) {
    const taken = new Set([...(next[index] ?? [])].map((other) => numbers[other]));
    let number = 0;
    while (taken.has(number)) number += 1;
    numbers[index] = number;
  }
  return numbers;
}
