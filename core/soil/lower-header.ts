import { parseValue, unitOfWords } from '../base/parse-value.ts';
import { isUnit } from '../formats/csv-layout.ts';
import type { Dataset } from '../formats/types.ts';
import { isNotDetected } from './limits.ts';
import type { SoilSettings } from './settings.ts';
import type { ColumnGuess } from './types.ts';

/** Rows under the header that go on with it: units, or the methods that the values were found by. */
export interface LowerHeader {
  /** Indices of the records. */
  readonly records: ReadonlySet<number>;
  /** Unit words for each column, whether they are understood or not; empty where there are none. */
  readonly units: readonly string[];
  /** Method words for each column, empty where there are none. */
  readonly methods: readonly string[];
}

/** Most lines under the header that can belong to it: one of units, one of methods. */
const MOST_LINES = 2;

const METHOD =
  /\b(m-?[123]|mehlich[ -]?(?:3|iii|[12])|nh4oac|ammonium acetate|am ac|aa|aas|olsen|bray ?-?(?:p-?)?[12]?|morgan|modified morgan|kelowna|smp|sikora|adams[ -]evans|woodruff|moore|loi|loss on ignition|walkley[ -]black|dumas|[12]:[125]|h2o|water|cacl2|bacl2|kcl|cal|dl|edta|dtpa|hot water|saturated paste|paste|summation|sum of cations|calculated|calc\.?|estimated|icp(?:-(?:oes|aes|ms))?|oes|aes|flame|colorimetric|electrode|meter|extract(?:ion|able)?|ext\.?|method|buffer|combustion)(?![a-z0-9])/gi;
const DATE_FORM = /^[dmy]{1,4}[-/. ][dmy]{1,4}([-/. ][dmy]{1,4})?$/i;
const NEUTRAL = /^(units?|unit of measure|s\.?u\.?|none|text|number|no\.?|id|-+)?$/i;

/**
 * Lines of units and methods among the first records of a table, such as `M3 ppm` under `K` or `1:1` under `pH`; null where there are
 * none. A second line of names may stand above
 * a line of units. Such a line holds no number, and at least half of its cells after the first, and two of them, are such words; where its first cell is
 * blank, so that no sample is named, two cells of words are enough, none of them a word for "not detected".
 */
export function lowerHeader(dataset: Dataset): LowerHeader | null {
  const records = new Set<number>();
  const units = dataset.columns.map(() => '');
  const methods = dataset.columns.map(() => '');
  for (let index = 0; index < Math.min(MOST_LINES, dataset.records.length); index++) {
    const cells = cellsOf(dataset, index);
    if (!isLowerLine(cells, dataset)) {
      // A second line of names stands between the header and its units.
      const next = index === 0 && !hasNumbers(cells, dataset) ? cellsOf(dataset, 1) : null;
      if (next === null || !isLowerLine(next, dataset)) break;
      records.add(index);
      continue;
    }
    records.add(index);
    cells.forEach((cell, column) => {
      if (typeof cell !== 'string') return;
      const { unit, method, rest } = partsOf(cell);
      // Of the first column it may name the line; in any other it may be a unit that nobody here knows.
      if (unit !== '') units[column] = unit;
      else if (rest !== '' && column > 0 && !DATE_FORM.test(rest)) units[column] = rest;
      if (method !== '') methods[column] = method;
    });
  }
  return records.size === 0 ? null : { records, units, methods };
}

/** The table without the lines of units and methods under its header. */
export function withoutLowerHeader(dataset: Dataset): Dataset {
  const lower = lowerHeader(dataset);
  return lower
    ? { ...dataset, records: dataset.records.filter((_record, index) => !lower.records.has(index)) }
    : dataset;
}

const cellsOf = (dataset: Dataset, index: number): Cells =>
  (dataset.records[index]?.cells ?? []).map((cell) => (typeof cell === 'string' ? cell.trim() : cell));

const hasNumbers = (cells: Cells, dataset: Dataset): boolean =>
  cells.some((cell) => {
    const { kind } = parseValue(cell, dataset.decimal);
    return kind === 'number' || kind === 'below' || kind === 'above';
  });

