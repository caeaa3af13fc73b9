import { coverCells } from '../../geo/cover.kernel.ts';
import type { Lattice } from '../../geo/types.ts';
import type { Piece, Prescription } from '../types.ts';
import type { TaskDataInput, ZoneLabels } from './types.ts';
import { type RatedShape, ratesUnder } from './under.kernel.ts';

/** Most cells of a grid: terminals have little memory. Ours, no source. */
export const MOST_GRID_CELLS = 1_000_000;

/** What all grids of one task data share. */
export interface GridPlace {
  /** The field's, or with 2 x 2, 3 x 3 ... of its cells in one where there are too many. */
  readonly lattice: Lattice;
  /** Cells of the field's lattice along a side of a grid cell. */
  readonly stride: number;
  /** Spreadable ground in each cell of the grid. */
  readonly ground_m2: Float64Array;
  /** 1 where the cell reaches into the outer boundary, keep-outs, setbacks and holes included. */
  readonly within: Uint8Array;
}

/** Where the grid lies, and what ground is in its cells. */
export function gridPlace({
  lattice,
  ground,
  boundary,
}: Pick<TaskDataInput, 'lattice' | 'ground' | 'boundary'>): GridPlace {
  const stride = Math.max(1, Math.ceil(Math.sqrt((lattice.cols * lattice.rows) / MOST_GRID_CELLS)));
  const coarse: Lattice = {
    ...lattice,
    dLng_deg: lattice.dLng_deg * stride,
    dLat_deg: lattice.dLat_deg * stride,
    cols: Math.ceil(lattice.cols / stride),
    rows: Math.ceil(lattice.rows / stride),
  };
  const { cover_m2 } = coverCells(coarse, ground);
  const outers = [ground, boundary ?? []].map((of) =>
    coverCells(
      coarse,
      of.map((polygon) => polygon.slice(0, 1)),
    ),
  );
  return {
    lattice: coarse,
    stride,
    ground_m2: cover_m2,
    within: Uint8Array.from(cover_m2, (_, cell) => Number(outers.some((outer) => (outer.cover_m2[cell] ?? 0) > 0))),
  };
}

/** Rates of one task over the grid's cells, one array a product, lb/ac. */
export interface GridRates {
  readonly rates_lbPerAc: readonly Float64Array[];
  /** Cells inside the outer boundary under no piece: kept out or left out. They are 0 whatever the rate outside is. */
  readonly without: number;
}

/**
 * The rate of every cell of the grid. By zones: that of the zone whose label the cell bears (of several of the field's cells in one, the label that most of them bear);
 * without labels, that of the piece which shares most with the cell. By cells: the mean by area of what lies under the cell, over its ground.
 * A cell that only touches the field still gets the field's rate. Inside the outer boundary and under no piece: 0. Elsewhere: the rate outside,
 * which goes with the first pass alone.
 */
export function gridRates(
  place: GridPlace,
  { pieces }: Prescription,
  { shape, labels, lattice, products, outside_lbPerAc }: TaskDataInput,
  pass: number,
): GridRates {
  const several = products.length;
  const shapes = pieces.map((piece): RatedShape => ({ polygons: piece.polygons, rates: ratesOf(piece, several) }));
  const byZone = shape === 'zones' && labels ? ratesByZone(pieces, labels, several) : null;
  const rates_lbPerAc = byZone
    ? ratesByLabel(place, byZone, labels?.labels ?? new Int16Array(0), lattice, several)
    : ratesUnder(place.lattice, place.ground_m2, shapes, several, shape === 'cells' ? 'mean' : 'most');
  let without = 0;
  const first = rates_lbPerAc[0];
  for (let cell = 0; cell < place.ground_m2.length; cell++) {
    if (first && !Number.isNaN(first[cell])) continue;
    const within = place.within[cell] === 1;
    if (within) without++;
    rates_lbPerAc.forEach((rates, product) => {
      rates[cell] = product === 0 && pass === 0 && !within ? outside_lbPerAc : 0;
    });
  }
  return { rates_lbPerAc, without };
}

const ratesOf = (piece: Piece, products: number): number[] =>
  [piece.rate_lbPerAc, piece.second_lbPerAc].slice(0, products);

/** Rates of the zones by their label; null where parts of one zone differ, so that its label does not say the rate. */
function ratesByZone(
  pieces: readonly Piece[],
  { zones }: ZoneLabels,
  products: number,
): ReadonlyMap<number, readonly number[]> | null {
  const byKey = new Map<string, readonly number[]>();
  for (const piece of pieces) {
    const rates = ratesOf(piece, products);
    const known = byKey.get(piece.zoneKey);
    if (known?.some((rate, index) => rate !== rates[index])) return null;
    byKey.set(piece.zoneKey, rates);
  }
  for (const key of byKey.keys())
    if (!zones.some((zone) => zone.key === key)) throw new Error(`a piece of zone ${key}, which has no label`);
  return new Map(
    zones.flatMap(({ key, label }) => {
      const rates = byKey.get(key);
      return rates ? [[label, rates] as const] : [];
    }),
  );
}

function ratesByLabel(
  { lattice: grid, stride, ground_m2 }: GridPlace,
  byLabel: ReadonlyMap<number, readonly number[]>,
  labels: Int16Array,
  fine: Lattice,
  products: number,
): Float64Array[] {
  const found = stride === 1 ? labels : coarseLabels(grid, stride, labels, fine);
  const rates = Array.from({ length: products }, () => new Float64Array(ground_m2.length).fill(Number.NaN));
  for (let cell = 0; cell < found.length; cell++) {
    const own = byLabel.get(found[cell] ?? 0);
    if (own)
      for (let product = 0; product < products; product++) {
        const into = rates[product];
        if (into) into[cell] = own[product] ?? 0;
      }
  }
  return rates;
}

/** The label that most of a block's labelled cells bear, the first of equals. */
function coarseLabels(grid: Lattice, stride: number, labels: Int16Array, fine: Lattice): Int16Array {
  const found = new Int16Array(grid.cols * grid.rows);
  const times = new Map<number, number>();
  for (let cell = 0; cell < found.length; cell++) {
    times.clear();
    const row0 = Math.floor(cell / grid.cols) * stride;
    const col0 = (cell % grid.cols) * stride;
    let most = 0;
    for (let row = row0; row < Math.min(row0 + stride, fine.rows); row++) {
      for (let col = col0; col < Math.min(col0 + stride, fine.cols); col++) {
        const label = labels[row * fine.cols + col] ?? 0;
        if (label === 0) continue;
        const count = (times.get(label) ?? 0) + 1;
        times.set(label, count);
        if (count > most) {
          most = count;
          found[cell] = label;
        }
      }
    }
  }
  return found;
}
