import type { GroundHistory } from '../soil/history.ts';
import type { HoldingClass, RatesSettings } from './settings.ts';
import { figure, typed } from './text.ts';

type Pass = RatesSettings['passes'][number];

/** What decides how much may lie beside the seed. */
export interface SeedRow {
  /** Id of the crop; null where none is told. */
  readonly crop: string | null;
  readonly sandy: boolean;
  readonly clay: boolean;
}

/** The most N + K2O that a placed pass may hold; null where no figure is known for it. */
export interface PlacementLimit {
  readonly most_lbNAndK2OPerAc: number | null;
  /** The limit in words, or why there is none. */
  readonly text: string;
  readonly source: string;
}

/** lb N + K2O/ac in the seed furrow of corn, by row spacing: as printed, from the narrowest. */
const IN_FURROW_CORN = [
  { row_in: 20, sandy: 8, others: 12 },
  { row_in: 30, sandy: 6, others: 8 },
  { row_in: 40, sandy: 4, others: 6 },
] as const;
const K_STATE =
  'Kansas State University: N + K2O in the furrow of corn by row spacing and soil, no thiosulfate or urea';
const MSU = 'Michigan State University (2009): N + K2O in a band 2 x 2 in. beside the seed';

/** The seed is that of corn, whatever is cut of it later. */
const isCorn = (crop: string | null): boolean => crop === 'corn' || crop === 'corn-silage';

/** The ground as the limits read it: sandy by its texture, or by being light where none is told; clay by its texture. */
export const seedRow = (crop: string | null, texture: GroundHistory['texture'], holding: HoldingClass): SeedRow => ({
  crop,
  sandy: texture === 'not told' ? holding.light : texture === 'sand or loamy sand' || texture === 'sandy loam',
  clay: texture === 'clay',
});

/**
 * Limit of N + K2O in a pass that is not broadcast; null for a broadcast one.
 *
 * In furrow, corn: 12 / 8 lb/ac in 20-in. rows (medium-fine / sandy ground), 8 / 6 in 30-in., 6 / 4 in 40-in. rows; between printed spacings
 * the next wider one counts, and narrower rows than 20 in. go by those of 20. Band 2 x 2 in.: corn 100, on clay 140, soybean 80. Corn for silage is corn.
 * Other crops and rows wider than 40 in. have no figure. Sources: Kansas State University; Michigan State University 2009.
 */
export function placementLimit(pass: Pick<Pass, 'placement' | 'row_in'>, row: SeedRow): PlacementLimit | null {
  if (pass.placement === 'broadcast') return null;
  const crop = row.crop ?? 'an untold crop';
  const none = (why: string, source: string): PlacementLimit => ({ most_lbNAndK2OPerAc: null, text: why, source });
  if (pass.placement === 'in furrow') {
    if (!isCorn(row.crop)) return none(`no limit in the furrow is known for ${crop}`, K_STATE);
    const printed = IN_FURROW_CORN.find((one) => pass.row_in <= one.row_in);
    if (!printed) return none(`no limit in the furrow is known for ${typed(pass.row_in)}-in. rows`, K_STATE);
    const most = row.sandy ? printed.sandy : printed.others;
    return {
      most_lbNAndK2OPerAc: most,
      text: `${most} lb N + K2O in the furrow (${printed.row_in}-in. rows, ${row.sandy ? 'sandy' : 'medium or fine'} ground)`,
      source: K_STATE,
    };
  }
  const most = isCorn(row.crop) ? (row.clay ? 140 : 100) : row.crop === 'soybean' ? 80 : null;
  if (most === null) return none(`no limit in a band is known for ${crop}`, MSU);
  return { most_lbNAndK2OPerAc: most, text: `${most} lb N + K2O in a band 2 x 2 in.`, source: MSU };
}

/** lb of product an acre that a limit of N + K2O holds; 0 where no limit is known, so that nothing is put there. */
export const placedProduct_lbPerAc = (
  limit: PlacementLimit,
  product: { readonly n_pct: number; readonly k2o_pct: number },
): number =>
  limit.most_lbNAndK2OPerAc === null ? 0 : limit.most_lbNAndK2OPerAc / ((product.n_pct + product.k2o_pct) / 100);

/** A cap by placement in words, in what it is told and as product. */
export const placedText = (limit: PlacementLimit, product_lbPerAc: number): string =>
  limit.most_lbNAndK2OPerAc === null ? limit.text : `${limit.text}, ${figure(product_lbPerAc, 1)} lb product`;
