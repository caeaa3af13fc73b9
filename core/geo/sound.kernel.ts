import { nameFaces } from './faces.kernel.ts';
import { drawParts, gatherParts } from './parts.kernel.ts';
import { EdgeSet, makeGraph } from './planar-graph.kernel.ts';
import { toUnits } from './ring.ts';
import { snapRound } from './snap-round.kernel.ts';
import type { MultiPolygon, Ring } from './types.ts';

/**
 * Valid polygons (OGC simple features) of closed rings that each have their ground on the left and do not cross, but may
 * touch themselves or one another at corners or along edges: rings are cut where they touch, edges that run both ways go,
 * each hole comes to its part. Places move by less than 0.1 mm, and only where an edge passes that near to a corner.
 */
export function soundPolygons(rings: readonly Ring[]): MultiPolygon {
  const x1: number[] = [];
  const y1: number[] = [];
  const x2: number[] = [];
  const y2: number[] = [];
  for (const ring of rings) {
    for (let i = 1; i < ring.length; i++) {
      x1.push(toUnits(ring[i - 1]![0]));
      y1.push(toUnits(ring[i - 1]![1]));
      x2.push(toUnits(ring[i]![0]));
      y2.push(toUnits(ring[i]![1]));
    }
  }
  if (x1.length === 0) return [];
  const { start, x, y } = snapRound({
    x1: Float64Array.from(x1),
    y1: Float64Array.from(y1),
    x2: Float64Array.from(x2),
    y2: Float64Array.from(y2),
  });
  const edges = new EdgeSet();
  for (let piece = 0; piece < x1.length; piece++) {
    for (let at = start[piece]! + 1; at < start[piece + 1]!; at++)
      edges.addRing(x[at - 1]!, y[at - 1]!, x[at]!, y[at]!);
  }
  const graph = makeGraph(edges, (edge) => edges.rings[edge] !== 0);
  const names = nameFaces(
    edges,
    graph,
    () => 1,
    () => false,
  );
  return drawParts(graph, names, gatherParts(graph, names), () => true).get(1) ?? [];
}
