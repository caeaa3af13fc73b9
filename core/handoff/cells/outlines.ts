import { caution, type Problem, stop } from '../../base/problem.ts';
import { area_m2 } from '../../geo/area.ts';
import { toDegrees } from '../../geo/ring.ts';
import type { LngLat, MultiPolygon } from '../../geo/types.ts';
import type { CellSettings } from '../settings.ts';
import { longestEdgeHeading } from './heading.ts';
import { type CellLattice, cornerUnits, layCells } from './lattice.ts';
import { fillInside, markCrossed } from './mark.kernel.ts';
import { cutRim } from './rim.kernel.ts';
import { joinSlivers } from './slivers.ts';

/** Most cells that are made. 100,000 polygons are what the files are measured for. */
export const MOST_CELLS = 200_000;
/** Most cells of the box about the ground: parts that lie far from one another. */
const MOST_IN_BOX = 10_000_000;
/** Under this share of a whole cell a part only comes of rounding: it is joined whatever is set, and not counted. */
const ROUNDING_SHARE = 1e-3;

/** The ground cut into cells, row by row. */
export interface Cut {
  readonly lattice: CellLattice;
  readonly cells: readonly MultiPolygon[];
  /** On the ellipsoid. */
  readonly areas_m2: Float64Array;
  /** Lattice cells that parts of cells lie in, and the cell each part is of. */
  readonly homes: Int32Array;
  readonly cellOf: Int32Array;
  /** Cells that follow each other along a row and share an edge, as pairs first[i], second[i]; the second lies ahead. */
  readonly first: Int32Array;
  readonly second: Int32Array;
  readonly slivers: number;
}

/** What `cutGround` gives: no cut where a problem stops it. */
export interface CutOut {
  readonly cut: Cut | null;
  readonly heading_deg: number;
  readonly problems: readonly Problem[];
}

const AT = { setting: 'handoff.cells' };

/**
 * The bare cells, for a preview: their polygons and the way of driving used. `problems` are those of `cutGround`; after a stop there
 * are no cells.
 */
export function cutCells(
  ground: MultiPolygon,
  settings: CellSettings,
): { cells: readonly MultiPolygon[]; heading_deg: number; problems: readonly Problem[] } {
  const { cut, heading_deg, problems } = cutGround(ground, settings);
  return { cells: cut?.cells ?? [], heading_deg, problems };
}

/**
 * The ground cut into cells of `length_m` along the heading and `swath_m` across it, in the flat frame about its middle (metres there are
 * true to 1 part in 2,000 over 5,000 acres). Where rows and columns begin: `layCells`.
 *
 * Cells that the ground's edge crosses, and those beside them, are noded with it (`cutRim`); the others are drawn as they are. A cell that
 * the edge cuts apart is several cells, so each is one polygon. Parts under `least_share` of a whole cell are joined (`joinSlivers`),
 * those under a thousandth always, since only rounding makes them. Together the cells are the ground: neighbours have the very same
 * positions (9 decimals), so there is no gap and no overlap. Order: by row from the right of the heading, along it in the row.
 * Problems: `handoff-cells-ground` (no ground) and `handoff-cells-many` (too many cells, or parts too far apart) stop; `handoff-cells-wide` (a cell reaches over the whole field) cautions.
 * Cost: cells, and edges of crossed cells times those near them.
 */
export function cutGround(ground: MultiPolygon, settings: CellSettings): CutOut {
  const { swath_m, length_m } = settings;
  const ground_m2 = area_m2(ground);
  const heading_deg = settings.heading_deg ?? longestEdgeHeading(ground);
  if (!(ground_m2 > 0)) {
    const problem = stop('handoff-cells-ground', 'There is no ground to cut into cells.', 'Check the boundary.', AT);
    return { cut: null, heading_deg, problems: [problem] };
  }
  const { lattice, along_m, across_m } = layCells(ground, heading_deg, settings);
  const estimate = ground_m2 / (swath_m * length_m);
  const stopped = (message: string, remedy: string): CutOut => {
    return { cut: null, heading_deg, problems: [stop('handoff-cells-many', message, remedy, AT)] };
  };
  const size = `Cells of ${swath_m.toFixed(1)} m by ${length_m.toFixed(1)} m`;
  const tooMany = (count: number): CutOut =>
    stopped(
      `${size} would make about ${Math.round(count)} records; ${MOST_CELLS} is the most.`,
      'Make the cells longer or the swath wider.',
    );
  if (estimate > MOST_CELLS) return tooMany(estimate);
  if (lattice.cols * lattice.rows > MOST_IN_BOX)
    return stopped(
      `${size} would need ${lattice.cols * lattice.rows} places, since parts of the ground lie far apart; ${MOST_IN_BOX} is the most.`,
      'Make the cells longer or the swath wider, or plan the parts as fields of their own.',
    );

  const inside = new Int32Array(lattice.cols * lattice.rows);
  fillInside(lattice, ground, 1, inside);
  const rim = markCrossed(lattice, ground);
  const count = inside.reduce((sum, on, cell) => sum + (on === 1 || rim[cell] === 1 ? 1 : 0), 0);
  if (count > MOST_CELLS) return tooMany(count);
  addNeighbours(rim, inside, lattice.cols);

  const problems: Problem[] = [];
  if (swath_m > across_m || length_m > along_m) {
    const [what, cell_m, field_m] =
      swath_m > across_m ? (['wide', swath_m, across_m] as const) : (['long', length_m, along_m] as const);
    problems.push(
      caution(
        'handoff-cells-wide',
        `A cell is ${cell_m.toFixed(1)} m ${what}, and the field is ${field_m.toFixed(1)} m that way.`,
        'Check the swath, the length and the heading of the cells.',
        AT,
      ),
    );
  }
  return { cut: assemble(lattice, ground, settings, rim, inside), heading_deg, problems };
}

