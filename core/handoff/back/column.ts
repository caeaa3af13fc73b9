import { type ParsedValue, parseValue } from '../../base/parse-value.ts';
import { fail, note, ok, type Problem, type Result, stop } from '../../base/problem.ts';
import type { CellValue, Dataset } from '../../formats/types.ts';
import type { RateCandidate, RateUnit } from './types.ts';

/** No dry or liquid product is spread at more, in either unit: what stands above is no rate. Ours. */
export const MOST_RATE = 100_000;

/** Our own first rate, in a table and in GeoJSON. */
const OUR_RATE = 'RATE';

/** A cell of the rate column: its figure, and the unit that the cell itself names. */
export interface RateCell {
  readonly kind: ParsedValue['kind'];
  /** NaN unless `kind` is number. */
  readonly value: number;
  readonly unit: RateUnit | null;
}

const KG_PER_HA = /^(.*\d)\s*kg\s*(?:\/|per)?\s*ha\.?$/i;

/** What one cell says about a rate: `120.5`, `"120.5"`, `200 lb/ac`, `224 kg/ha`, blank, or no figure. */
export function rateCell(cell: CellValue, decimal: Dataset['decimal']): RateCell {
  const metric = typeof cell === 'string' ? KG_PER_HA.exec(cell.trim())?.[1] : undefined;
  const parsed = parseValue(metric ?? cell, decimal);
  if (parsed.kind !== 'number') return { kind: parsed.kind, value: Number.NaN, unit: null };
  if (parsed.unit !== undefined && parsed.unit !== 'lb/ac') return { kind: 'text', value: Number.NaN, unit: null };
  return { kind: 'number', value: parsed.value, unit: metric === undefined ? (parsed.unit ?? null) : 'kg/ha' };
}

/** `TgtRate_kg/ha` as ` tgt rate kg ha `. */
export const wordsOf = (name: string): string =>
  ` ${name
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .replace(/([A-Za-z])(\d)/g, '$1 $2')
    .replace(/[^A-Za-z0-9]+/g, ' ')
    .trim()
    .toLowerCase()} `;

/** What a column of figures beside a rate is called: areas, numbers, places, soil, money. */
const NOT_RATES =
  / (acres?|area|ac|ha|hectares?|sq ?(m|ft|km)|m 2|perimeter|len|length|shape leng?(th)?|shape area|id|fid|oid|objectid|gid|no|nr|num|number|index|count|zone|class|lng|lon|long|longitude|lat|latitude|x|y|z|elev|elevation|slope|heading|speed|width|swath|year|date|time|price|cost|k ppm|ppm|pct|percent|cec|meq|ph|om|yield) /;
const RATES = / (rates?|rt|dose|doses|dosage|rx) | \w*(rate|dose|dosage) /;
const UNITS = / (lbs?|kg|pounds?) (per )?(ac|acre|ha|a|hectare) | (lbsac|lbac|lbsacre|lbacre|kgha|lbs|pounds?|kg|lb) /;
const APPLIED =
  / (app|appl|apply|applied|application|applicatio|prescribed|prescription|target|tgt|amount|amt|qty|quantity|setpoint) /;

function rankOf(name: string): RateCandidate['rank'] | null {
  const words = wordsOf(name);
  // K2O is what a product carries: its rate is no rate of the product. A total is no rate either.
  const other = /\b(k ?2 ?o|p ?2 ?o ?5?)\b/.test(words) || / (totals?|sum) /.test(words);
  if (!other && RATES.test(words)) return 3;
  if (!other && (UNITS.test(words) || APPLIED.test(words))) return 2;
  if (NOT_RATES.test(words) || / (totals?|sum) /.test(words)) return null;
  return 1;
}

/**
 * Columns that may hold the rate, best first: those whose name says rate, then those that name a unit per area or an
 * application, then all other columns of figures. At least half of a column's filled cells must be figures of 0 to
 * 100,000 and one of them above 0; areas, numbers, places, soil tests and money are left out by their names, and so is a
 * column without a rate in its name that only counts its records. Within a rank: most figures first, then file order.
 */
export function rateCandidates({ columns, records, decimal }: Dataset): RateCandidate[] {
  const found = columns.flatMap((column, index): RateCandidate[] => {
    const rank = rankOf(column);
    if (rank === null) return [];
    let filled = 0;
    let figures = 0;
    let least = Number.POSITIVE_INFINITY;
    let most = Number.NEGATIVE_INFINITY;
    let counts = records.length > 2;
    for (const [at, record] of records.entries()) {
      const { kind, value } = rateCell(record.cells[index] ?? null, decimal);
      if (kind !== 'blank') filled++;
      if (value !== at && value !== at + 1) counts = false;
      if (kind !== 'number' || value < 0 || value > MOST_RATE) continue;
      figures++;
      least = Math.min(least, value);
      most = Math.max(most, value);
    }
    if (figures === 0 || figures * 2 < filled || (most === 0 && rank < 3) || (counts && rank < 3)) return [];
    return [{ column, least, most, records: figures, rank }];
  });
  return found.sort((a, b) => b.rank - a.rank || b.records - a.records);
}

const spoken = ({ column, least, most }: RateCandidate): string =>
  `${column} (${least === most ? least : `${least} to ${most}`})`;

/**
 * The column that holds the rate: the one that was told; else our own RATE; else the only one of the best rank, with a
 * note of the others. Never one of several that fit alike.
 * Problems: `back-column-unknown` (told, and not in the file), `back-rate-none`, `back-rate-which`; note `back-rate-taken`.
 */
export function chooseColumn(
  dataset: Dataset,
  candidates: readonly RateCandidate[],
  told: string | undefined,
  file: string,
): Result<string> {
  const { columns } = dataset;
  if (told !== undefined) {
    const same = columns.find((one) => one === told) ?? columns.find((one) => one.toLowerCase() === told.toLowerCase());
    if (same !== undefined) return ok(same);
    return fail(
      stop(
        'back-column-unknown',
        `${file} has no column ${told}.`,
        columns.length > 0 ? `Choose one of ${columns.slice(0, 20).join(', ')}.` : 'Choose another file.',
        { file, column: told },
      ),
    );
  }
  const ours = candidates.find(({ column }) => column === OUR_RATE || column === OUR_RATE.toLowerCase());
  const [first] = candidates;
  if (!first) {
    return fail(
      stop(
        'back-rate-none',
        `${file} has no column that could be a rate.`,
        columns.length > 0
          ? `Export it with a column of rates in figures; its columns are ${columns.slice(0, 20).join(', ')}.`
          : 'Export it with a column of rates: its records have no columns at all.',
        { file },
      ),
    );
  }
  const alike = candidates.filter(({ rank }) => rank === first.rank);
  if (!ours && alike.length > 1) {
    return fail(
      stop(
        'back-rate-which',
        `${file} has several columns that could be the rate: ${alike.map(spoken).join(', ')}.`,
        'Say which of them is to be spread.',
        { file },
      ),
    );
  }
  const taken = ours ?? first;
  return ok(taken.column, othersNote(taken, candidates, file));
}

function othersNote(taken: RateCandidate, candidates: readonly RateCandidate[], file: string): Problem[] {
  const others = candidates.filter((one) => one !== taken && one.rank > 1);
  if (others.length === 0 && taken.rank > 1) return [];
  const message =
    others.length > 0
      ? `The rate is read from ${taken.column}; ${others.map(spoken).join(', ')} could be rates too.`
      : `The rate is read from ${taken.column}, the only column of ${file} that could be one.`;
  return [
    note('back-rate-taken', message, 'Choose another column if that is not the rate.', { file, column: taken.column }),
  ];
}
