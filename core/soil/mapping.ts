import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import type { CellValue, DataRecord, Dataset } from '../formats/types.ts';
import type { Slice } from './depth.ts';
import { guessColumns, ROLE_NAMES, UNITS_OF } from './guess.ts';
import { readHeader } from './headers.ts';
import { foreignUnit } from './how-to-tell.ts';
import type { ColumnRole, ColumnUnit, ColumnUse } from './settings.ts';
import { sheetDepth, sheetYear } from './tables.ts';
import { OXIDE_NAMES } from './units.ts';

/** One column in use. */
export interface Use {
  readonly index: number;
  readonly column: string;
  readonly unit: ColumnUnit;
  readonly oxide: boolean;
  /** Depth that lb/ac or kg/ha counts, where it was told apart from the depth sampled. */
  readonly of_in: number | null;
}
/** Which column holds what. */
export interface Mapping {
  readonly file: string;
  readonly of: ReadonlyMap<ColumnRole, Use>;
  /** Year of all its tests, as the heading of K or the name of the sheet tells it; null where neither does, or a column has the dates. */
  readonly year: number | null;
  /** Depth of all its tests, as the name of the sheet tells it; null where it tells none, or a column or the heading of K does. */
  readonly depth: Slice | null;
}

/** A role in words, with the oxide's name where the column counts it: `K as K2O`. */
export function roleName(is: ColumnRole, oxide = false): string {
  const name = ROLE_NAMES[is];
  return oxide && (is === 'k' || is === 'ca' || is === 'mg' || is === 'na') ? `${name} as ${OXIDE_NAMES[is]}` : name;
}

export const fileOf = (dataset: Dataset): string => dataset.files[0] ?? dataset.name;

function yearOf(dataset: Dataset, of: ReadonlyMap<ColumnRole, Use>): number | null {
  if (of.has('date')) return null;
  const k = of.get('k');
  return (k ? readHeader(k.column).year : undefined) ?? sheetYear(dataset);
}

function depthOf(dataset: Dataset, of: ReadonlyMap<ColumnRole, Use>): Slice | null {
  const k = of.get('k');
  return of.has('depth') || (k && readHeader(k.column).depth) ? null : sheetDepth(dataset);
}

/** The cell of a role in a record; null where no column has the role. */
export function cellOf(record: DataRecord, mapping: Mapping, role: ColumnRole): CellValue {
  const use = mapping.of.get(role);
  return use ? (record.cells[use.index] ?? null) : null;
}

/**
 * Which column of the table holds what: as told, or guessed where nothing is told. A role has one column.
 *
 * Problems: `soil-column-missing` (a told column is not in the table: stop for K, id and coordinates, else a caution), `soil-two-columns`
 * (two columns told for one role), `soil-heading-unit` (a told column whose heading names a
 * unit that none is read in, while nobody confirmed it), `soil-unit-unfit` (a unit that the quantity cannot have), `soil-guess` (a guess in doubt).
 */
export function mapColumns(
  dataset: Dataset,
  told: readonly ColumnUse[],
  joinTo: Dataset | null,
  setting: 'soil.sampleColumns' | 'soil.pointColumns',
): Result<Mapping> {
  const file = fileOf(dataset);
  const problems: Problem[] = [];
  const guesses = told.length === 0 ? guessColumns(dataset, joinTo) : [];
  for (const guess of guesses)
    if (guess.doubt !== undefined)
      problems.push(
        caution(
          'soil-guess',
          `Column "${guess.column}" was read as ${roleName(guess.is, guess.oxide)}${guess.unit === 'none' ? '' : ` in ${guess.unit}`}: ${guess.doubt}.`,
          'Confirm or change what the column is.',
          { file, column: guess.column, setting },
        ),
      );
  for (const { column, is, unit, confirmed } of told) {
    const words = is in OXIDE_NAMES && confirmed !== true ? foreignUnit(column) : null;
    if (words !== null)
      problems.push(
        caution(
          'soil-heading-unit',
          `Column "${column}" is read as ${ROLE_NAMES[is]} in ${unit}, and its heading names "${words}".`,
          'Confirm that its figures are in the unit shown, or convert them in the file.',
          { file, column, setting },
        ),
      );
  }
  const of = new Map<ColumnRole, Use>();
  for (const { column, is, unit, oxide, of_in } of told.length === 0 ? guesses : told) {
    if (is === 'unused') continue;
    const at = { file, column, setting };
    const index = dataset.columns.indexOf(column);
    const other = of.get(is);
    if (index < 0) {
      const needed = is === 'k' || is === 'sampleId' || is === 'lng' || is === 'lat';
      problems.push(
        (needed ? stop : caution)(
          'soil-column-missing',
          `There is no column "${column}" in ${file}, which should hold ${ROLE_NAMES[is]}.`,
          `Say again what each column is. The columns are: ${dataset.columns.join(', ')}.`,
          at,
        ),
      );
    } else if (other)
      problems.push(
        stop(
          'soil-two-columns',
          `Two columns are said to hold ${ROLE_NAMES[is]}: "${other.column}" and "${column}".`,
          'Set one of them to not used.',
          at,
        ),
      );
    else if (!UNITS_OF[is].includes(unit))
      problems.push(
        stop(
          'soil-unit-unfit',
          `Column "${column}" holds ${ROLE_NAMES[is]}, which has no unit "${unit}".`,
          `Choose one of: ${UNITS_OF[is].join(', ')}.`,
          at,
        ),
      );
    else of.set(is, { index, column, unit, oxide: oxide === true && is in OXIDE_NAMES, of_in: of_in ?? null });
  }
  return problems.some((problem) => problem.severity === 'stop')
    ? fail(...problems)
    : ok({ file, of, year: yearOf(dataset, of), depth: depthOf(dataset, of) }, problems);
}
