import type { CropFigure } from '../crop-figures.ts';
import { cropOf } from '../crops.ts';
import { figure, typed } from '../text.ts';
import { WHEAT } from './guide.ts';
import type { GuidePart } from './types.ts';

/** lb K2O per unit of yield by crop id, as one guide prints it. */
export type Removals = Readonly<Record<string, CropFigure>>;

/** The same figure for both wheats of the crop list. */
export const wheats = (figureOf: CropFigure): Removals => Object.fromEntries(WHEAT.map((id) => [id, figureOf]));

/** What the crop takes by the guide's figure, with the sum in words. Throws for a crop that the guide does not cover. */
export function removalOf(
  removals: Removals,
  crop: string,
  yieldGoal: number,
): { readonly lbK2OPerAc: number; readonly sum: string; readonly part: CropFigure } {
  const part = removals[crop];
  if (!part) throw new Error(`no removal for ${crop}`);
  const lbK2OPerAc = yieldGoal * part.value;
  return { lbK2OPerAc, sum: `${typed(yieldGoal)} x ${typed(part.value)} = ${figure(lbK2OPerAc, 1)}`, part };
}

/** Each removal as a part of its guide. */
export const removalParts = (removals: Removals): readonly GuidePart[] =>
  Object.entries(removals).map(([id, { value, source, flag }]) => {
    const crop = cropOf(id);
    return {
      what: `removal of ${crop?.name.toLowerCase() ?? id}, ${typed(value)} lb K2O/${crop?.yieldUnit === 'ton/ac' ? 'ton' : 'bu'}`,
      source,
      flag,
    };
  });
