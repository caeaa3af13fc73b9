import { smoothArc, traceArcs } from './arcs.kernel.ts';
import { contains } from './contains.ts';
import { coverCells } from './cover.kernel.ts';
import { nameFaces } from './faces.kernel.ts';
import { localFrame } from './frame.ts';
import { labelOnRay } from './label-on-ray.kernel.ts';
import { nodedEdges } from './outline-edges.kernel.ts';
import { drawParts, gatherParts, mergeSlivers } from './parts.kernel.ts';
import { makeGraph } from './planar-graph.kernel.ts';
import { toDegrees } from './ring.ts';
import { spreadLabels } from './spread.kernel.ts';
import type { Lattice, MultiPolygon } from './types.ts';

/** Small parts of a label. */
export interface Slivers {
  /** Parts under this go to the neighbour with the longest shared border. */
  readonly least_m2: number;
  /** A label whose parts neither go nor take. */
  readonly still?: number;
}

/**
 * Polygons of each label above 0, by label, that together cover the ground: no gap, no overlap, and where two labels
 * meet both have the very same positions (9 decimals).
 *
 * Labels of cells with ground are spread outwards first, so that outlines end at the true boundary and not at cells.
 * A cell with ground and label 0 keeps 0: its ground is in no polygon. Lines between labels are traced once on the lattice
 * and, when asked, smoothed once (`smoothArc`); then lines and ground are noded by snap rounding, and each face between
 * them takes its label from the line beside it. So no clipping of single polygons can open a gap. Places move by at most
 * 0.08 mm. Slivers go to their neighbour (1 m2 where not told); parts of the ground itself that small stay.
 *
 * `ground` must be valid and lie inside the lattice, as that of `makeFieldGrid` does.
 * Cost: cells, plus edges in crossed cells times those near them. Sources: at the kernels; the order of steps is ours.
 */
export function outlineLabels(
  labels: Int16Array,
  lattice: Lattice,
  ground: MultiPolygon,
  smooth: boolean,
  slivers: Slivers = { least_m2: 1 },
): ReadonlyMap<number, MultiPolygon> {
  const { cols, rows } = lattice;
  const { cover_m2, crossed } = coverCells(lattice, ground);
  if (!cover_m2.some((cover) => cover > 0)) return new Map();
  const arcs = traceArcs(spreadLabels(labels, cover_m2, cols, rows), cols, rows);
  const edges = nodedEdges(smooth ? arcs.map(smoothArc) : arcs, lattice, ground, crossed);
  const graph = makeGraph(edges, (edge) => edges.rings[edge] !== 0 || edges.left[edge] !== edges.right[edge]);
  const isGround = (x: number, y: number): boolean => contains(ground, [toDegrees(x), toDegrees(y)]);
  const names = nameFaces(edges, graph, (x, y) => labelOnRay(edges, x, y), isGround);
  const frame = localFrame([lattice.west_deg, lattice.south_deg + (rows / 2) * lattice.dLat_deg]);
  let parts = gatherParts(graph, names);
  for (let round = 0; round < 10 && mergeSlivers(graph, names, parts, frame, slivers); round++) {
    parts = gatherParts(graph, names);
  }
  return drawParts(graph, names, parts, (node) => edges.isCorner(node));
}
