import { union } from '../../geo/clip.ts';
import type { MultiPolygon } from '../../geo/types.ts';
import type { Piece, Prescription } from '../types.ts';
import { apartNumbers, bordersOf } from './borders.ts';

/** Cells of about one rate, drawn alike. */
export interface RateClass {
  /** From 1, least rate first: a letter would be taken for a zone's. */
  readonly number: number;
  /** Which way its lines run: a number of `WAYS_DEG`. */
  readonly way: number;
  /** All products together. */
  readonly from_lbPerAc: number;
  readonly to_lbPerAc: number;
  readonly pieces: readonly Piece[];
  /** Its records without the edges between them. */
  readonly ground: MultiPolygon;
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
  const ordered = [...groups].sort((a, b) => a[0] - b[0]).map(([, own]) => own);
  const ways = waysOf(ordered);
  return ordered.map((own, index) => {
    const of = own.map(totalRate);
    return {
      number: index + 1,
      way: ways[index] ?? 0,
      from_lbPerAc: of.reduce((a, b) => Math.min(a, b), Infinity),
      to_lbPerAc: of.reduce((a, b) => Math.max(a, b), 0),
      pieces: own,
      ground: groundOf(own),
      acres: own.reduce((sum, { acres }) => sum + acres, 0),
      pounds: totals.byProduct.map((_, product) =>
        own.reduce((sum, one) => sum + one.acres * (product === 0 ? one.rate_lbPerAc : one.second_lbPerAc), 0),
      ),
    };
  });
}

/** Past this many records their ground stays in parts: melting them would take longer than a page should. */
const MOST_MELTED = 50_000;
function groundOf(pieces: readonly Piece[]): MultiPolygon {
  const all = pieces.flatMap(({ polygons }) => polygons);
  return pieces.length > MOST_MELTED ? all : union(all, []);
}

/** Records whose edges are looked at one by one; of more, classes take the first two ways in turn. */
const MOST_EDGED = 20_000;
/** Borders shorter than this part of the longest do not count. Ours. */
const LONG_SHARE = 0.1;

/** Classes that border each other over some length run different ways. */
function waysOf(groups: readonly (readonly Piece[])[]): readonly number[] {
  if (groups.reduce((sum, own) => sum + own.length, 0) > MOST_EDGED) return groups.map((_, index) => index % 2);
  const borders = bordersOf(groups.map((own) => own.flatMap(({ polygons }) => polygons)));
  const longest = borders.reduce((most, { length_m }) => Math.max(most, length_m), 0);
  return apartNumbers(
    groups.length,
    borders.filter(({ length_m }) => length_m >= LONG_SHARE * longest),
  );
}