/** Whole cells beside crossed ones come into the rim: slivers are joined to them. */
function addNeighbours(rim: Uint8Array, inside: Int32Array, cols: number): void {
  const crossed = rim.slice();
  for (let cell = cols; cell < rim.length - cols; cell++) {
    if (inside[cell] !== 1 || crossed[cell] === 1) continue;
    const beside = [cell - 1, cell + 1, cell - cols, cell + cols];
    if (beside.some((other) => crossed[other] === 1)) rim[cell] = 1;
  }
}

function assemble(
  lattice: CellLattice,
  ground: MultiPolygon,
  settings: CellSettings,
  rim: Uint8Array,
  inside: Int32Array,
): Cut {
  const { cols } = lattice;
  const whole_m2 = settings.swath_m * settings.length_m;
  const { homes, areas_m2, borders, draw } = cutRim(lattice, ground, rim);
  const rows = homes.map((home) => Math.floor(home / cols));
  const least_m2 = Math.max(settings.least_share, ROUNDING_SHARE) * whole_m2;
  const { root, joined } = joinSlivers(areas_m2, rows, borders, least_m2);
  const drawn = draw(root);

  // Parts are those of the rim, then whole cells; `order` lists roots row by row.
  const homeOf = [...homes];
  const rootOf = Array.from(root);
  const partIn = new Map<number, number>();
  homes.forEach((home, part) => {
    partIn.set(home, part);
  });
  inside.forEach((on, cell) => {
    if (on !== 1 || rim[cell] === 1) return;
    partIn.set(cell, homeOf.length);
    rootOf.push(homeOf.length);
    homeOf.push(cell);
  });
  const order = rootOf
    .map((_, part) => part)
    .filter((part) => rootOf[part] === part)
    .sort((a, b) => (homeOf[a] ?? 0) - (homeOf[b] ?? 0) || a - b);
  const number = new Int32Array(rootOf.length);
  order.forEach((part, at) => {
    number[part] = at;
  });
  const cellOf = Int32Array.from(rootOf, (part) => number[part] ?? 0);

  const pairs: [number, number, number][] = borders
    .filter(({ follows }) => follows)
    .map(({ a, b }) => [homeOf[a] ?? 0, cellOf[a] ?? 0, cellOf[b] ?? 0]);
  // A whole cell outside the rim has whole cells before and behind it, of one part each.
  for (let part = homes.length; part < homeOf.length; part++) {
    const home = homeOf[part] ?? 0;
    const ahead = partIn.get(home + 1);
    const behind = partIn.get(home - 1);
    if (ahead !== undefined) pairs.push([home, cellOf[part] ?? 0, cellOf[ahead] ?? 0]);
    if (behind !== undefined && behind < homes.length) pairs.push([home - 1, cellOf[behind] ?? 0, cellOf[part] ?? 0]);
  }
  const follow = pairs.filter(([, a, b]) => a !== b).sort((a, b) => a[0] - b[0]);
  const cells = order.map((part) => (part < homes.length ? (drawn[part] ?? []) : whole(lattice, homeOf[part] ?? 0)));
  return {
    lattice,
    cells,
    areas_m2: Float64Array.from(cells, area_m2),
    homes: Int32Array.from(homeOf),
    cellOf,
    first: Int32Array.from(follow, ([, a]) => a),
    second: Int32Array.from(follow, ([, , b]) => b),
    slivers: joined.filter((part) => (areas_m2[part] ?? 0) >= ROUNDING_SHARE * whole_m2).length,
  };
}

/** A cell that nothing cuts. */
function whole(lattice: CellLattice, home: number): MultiPolygon {
  const col = home % lattice.cols;
  const row = (home - col) / lattice.cols;
  const corner = (dCol: number, dRow: number): LngLat => {
    const [x, y] = cornerUnits(lattice, col + dCol, row + dRow);
    return [toDegrees(x), toDegrees(y)];
  };
  const rear = corner(0, 0);
  return [[[rear, corner(1, 0), corner(1, 1), corner(0, 1), rear]]];
}
