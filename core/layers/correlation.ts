import { correlation, midRanks } from './weighted.kernel.ts';

export interface Correlation {
  /** Cells with ground where both layers have a value. */
  readonly n: number;
  /** Product-moment, each cell counting by its ground. */
  readonly pearson: number;
  /** Product-moment of the ranks, equal values sharing their mean rank, every cell counting alike. */
  readonly spearman: number;
}

/**
 * How two layers go together over the field. Both figures are NaN where fewer than two cells have both, or one layer does not
 * vary. Cells of a surface are not independent of each other, so no significance follows from n. Arrays in cell order;
 * different lengths throw. Cost: n log n.
 * Source: K. Pearson 1895 and C. Spearman 1904, in the weighted and tie-corrected forms of the textbooks.
 */
export function correlate(a: Float64Array, b: Float64Array, cover_m2: Float64Array): Correlation {
  if (a.length !== b.length || a.length !== cover_m2.length)
    throw new Error(`${a.length} and ${b.length} values for ${cover_m2.length} cells`);
  const cells: number[] = [];
  for (let cell = 0; cell < a.length; cell++)
    if ((cover_m2[cell] ?? 0) > 0 && Number.isFinite(a[cell]) && Number.isFinite(b[cell])) cells.push(cell);
  const n = cells.length;
  if (n < 2) return { n, pearson: Number.NaN, spearman: Number.NaN };
  const pick = (from: Float64Array) => Float64Array.from(cells, (cell) => from[cell] ?? Number.NaN);
  const [one, other] = [pick(a), pick(b)];
  return {
    n,
    pearson: correlation(one, other, pick(cover_m2)),
    spearman: correlation(midRanks(one), midRanks(other), new Float64Array(n).fill(1)),
  };
}
