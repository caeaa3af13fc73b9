import { caution, type Problem } from '../base/problem.ts';
import type { Dataset } from '../formats/types.ts';
import { guessColumns } from './guess.ts';
import { fileOf, roleName } from './mapping.ts';
import type { ColumnUse } from './settings.ts';
import { withUnitBeside } from './unit-beside.ts';
import { unitText } from './units.ts';

/** Whether two say the same of a column: role, unit, element or oxide, and the depth that it counts. */
export const isSameUse = (a: Omit<ColumnUse, 'column'>, b: Omit<ColumnUse, 'column'>): boolean =>
  a.is === b.is && a.unit === b.unit && (a.oxide ?? false) === (b.oxide ?? false) && a.of_in === b.of_in;

/**
 * A caution `soil-column-doubt` for each column of a plan's mapping that still stands as it was guessed with a doubt, and that nobody confirmed
 * (`ColumnUse.confirmed`). None where the plan has no mapping: `mapColumns` then says its guesses. Cost: a guess of the columns.
 */
export function standingDoubts(
  dataset: Dataset,
  told: readonly ColumnUse[],
  joinTo: Dataset | null,
  setting: 'soil.sampleColumns' | 'soil.pointColumns',
): readonly Problem[] {
  if (told.length === 0) return [];
  const uses = new Map(told.map((use) => [use.column, use]));
  return withUnitBeside(dataset, guessColumns(dataset, joinTo)).flatMap((guess) => {
    const use = uses.get(guess.column);
    if (guess.doubt === undefined || !use || use.confirmed === true || !isSameUse(guess, use)) return [];
    const unit = use.unit === 'none' || use.unit === 'deg' ? '' : ` in ${unitText(use.unit, use.of_in)}`;
    const as = use.is === 'unused' ? 'is not used' : `is read as ${roleName(use.is, use.oxide)}${unit}`;
    return [
      caution(
        'soil-column-doubt',
        `Column "${use.column}" ${as}, and nobody confirmed it: ${guess.doubt}.`,
        'Confirm it or say what it is, at the column under Soil in the window, or when the plan is started.',
        { file: fileOf(dataset), column: use.column, setting },
      ),
    ];
  });
}
