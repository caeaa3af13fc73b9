import { caution, fail, ok, type Result, stop } from '../../base/problem.ts';
import { decodeGuessed } from '../../base/text.ts';
import type { Dataset, NamedBytes } from '../../formats/types.ts';
import { unzipFiles } from '../../formats/zip.ts';
import { rateCell, wordsOf } from './column.ts';
import type { RateUnit } from './types.ts';

const METRIC = / (kgs?|kilograms?|kilos?) ?(per )?(ha|hectare|hectares) | kgs?ha /;
const US = / (lbs?|pounds?) ?(per )?(ac|acre|acres|a) | lbs?ac(re)? /;

/** The unit that some words name; null for none or for both. */
export function unitIn(words: string): RateUnit | null {
  const text = wordsOf(words);
  const [metric, us] = [METRIC.test(text), US.test(text)];
  return metric === us ? null : metric ? 'kg/ha' : 'lb/ac';
}

const UNIT_COLUMN = /^ (rate )?(units?|uom)( of (the )?rate)? | rate units? /;
const TEXT_FILE = /\.(txt|md)$/i;
const MOST_TEXT_BYTES = 200_000;

export interface UnitFound {
  readonly unit: RateUnit;
  /** In words: `column UNIT`. */
  readonly from: string;
}

/**
 * The unit of the rate column: as told; else by the file's own unit column; the cells of the rate; the name of the rate
 * column; the file's name; a text file beside it. Null is never taken for lb/ac.
 * Problems: `back-unit-mixed` (records in both), `back-unit-unknown`; caution `back-unit-told` (told against the file's own).
 */
export function findUnit(
  dataset: Dataset,
  column: string,
  told: RateUnit | undefined,
  files: readonly NamedBytes[],
  file: string,
): Result<UnitFound> {
  const own = unitOfFile(dataset, column, files);
  if (told !== undefined) {
    const against = own !== null && own !== 'mixed' && own.unit !== told ? own : null;
    return ok(
      { unit: told, from: 'as told' },
      against
        ? [
            caution(
              'back-unit-told',
              `${file} says ${against.unit} by ${against.from}; ${told} is taken, as told.`,
              'Take the told unit back if the file is right.',
              { file },
            ),
          ]
        : [],
    );
  }
  if (own === 'mixed') {
    return fail(
      stop(
        'back-unit-mixed',
        `${file} has some rates in lb/ac and others in kg/ha.`,
        'Export it with one unit, or say which unit all of them are in.',
        { file },
      ),
    );
  }
  if (own) return ok(own);
  return fail(
    stop(
      'back-unit-unknown',
      `${file} does not say whether ${column} is in lb/ac or kg/ha.`,
      'Say which: nothing is taken for granted, since one is 12 % more than the other.',
      { file, column },
    ),
  );
}

/** What the file itself says of its unit. */
export function unitOfFile(dataset: Dataset, column: string, files: readonly NamedBytes[]): UnitFound | 'mixed' | null {
  const { columns, records, decimal } = dataset;
  for (const [index, name] of columns.entries()) {
    if (!UNIT_COLUMN.test(wordsOf(name))) continue;
    const units = new Set(
      records.map((record) => unitIn(String(record.cells[index] ?? ''))).filter((unit) => unit !== null),
    );
    const [first] = units;
    if (units.size > 1) return 'mixed';
    if (first) return { unit: first, from: `column ${name}` };
  }
  const at = columns.indexOf(column);
  const inCells = new Set(
    records.map((record) => rateCell(record.cells[at] ?? null, decimal).unit).filter((unit) => unit !== null),
  );
  const [cell] = inCells;
  if (inCells.size > 1) return 'mixed';
  if (cell) return { unit: cell, from: `the figures of ${column}` };
  const byName = unitIn(column);
  if (byName) return { unit: byName, from: `the name of ${column}` };
  const byFile = unitIn(dataset.name);
  if (byFile) return { unit: byFile, from: "the file's name" };
  for (const { name, bytes } of textsBeside(files)) {
    const unit = unitIn(decodeGuessed(bytes).text);
    if (unit) return { unit, from: name };
  }
  return null;
}

function textsBeside(files: readonly NamedBytes[]): NamedBytes[] {
  const all = files.flatMap((file) => {
    if (!/\.zip$/i.test(file.name)) return [file];
    const inside = unzipFiles(file.bytes, file.name);
    return inside.ok ? inside.value : [];
  });
  return all.filter(({ name, bytes }) => TEXT_FILE.test(name) && bytes.length <= MOST_TEXT_BYTES);
}
