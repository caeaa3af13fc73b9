import { unitOfWords } from '../base/parse-value.ts';
import { caution, type Problem } from '../base/problem.ts';
import type { Dataset } from '../formats/types.ts';
import { UNITS_OF } from './guess.ts';
import { readHeader } from './headers.ts';
import { plainUnits } from './heading-units.ts';
import { lowerHeader } from './lower-header.ts';
import { fileOf } from './mapping.ts';
import type { ColumnRole, ColumnUnit, ColumnUse } from './settings.ts';
import { spreadOf } from './spread.ts';
import type { ColumnGuess } from './types.ts';
import { type BaseCation, countsCharge, countsDepth, OXIDE_NAMES, sameAs } from './units.ts';

/** A line beside the table, such as a title or a footnote, that tells a unit. */
export interface UnitLine {
  readonly line: string;
  readonly unit: ColumnUnit;
  readonly oxide: boolean;
  /** The columns it speaks of; all cations where it speaks of the results as a whole. */
  readonly of: ReadonlySet<BaseCation>;
}

const NAMES: readonly (readonly [BaseCation, RegExp])[] = [
  ['k', /\b(?:k|k2o|potassium|potash|kalium)\b/],
  ['ca', /\b(?:ca|cao|calcium)\b/],
  ['mg', /\b(?:mg|mgo|magnesium)\b(?! ?(?:\/|per\b|l\b|kg\b))/],
  ['na', /\b(?:na|na2o|sodium|natrium)\b/],
];
const ALL: ReadonlySet<BaseCation> = new Set(NAMES.map(([cation]) => cation));
const GENERAL =
  /\b(?:all|nutrients?|results?|values?|elements?|cations?|bases|units?|analys[ei]s|soil tests?|test levels?|figures|concentrations?|ergebnisse|angaben|werte|resultats|resultados)\b/;
/** Lines on what is grown, spread or reckoned tell no unit of the test. */
const OTHER =
  /[=\u2248]|\b(?:yield|goal|rates?|recommend\w*|apply|applied|application|fertili[sz]er|lime|limestone|removal|crop|n|nitrate)\b/;
