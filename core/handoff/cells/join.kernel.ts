import type { SquareMetres } from '../../base/units.ts';
import { area_m2 } from '../../geo/area.ts';
import { drawParts, gatherParts } from '../../geo/parts.kernel.ts';
import { EdgeSet, makeGraph } from '../../geo/planar-graph.kernel.ts';
import { toUnits } from '../../geo/ring.ts';
import type { MultiPolygon } from '../../geo/types.ts';

/** Cells melted into one, by their numbers in order, and their ground. */
export interface Group {
  readonly cells: readonly number[];
  readonly polygons: MultiPolygon;
  /** On the ellipsoid. */
  readonly m2: SquareMetres;
}

/**
 * Cells that share an edge and have equal keys, melted; a group for each, in the order of their first cells. Exact: the cells' positions are
 * kept or, on a straight line where nothing else meets, left out on both sides. Cells must share every position with their neighbours.
 * Cost: edges of all cells.
 */
export function meltEqual(cells: readonly MultiPolygon[], keys: readonly string[]): Group[] {
  const edges = new EdgeSet();
  cells.forEach((polygons, cell) => {
    for (const ring of polygons.flat()) {
      for (let i = 1; i < ring.length; i++) {
        const [from, to] = [ring[i - 1]!, ring[i]!];
        edges.addArc(toUnits(from[0]), toUnits(from[1]), toUnits(to[0]), toUnits(to[1]), cell + 1, 0);
      }
    }
  });
  const parent = Int32Array.from({ length: cells.length + 1 }, (_, i) => i);
  const rootOf = (item: number): number => {
    let at = item;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  for (let edge = 0; edge < edges.from.length; edge++) {
    const left = edges.left[edge]!;
    const right = edges.right[edge]!;
    if (left === 0 || right === 0 || keys[left - 1] !== keys[right - 1]) continue;
    const [a, b] = [rootOf(left), rootOf(right)];
    parent[Math.max(a, b)] = Math.min(a, b);
  }
  const members = new Map<number, number[]>();
  for (let cell = 0; cell < cells.length; cell++) {
    const root = rootOf(cell + 1);
    const list = members.get(root);
    if (list) list.push(cell);
    else members.set(root, [cell]);
  }
  const graph = makeGraph(edges, (edge) => rootOf(edges.left[edge]!) !== rootOf(edges.right[edge]!));
  const names = new Int32Array(graph.cycles);
  for (let half = 0; half < graph.origin.length; half++) {
    if (graph.origin[half]! < 0) continue;
    const edge = half >> 1;
    names[graph.cycle[half]!] = rootOf(half % 2 === 0 ? edges.left[edge]! : edges.right[edge]!);
  }
  const drawn = drawParts(graph, names, gatherParts(graph, names), () => false);
  return [...members].map(([root, list]) => {
    const polygons = drawn.get(root) ?? [];
    return { cells: list, polygons, m2: area_m2(polygons) };
  });
}
