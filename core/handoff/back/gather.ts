import { caution, note, type Problem } from '../../base/problem.ts';
import { toAcres, toTons } from '../../base/units.ts';
import { area_m2 } from '../../geo/area.ts';
import { melt } from './melt.kernel.ts';
import type { Asked, OpenedPiece, OpenedPrescription, OpenedRate } from './types.ts';

/** Share of the acres below which a shared sliver is rounding. */
const NEGLIGIBLE_OVERLAP = 1e-6;

export const NOTHING_ASKED: Asked = {
  layers: [],
  layer: null,
  candidates: [],
  column: null,
  unit: null,
  unitOpen: false,
};

/** The names in their order; one that comes again is numbered: `rx`, `rx (2)`. */
export function unlike(names: readonly string[]): string[] {
  const times = new Map<string, number>();
  return names.map((name) => {
    const time = (times.get(name) ?? 0) + 1;
    times.set(name, time);
    return time === 1 ? name : `${name} (${time})`;
  });
}

type About = Pick<
  OpenedPrescription,
  'name' | 'files' | 'format' | 'column' | 'unit' | 'unitFrom' | 'product' | 'pass' | 'records'
>;

/**
 * The pieces of a file with all that follows from them: rates, acres, pounds, outline and ground under two of them.
 * Problems: caution `back-overlap`; note `back-overlap-unknown`. Cost: that of `melt`.
 */
export function gather(
  about: About,
  pieces: readonly OpenedPiece[],
  file: string,
): { readonly value: OpenedPrescription; readonly problems: readonly Problem[] } {
  const byRate = new Map<number, OpenedRate>();
  for (const { asWritten, rate_lbPerAc, acres } of pieces) {
    if (Number.isNaN(rate_lbPerAc)) continue;
    const before = byRate.get(asWritten);
    const ground = (before?.acres ?? 0) + acres;
    byRate.set(asWritten, {
      rate_lbPerAc,
      asWritten,
      records: (before?.records ?? 0) + 1,
      acres: ground,
      product_lb: rate_lbPerAc * ground,
    });
  }
  const rates = [...byRate.values()].sort((a, b) => a.asWritten - b.asWritten);
  const acres = sum(pieces.map((piece) => piece.acres));
  const zero_ac = sum(rates.filter((rate) => rate.asWritten === 0).map((rate) => rate.acres));
  const spread_ac = sum(rates.filter((rate) => rate.asWritten > 0).map((rate) => rate.acres));
  const product_lb = sum(rates.map((rate) => rate.product_lb));
  const outline = melt(pieces.flatMap((piece) => piece.polygons));
  const overlap_ac = outline && Math.max(0, acres - toAcres(area_m2(outline)));
  const unrated = pieces.filter((piece) => Number.isNaN(piece.rate_lbPerAc));
  const value: OpenedPrescription = {
    ...about,
    pieces,
    acres,
    spread_ac,
    zero_ac,
    unrated_ac: sum(unrated.map((piece) => piece.acres)),
    overlap_ac: overlap_ac !== null && overlap_ac <= NEGLIGIBLE_OVERLAP * acres ? 0 : overlap_ac,
    outline,
    rates,
    product_lb,
    product_tons: toTons(product_lb),
  };
  return { value, problems: overlapProblems(overlap_ac, acres, file) };
}

const sum = (figures: readonly number[]): number => figures.reduce((all, one) => all + one, 0);

function overlapProblems(overlap_ac: number | null, acres: number, file: string): Problem[] {
  if (overlap_ac === null) {
    return [
      note(
        'back-overlap-unknown',
        `${file} has too many outlines to measure where they overlap.`,
        'Look at it in parts if that matters.',
        { file },
      ),
    ];
  }
  if (overlap_ac <= NEGLIGIBLE_OVERLAP * acres) return [];
  return [
    caution(
      'back-overlap',
      `Polygons overlap on ${overlap_ac < 0.01 ? overlap_ac.toFixed(5) : overlap_ac.toFixed(2)} ac, where the file gives two rates; that ground counts twice in acres and pounds.`,
      'Mend the outlines: which rate a machine takes there is not known.',
      { file },
    ),
  ];
}
