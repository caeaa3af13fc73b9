import type { Dataset } from '../formats/types.ts';
import { UNITS_OF, unitInHeading } from '../soil/guess.ts';
import { readHeader } from '../soil/headers.ts';
import { roleName } from '../soil/mapping.ts';
import type { RememberedMapping } from '../soil/mapping-memory.ts';
import type { ColumnRole, ColumnUnit, ColumnUse } from '../soil/settings.ts';
import { isSameUse } from '../soil/standing-doubts.ts';
import type { ColumnGuess } from '../soil/types.ts';
import { countsDepth, unitText } from '../soil/units.ts';

/** What a person says of one column. */
export interface ToldColumn {
  readonly column: string;
  readonly is: ColumnRole;
  readonly unit?: ColumnUnit;
  readonly oxide?: boolean;
  readonly of_in?: number;
}

/** A guess as the plan keeps it. */
export const useOf = ({ column, is, unit, oxide, of_in, confirmed }: ColumnGuess): ColumnUse => ({
  column,
  is,
  unit,
  ...(oxide === undefined ? {} : { oxide }),
  ...(of_in === undefined ? {} : { of_in }),
  ...(confirmed === undefined ? {} : { confirmed }),
});

/**
 * The guesses with what was set before in their stead; columns that nothing was set for are not used. What was confirmed then is confirmed; a
 * column that stands as it is guessed, with a doubt that nobody confirmed, keeps the doubt.
 */
export const asRemembered = (
  guesses: readonly ColumnGuess[],
  { columns, on, confirmed = [] }: RememberedMapping,
): readonly ColumnGuess[] =>
  guesses.map((guess): ColumnGuess => {
    const { column, doubt } = guess;
    const use: ColumnUse = columns.find((one) => one.column === column) ?? { column, is: 'unused', unit: 'none' };
    const known = use.confirmed === true || confirmed.includes(column);
    return {
      ...use,
      ...(known ? { confirmed: true } : doubt !== undefined && isSameUse(use, guess) ? { doubt } : {}),
      because: `as you set it on ${on}`,
    };
  });

/** Guesses with a person's word over them: a role told for one column is taken from any other that was guessed to have it. */
export function withTold(guesses: readonly ColumnGuess[], told: readonly ToldColumn[]): readonly ColumnGuess[] {
  return guesses.map((guess): ColumnGuess => {
    const word = told.find((one) => one.column === guess.column);
    if (word)
      return {
        column: guess.column,
        is: word.is,
        unit: word.unit ?? unitFor(word.is, guess),
        ...(word.oxide === undefined ? {} : { oxide: word.oxide }),
        ...ofIn(word, guess),
        confirmed: true,
        because: 'as told',
      };
    const taken = guess.is !== 'unused' && told.some((one) => one.is === guess.is);
    return taken
      ? { column: guess.column, is: 'unused', unit: 'none', because: 'another column was told to be it' }
      : guess;
  });
}

/** Depth told for a column, else the one that its heading names. */
function ofIn({ of_in, is, unit }: ToldColumn, guess: ColumnGuess): { readonly of_in?: number } {
  const { depth } = readHeader(guess.column);
  const counts = countsDepth(unit ?? unitFor(is, guess));
  const found = of_in ?? (counts && depth ? Number((depth.bottom_in - depth.top_in).toFixed(4)) : undefined);
  return found === undefined ? {} : { of_in: found };
}

/** The guessed unit where it fits the role, else the one that the heading names, else the role's first. */
const unitFor = (is: ColumnRole, guess: ColumnGuess): ColumnUnit =>
  UNITS_OF[is].includes(guess.unit) && guess.unit !== 'none' ? guess.unit : unitInHeading(guess.column, is);

/** What each column is, one sentence each. */
export function columnGuesses(role: string, dataset: Dataset | null, guesses: readonly ColumnGuess[]): string[] {
  if (!dataset) return [];
  return guesses.map((guess) => {
    const unit =
      guess.unit === 'none' ? '' : ` in ${guess.unit === 'deg' ? 'degrees' : unitText(guess.unit, guess.of_in)}`;
    const as = guess.is === 'unused' ? 'is not used' : `is ${roleName(guess.is, guess.oxide)}${unit}`;
    return `${role}: column "${guess.column}" ${as} (${guess.because})${guess.doubt ? `; confirm: ${guess.doubt}` : ''}`;
  });
}
