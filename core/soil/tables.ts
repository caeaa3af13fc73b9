import { caution, type Problem, stop } from '../base/problem.ts';
import type { Dataset } from '../formats/types.ts';
import { guessColumns } from './guess.ts';
import { type HeadingDepth, headingParts } from './heading-parts.ts';
import type { SoilSettings } from './settings.ts';

type Told = Partial<Pick<SoilSettings, 'sampleTable' | 'year'>>;

/** What a table is called where a file holds several: the sheet's name, else its own. */
export const tableName = (dataset: Pick<Dataset, 'name' | 'sheet'>): string => dataset.sheet ?? dataset.name;

/** Year that a sheet's name tells, such as `Results 2022`; null where it names none, or two. */
export function sheetYear({ sheet }: Pick<Dataset, 'sheet'>): number | null {
  const years = sheet?.match(/(?<!\d)(?:19[5-9]\d|20[0-4]\d)(?!\d)/g) ?? [];
  return years.length === 1 ? Number(years[0]) : null;
}

/**
 * Depth that a sheet's name tells, such as `6-12 in` or `Fall 2022 0-20 cm`; null where it names none. Bare numbers are one only from the surface
 * down and where nothing else stands beside them: `6-12` may be a day.
 */
export function sheetDepth({ sheet }: Pick<Dataset, 'sheet'>): HeadingDepth | null {
  const { depth, rest } = headingParts((sheet ?? '').normalize('NFKD').toLowerCase().replace(/_/g, ' '));
  return depth?.unitInferred && (depth.top_in > 0 || rest !== '') ? null : depth;
}

/** Where the ground of a sheet begins, as its name tells it: 0 where it tells none. */
const sheetTop_in = (one: Dataset): number =>
  sheetDepth(one)?.top_in ?? (/subsoil|unterboden/i.test(one.sheet ?? '') ? SUBSOIL_IN : 0);
/** Where ground that is only called subsoil is taken to begin, to choose between sheets (ours). */
const SUBSOIL_IN = 6;
const sheetBottom_in = (one: Dataset): number => sheetDepth(one)?.bottom_in ?? Number.POSITIVE_INFINITY;

/** Tables with a K column; where there is none, those with one that is held back until more is told of it. */
export function labTables(datasets: readonly Dataset[]): readonly Dataset[] {
  const guesses = datasets.map((dataset) => ({ dataset, columns: guessColumns(dataset) }));
  const labs = guesses.filter(({ columns }) => columns.some(({ is }) => is === 'k'));
  const held = guesses.filter(({ columns }) => columns.some((column) => column.held === 'k'));
  return (labs.length > 0 ? labs : held).map(({ dataset }) => dataset);
}

/**
 * The table of lab values among several: the one told by name; else of those with a K column the sheets whose names tell the year wanted; else
 * all of them. Of these the ones whose names tell ground from the surface down, or no depth; of these the one with most rows, of equal ones the
 * latest by its sheet's name, then the shallowest. Null where the name told is none of them.
 */
export function pickLab(datasets: readonly Dataset[], { sampleTable, year }: Told): Dataset | null {
  if (sampleTable !== null && sampleTable !== undefined) {
    const loose = (text: string): string => text.normalize('NFKC').trim().toLowerCase();
    return (
      datasets.find((one) => tableName(one) === sampleTable) ??
      datasets.find((one) => loose(tableName(one)) === loose(sampleTable)) ??
      null
    );
  }
  const labs = labTables(datasets);
  const ofYear = year === null || year === undefined ? [] : labs.filter((one) => sheetYear(one) === year);
  const pool = ofYear.length > 0 ? ofYear : labs;
  const [best] = [...pool].sort(
    (a, b) =>
      sheetTop_in(a) - sheetTop_in(b) ||
      b.records.length - a.records.length ||
      (sheetYear(b) ?? 0) - (sheetYear(a) ?? 0) ||
      Math.sign(sheetBottom_in(a) - sheetBottom_in(b)) ||
      0,
  );
  return best ?? datasets[0] ?? null;
}

/** A stop where no table has the name told: `soil-no-table`. */
export const noTable = (datasets: readonly Dataset[], told: string): Problem =>
  stop(
    'soil-no-table',
    `No sheet or table is called "${told}".`,
    `Choose one of: ${datasets.map((one) => `"${tableName(one)}"`).join(', ')}.`,
    { ...(datasets[0]?.files[0] === undefined ? {} : { file: datasets[0].files[0] }), setting: 'soil.sampleTable' },
  );

/** Further tables of lab values in the same files, such as sheets of a workbook: `soil-other-tables`, with how to choose one. */
export function otherTables(datasets: readonly Dataset[], used: Dataset, told: string | null): readonly Problem[] {
  const others = labTables(datasets).filter((one) => one !== used);
  const [first] = others;
  if (!first || told !== null) return [];
  const names = others.map(({ name, records }) => `${name} (${records.length} rows)`).join(', ');
  return [
    caution(
      'soil-other-tables',
      `${used.name} is read (${used.records.length} rows). Lab values stand in ${names} too, and are not read.`,
      `Choose the one that is meant with --sheet "${tableName(first)}", or under Soil in the window; or put them together in one table.`,
      { file: used.files[0] ?? used.name, setting: 'soil.sampleTable' },
    ),
  ];
}
