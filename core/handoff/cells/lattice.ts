import { toLngLat } from '../../geo/frame.ts';
import { toUnits } from '../../geo/ring.ts';
import type { LocalFrame, MultiPolygon } from '../../geo/types.ts';
import type { CellSettings } from '../settings.ts';
import { middleFrame, type OuterEdge, outerEdges } from './heading.ts';

/** An edge this near to the way of driving is one that rows can lie along. Ours. */
const NEARLY_DEG = 2;
/** Sums of length nearer than this are equal. */
const EQUAL = 1e-6;
/** Columns and rows about the ground: an edge on a cell line touches the first beyond it, whose neighbours are still of the lattice. */
const MARGIN = 2;
const RAD_PER_DEG = Math.PI / 180;

/**
 * Cells along a way of driving. Column counts along it and row to the left of it, both in whole cells; cell (col, row) has
 * index row * cols + col. The outermost columns and rows lie off the ground.
 */
export interface CellLattice {
  readonly frame: LocalFrame;
  readonly sin: number;
  readonly cos: number;
  /** Where column 0 and row 0 begin, metres along and to the left of the frame's place. */
  readonly u0_m: number;
  readonly v0_m: number;
  readonly length_m: number;
  readonly swath_m: number;
  readonly cols: number;
  readonly rows: number;
}

/** The lattice, and how far the ground reaches along and across the way of driving. */
export interface Laid {
  readonly lattice: CellLattice;
  readonly along_m: number;
  readonly across_m: number;
}

/**
 * The lattice over the ground. Rows are laid so that a line between rows runs along the longest straight run of outer edges that lies
 * within 2 degrees of the way of driving (edges a quarter swath apart across count together): the first swath lies along that edge, its
 * outer side where the edge reaches out farthest. Without such an edge rows begin at the ground's right-most place. Columns begin at the
 * ground's rear-most place. Nothing is allocated: `cols * rows` may be any size.
 */
export function layCells(
  ground: MultiPolygon,
  heading_deg: number,
  { length_m, swath_m }: Pick<CellSettings, 'length_m' | 'swath_m'>,
): Laid {
  const frame = middleFrame(ground);
  const sin = Math.sin(heading_deg * RAD_PER_DEG);
  const cos = Math.cos(heading_deg * RAD_PER_DEG);
  let [u0, u1, v0, v1] = [Infinity, -Infinity, Infinity, -Infinity];
  const edges = outerEdges(ground, frame);
  for (const { from } of edges) {
    const u = from[0] * sin + from[1] * cos;
    const v = from[1] * sin - from[0] * cos;
    u0 = Math.min(u0, u);
    u1 = Math.max(u1, u);
    v0 = Math.min(v0, v);
    v1 = Math.max(v1, v);
  }
  const line_m = edgeLine_m(edges, heading_deg, swath_m, (p) => p[1] * sin - p[0] * cos) ?? v0;
  const below = Math.max(0, Math.ceil((line_m - v0) / swath_m - EQUAL));
  const first_m = line_m - below * swath_m;
  const lattice: CellLattice = {
    frame,
    sin,
    cos,
    u0_m: u0 - MARGIN * length_m,
    v0_m: first_m - MARGIN * swath_m,
    length_m,
    swath_m,
    cols: Math.max(1, Math.ceil((u1 - u0) / length_m)) + 2 * MARGIN,
    rows: Math.max(1, Math.ceil((v1 - first_m) / swath_m)) + 2 * MARGIN,
  };
  return { lattice, along_m: u1 - u0, across_m: v1 - v0 };
}

/** How far to the left the longest straight run of edges along the way lies; null where no edge runs along it. */
function edgeLine_m(
  edges: readonly OuterEdge[],
  heading_deg: number,
  swath_m: number,
  left_m: (p: readonly [number, number]) => number,
): number | null {
  let best: { readonly sum_m: number; readonly line_m: number } | null = null;
  // Ground lies left of an edge that runs with the way, and right of one that runs against it.
  for (const turn of [0, 180]) {
    const side = edges
      .filter((edge) => Math.abs(((edge.heading_deg - heading_deg - turn + 900) % 360) - 180) <= NEARLY_DEG)
      .map((edge) => ({ ...edge, at_m: (left_m(edge.from) + left_m(edge.to)) / 2 }))
      .sort((a, b) => a.at_m - b.at_m);
    let end = 0;
    let sum_m = 0;
    side.forEach((first, i) => {
      for (let next = side[end]; next && next.at_m <= first.at_m + swath_m / 4; next = side[end]) {
        sum_m += next.length_m;
        end++;
      }
      if (sum_m > (best?.sum_m ?? 0) * (1 + EQUAL)) {
        const places = side.slice(i, end).flatMap(({ from, to }) => [left_m(from), left_m(to)]);
        const line_m = places.reduce((a, b) => (turn === 0 ? Math.min(a, b) : Math.max(a, b)));
        best = { sum_m, line_m };
      }
      sum_m -= first.length_m;
    });
  }
  // Assigned inside the callback, which the compiler does not follow.
  return (best as { readonly line_m: number } | null)?.line_m ?? null;
}

/** A corner of cells, in whole units of 1e-9 degree. */
export function cornerUnits(lattice: CellLattice, col: number, row: number): readonly [number, number] {
  const u = lattice.u0_m + col * lattice.length_m;
  const v = lattice.v0_m + row * lattice.swath_m;
  const [lng, lat] = toLngLat(lattice.frame, [u * lattice.sin - v * lattice.cos, u * lattice.cos + v * lattice.sin]);
  return [toUnits(lng), toUnits(lat)];
}
