import { letterOf } from '../../zones/words.ts';
import type { Piece, Prescription } from '../types.ts';

/** Cells of about one rate, drawn alike. */
export interface RateClass {
  readonly letter: string;
  /** All products together. */
  readonly from_lbPerAc: number;
  readonly to_lbPerAc: number;
  readonly pieces: readonly Piece[];
  readonly acres: number;
  /** One a product. */
  readonly pounds: readonly number[];
}

/** As many densities of lines as an eye tells apart. Ours. */
export const MOST_CLASSES = 7;

export const totalRate = (piece: Piece): number => piece.rate_lbPerAc + piece.second_lbPerAc;

/** The records of a pass by rate, least first: each rate its own class where there are few, else as many classes of equal width; 0 always stands alone. */
export function classesOf({ pieces, totals }: Prescription): readonly RateClass[] {
  const rates = [...new Set(pieces.map(totalRate))].sort((a, b) => a - b);
  const above = rates.filter((rate) => rate > 0);
  const [least, most] = [above[0] ?? 0, above.at(-1) ?? 0];
  const few = above.length <= MOST_CLASSES;
  const classOf = (rate: number): number => {
    if (rate === 0) return -1;
    if (few) return above.indexOf(rate);
    return Math.min(MOST_CLASSES - 1, Math.floor(((rate - least) / (most - least)) * MOST_CLASSES));
  };
  const groups = new Map<number, Piece[]>();
  for (const piece of pieces) {
    const key = classOf(totalRate(piece));
    const group = groups.get(key);
    if (group) group.push(piece);
    else groups.set(key, [piece]);
  }
  return [...groups]
    .sort((a, b) => a[0] - b[0])
    .map(([, own], index) => {
      const of = own.map(totalRate);
      return {
        letter: letterOf(index),
        from_lbPerAc: of.reduce((a, b) => Math.min(a, b), Infinity),
        to_lbPerAc: of.reduce((a, b) => Math.max(a, b), 0),
        pieces: own,
        acres: own.reduce((sum, { acres }) => sum + acres, 0),
        pounds: totals.byProduct.map((_, product) =>
          own.reduce((sum, one) => sum + one.acres * (product === 0 ? one.rate_lbPerAc : one.second_lbPerAc), 0),
        ),
      };
    });
}