type Cells = Dataset['records'][number]['cells'];

function isLowerLine(cells: Cells, dataset: Dataset): boolean {
  const rest = cells.slice(1).filter((cell) => cell !== null && cell !== '');
  if (hasNumbers(cells, dataset)) return false;
  const words = rest.filter((cell) => {
    if (typeof cell !== 'string') return false;
    const { unit, method, rest: more } = partsOf(cell);
    return more === '' && (unit !== '' || method !== '');
  });
  if (words.length >= 2 && words.length >= rest.length / 2) return true;
  const first = cells[0] ?? '';
  const isWords = (cell: (typeof cells)[number]): boolean =>
    typeof cell === 'string' && /\p{L}{2}/u.test(cell) && !isNotDetected(cell);
  return (
    (first === '' || NEUTRAL.test(String(first))) &&
    dataset.geometry === 'none' &&
    ((rest.length >= 2 && rest.every(isWords)) ||
      (rest.length === 1 && rest.every((cell) => typeof cell === 'string' && isUnit(cell))))
  );
}

/** A cell as a unit and a method; `rest` holds what is neither. */
function partsOf(cell: string): { readonly unit: string; readonly method: string; readonly rest: string } {
  const text = cell.replace(/^[([{]|[)\]}]$/g, '').trim();
  const whole = unitOfWords(text);
  if (whole !== null) return { unit: text, method: '', rest: '' };
  const methods = text.match(METHOD) ?? [];
  const left = text
    .replace(METHOD, ' ')
    .replace(/[\s,;()]+/g, ' ')
    .trim();
  if (left !== '' && unitOfWords(left) === null && isUnit(text)) return { unit: text, method: '', rest: '' };
  const unit = left !== '' && unitOfWords(left) !== null ? left : '';
  return { unit, method: methods.join(' '), rest: unit !== '' || NEUTRAL.test(left) ? '' : left };
}

/** The extraction that a table names for K, and where it does. */
export interface ToldExtractant {
  readonly extractant: SoilSettings['extractant'];
  readonly because: string;
}

/** Which extraction the K column's header, the line under it, or the title lines name; null where none is named. */
export function extractantTold(dataset: Dataset, columns: readonly ColumnGuess[]): ToldExtractant | null {
  const index = columns.findIndex((column) => column.is === 'k');
  const header = dataset.columns[index];
  if (header === undefined) return null;
  const under = lowerHeader(dataset)?.methods[index] ?? '';
  const places: readonly (readonly [string, string])[] = [
    [header, `header "${header}"`],
    [under, `"${under}" under "${header}"`],
    ...dataset.reading
      .filter((line) => line.startsWith('above the header'))
      .map((line) => [line, 'the lines above the header'] as const),
  ];
  for (const [text, because] of places) {
    const extractant = extractantOf(text);
    if (extractant !== null) return { extractant, because };
  }
  return null;
}

/** How plainly a heading's K stands for what critical levels are made on: 0 by Mehlich-3 or ammonium acetate, 1 with no extraction named, 2 by another. */
export function extractionRank(heading: string): number {
  const extractant = extractantOf(heading.replace(/_/g, ' '));
  return extractant === null ? 1 : extractant === 'other' ? 2 : 0;
}

function extractantOf(text: string): SoilSettings['extractant'] | null {
  if (/\b(m-?3|mehlich[ _-]?(3|iii))(?![a-z0-9])|\bm3_/i.test(text)) return 'Mehlich-3';
  if (/(?<![a-z0-9])(nh4oac|ammonium[ _]acetate|aa|am\.? ?ac)(?![a-z0-9])/i.test(text)) return 'ammonium acetate';
  return /(?<![a-z0-9])(olsen|bray|morgan|kelowna|mehlich[ _-]?[12]|m-?[12]|cal|dl|edta|cacl2|bacl2|h3a|haney)(?![a-z0-9])/i.test(
    text,
  )
    ? 'other'
    : null;
}
