import { orient } from './orient.kernel.ts';
import type { EdgeSet } from './planar-graph.kernel.ts';

/**
 * The label at a place that lies on no arc: that of the near side of the first arc edge east of it. 0 where there is none.
 * Linear in the edges. An edge holds its lower end and not its upper one, so a ray through a corner meets no edge twice.
 */
export function labelOnRay(edges: EdgeSet, px: number, py: number): number {
  const { x, y, from, to, left, right } = edges;
  let label = 0;
  let nearest = Infinity;
  let nearestLean = Infinity;
  for (let edge = 0; edge < from.length; edge++) {
    if (left[edge] === right[edge]) continue;
    const upward = y[from[edge]!]! < y[to[edge]!]!;
    const low = upward ? from[edge]! : to[edge]!;
    const high = upward ? to[edge]! : from[edge]!;
    if (!(y[low]! <= py && py < y[high]!)) continue;
    if (orient(x[low]!, y[low]!, x[high]!, y[high]!, px, py) <= 0) continue;
    const lean = (x[high]! - x[low]!) / (y[high]! - y[low]!);
    const at = x[low]! + (py - y[low]!) * lean;
    // Two that start in one corner on the ray: the one that leans west comes first above it.
    if (at < nearest || (at === nearest && lean < nearestLean)) {
      nearest = at;
      nearestLean = lean;
      label = upward ? left[edge]! : right[edge]!;
    }
  }
  return label;
}