const UNIT =
  /ppm\b|parts per million|(?:mg|g|[u\u00b5\u03bc]g) ?(?:\/|per) ?(?:kg|100 ?g|l\b|dm3|g\b)|(?:lbs?\.?|pounds?|#) ?(?:\/|per|an) ?(?:acres?|ac|a)\b|(?:kgs?|kilos?) ?(?:\/|per) ?(?:ha|hectares?)\b|(?:m\.?eq?\.?|mval) ?(?:\/|per) ?(?:100 ?g|kg)|c ?molc? ?(?:\/|per) ?kg|m ?molc? ?(?:\/|per) ?kg/;

/** Titles above the table and notes below it, as the reader tells them, and rows of one cell of text. */
function linesBeside(dataset: Dataset): readonly string[] {
  const told = dataset.reading
    .filter((line) => /^(?:above the header|below the table)/.test(line))
    .flatMap((line) => [...line.matchAll(/"([^"]+)"/g)].map(([, text = '']) => text));
  const alone = dataset.records.flatMap(({ cells }) => {
    const [only, ...more] = cells.filter((cell) => cell !== null && cell !== '');
    return more.length === 0 && typeof only === 'string' && cells.length > 1 ? [only] : [];
  });
  return [...told, ...alone];
}

/** Units that lines beside a table tell of its cations, such as `K in lb/acre` or `Results in mg K2O/100 g`. */
export function unitLines(dataset: Dataset): readonly UnitLine[] {
  return linesBeside(dataset).flatMap((line) => {
    let before = '';
    return line
      .toLowerCase()
      .split(/\. |[;,]/)
      .flatMap((part): readonly UnitLine[] => {
        const text = plainUnits(`${before} ${part}`.trim());
        const words = UNIT.exec(text)?.[0];
        before = words === undefined ? text : '';
        const unit = words === undefined ? null : unitOfWords(words.replace(/\ban\b/, 'per'));
        if (unit === null || OTHER.test(text) || !(UNITS_OF.k as readonly string[]).includes(unit)) return [];
        const rest = text.replace(words ?? '', ' ');
        const named = NAMES.filter(([, name]) => name.test(rest)).map(([cation]) => cation);
        const bare = rest.replace(/[^a-z0-9]/g, '') === '';
        const of = named.length > 0 && !/\ball\b/.test(rest) ? new Set(named) : GENERAL.test(rest) || bare ? ALL : null;
        const oxide = /\b(?:k2o|cao|mgo|na2o)\b/.test(text);
        return of === null ? [] : [{ line, unit: unit as ColumnUnit, oxide, of }]; // among the units of K
      });
  });
}

const isCation = (is: ColumnRole): is is BaseCation => is in OXIDE_NAMES;
const lineOn = (lines: readonly UnitLine[], is: ColumnRole): UnitLine | undefined =>
  isCation(is) ? lines.find((one) => one.of.has(is)) : undefined;
const isTold = ({ unit, oxide }: UnitLine, use: ColumnUse): boolean =>
  sameAs(use.unit) === sameAs(unit) && (countsCharge(unit) || oxide === (use.oxide ?? false));

/**
 * The guesses, where a line beside the table tells a unit: a cation whose heading and cells tell none has that of the line where it is the one
 * assumed, and is else held back until a person tells it. Nobody may guess between the two.
 */
export function withUnitBeside(dataset: Dataset, guesses: readonly ColumnGuess[]): readonly ColumnGuess[] {
  const lines = unitLines(dataset);
  if (lines.length === 0) return guesses;
  const under = lowerHeader(dataset)?.units;
  return guesses.map((guess, index): ColumnGuess => {
    const role = guess.held ?? guess.is;
    const line = lineOn(lines, role);
    if (!line) return guess;
    const words = under?.[index] ?? '';
    const header = readHeader(words === '' ? guess.column : `${guess.column} (${words})`);
    if (header.unit !== null || spreadOf(dataset, index).unit !== null) return guess;
    if (guess.held !== undefined)
      return { ...guess, doubt: `${guess.doubt ?? 'its unit is not told'}; beside the table stands "${line.line}"` };
    if (isTold(line, guess)) {
      const doubts = guess.doubt?.split('; ').filter((one) => !one.startsWith('the unit is not told')) ?? [];
      const { doubt: _, ...plain } = guess;
      return {
        ...plain,
        because: `${guess.because}; beside the table stands "${line.line}"`,
        ...(doubts.length === 0 ? {} : { doubt: doubts.join('; ') }),
      };
    }
    return {
      column: guess.column,
      is: 'unused',
      unit: 'none',
      because: guess.because,
      held: role,
      doubt: `its heading tells no unit, and beside the table stands "${line.line}": left unused until its unit is told`,
    };
  });
}

/** How to tell the units of columns that a line beside the table holds back, K first; null where it holds none. */
export function howToTellBeside(dataset: Dataset, guesses: readonly ColumnGuess[]): string | null {
  const lines = unitLines(dataset);
  const options = guesses
    .flatMap(({ column, held }) => {
      const line = held === undefined ? undefined : lineOn(lines, held);
      if (held === undefined || !line || !isCation(held)) return [];
      const what = line.oxide ? OXIDE_NAMES[held].toLowerCase() : held;
      const at = line.unit === 'kg/ha' ? '@8' : '';
      return [{ isK: held === 'k', text: `--column "${column}=${what}:${line.unit.replace('100 g', '100g')}${at}"` }];
    })
    .sort((a, b) => Number(b.isK) - Number(a.isK));
  if (!options.some(({ isK }) => isK)) return null;
  const depth = lines.some(({ unit }) => countsDepth(unit))
    ? ' A figure over the ground counts the depth sampled unless told, as in lb/ac@8.'
    : '';
  return `If that is their unit, say it with ${options.map(({ text }) => text).join(' ')}; in the window, at the headings of the table.${depth}`;
}

/** A caution `soil-unit-beside` for each cation in use whose unit is not the one that a line beside the table tells, unless a person told it. */
export function unitsBeside(dataset: Dataset, uses: readonly ColumnUse[]): readonly Problem[] {
  const lines = unitLines(dataset);
  return uses.flatMap((use) => {
    const line = lineOn(lines, use.is);
    if (!line || use.confirmed === true || isTold(line, use)) return [];
    return [
      caution(
        'soil-unit-beside',
        `Column "${use.column}" is read in ${use.unit}${use.oxide ? ' as its oxide' : ''}, and beside the table stands "${line.line}".`,
        'Ask the lab which holds, and say the unit of the column.',
        { file: fileOf(dataset), column: use.column, setting: 'soil.sampleColumns' },
      ),
    ];
  });
}
