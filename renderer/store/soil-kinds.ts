import type { Problem, Severity } from '../../core/base/problem.ts';
import type { NearMiss, SoilRow } from '../../core/soil/types.ts';

/** Rows of which one thing is said. */
export interface SoilKind {
  readonly code: string;
  readonly severity: Severity;
  /** What is the matter, in a few words. */
  readonly says: string;
  readonly rows: readonly SoilRow[];
  /** Of the first row, as an example of all. */
  readonly example: Problem;
}

const WORDS: Readonly<Record<string, string>> = {
  'soil-repeat': 'the same row again',
  'soil-depth-in-id': 'the depth stands in the id',
  'soil-earlier-date': 'an earlier test of the same year',
  'soil-duplicate': 'one id with different values',
  'soil-k-missing': 'K is missing',
  'soil-k-not-a-number': 'K is no number',
  'soil-not-a-number': 'a value is no number',
  'soil-not-detected': 'told as not detected',
  'soil-below-limit': 'told only as below a limit',
  'soil-above-limit': 'told only as above a limit',
  'soil-other-unit': 'another unit in the cell',
  'soil-out-of-bounds': 'more or less than soil can hold',
  'soil-unusual': 'an unusual value',
  'soil-zero': '0 where nothing was measured',
  'soil-density': 'mg/L without a density',
  'soil-density-odd': 'a density that no soil has',
  'soil-depth': 'a depth that cannot be read',
  'soil-depth-date': 'a depth that a spreadsheet made a date of',
  'soil-date': 'a date that cannot be read',
  'soil-date-missing': 'no date',
  'soil-other-series': 'of another year or depth',
  'soil-outside': 'outside the field',
  'soil-no-place': 'no place',
  'soil-no-id': 'no sample id',
  'soil-no-point': 'no point with the sample id',
  'soil-point-no-id': 'a point without a sample id',
  'soil-point-twice': 'one id on two points',
  'soil-point-unused': 'a point without a lab row',
  'soil-point-among-zones': 'a point among zones',
  'soil-same-place': 'several rows at one place',
  'soil-id-loosely': 'ids written differently, joined',
  'soil-id-told': 'ids joined by your word',
  'soil-id-twice': 'one id at two places',
  'soil-by-hand': 'by hand',
  'soil-kept-by-hand': 'kept by hand',
  'soil-no-cec': 'CEC not known',
  'soil-bases-exceed-cec': 'bases above the stated CEC',
  'soil-cations-not-cec': 'cations that do not sum to the CEC',
  'soil-calcareous': 'limy ground',
  'soil-acidity-not-counted': 'no buffer pH, so no acidity',
  'soil-acidity-form': 'acidity beyond its form’s reach',
  'soil-summary-row': 'a summary or check of the lab, no sample',
  'soil-swapped': 'values that look swapped',
};

const wordsOf = (code: string): string => WORDS[code] ?? code.replace(/^soil-/, '').replaceAll('-', ' ');

/** The reason that decided: what was found last, after which nothing more is asked of the row. */
export const decisive = (row: SoilRow): Problem | undefined => row.reasons.at(-1);

/**
 * Why rows were set aside, each row counted once by what decided, most rows first: the counts add up to `soil.setAside`.
 * Rows of another year or depth come last, since nothing is the matter with them.
 */
export function asideKinds(rows: readonly SoilRow[]): readonly SoilKind[] {
  const found = gather(rows.flatMap((row) => pair(row, row.kept ? undefined : decisive(row))));
  return [...found].sort((a, b) => last(a) - last(b) || b.rows.length - a.rows.length);
}
const last = (kind: SoilKind): number => (kind.code === 'soil-other-series' ? 1 : 0);

/** Told figure by figure in a list of their own: `SoilOut.differences`. */
const IN_DIFFERENCES = new Set(['soil-saturation-differs', 'soil-saturation-sum']);

/** What to watch in rows that are kept; a row may stand under several. Graver ones first, then most rows. */
export function keptKinds(rows: readonly SoilRow[]): readonly SoilKind[] {
  const kept = rows.filter((row) => row.kept);
  const found = gather(
    kept.flatMap((row) =>
      row.reasons.filter(({ code }) => !IN_DIFFERENCES.has(code)).flatMap((reason) => pair(row, reason)),
    ),
  );
  return [...found].sort((a, b) => ORDER[a.severity] - ORDER[b.severity] || b.rows.length - a.rows.length);
}
const ORDER = { stop: 0, caution: 1, note: 2 } as const;

type Pair = readonly [SoilRow, Problem];
const pair = (row: SoilRow, reason: Problem | undefined): readonly Pair[] => (reason ? [[row, reason]] : []);

function gather(pairs: readonly Pair[]): readonly SoilKind[] {
  const kinds = new Map<string, { severity: Severity; example: Problem; rows: Set<SoilRow> }>();
  for (const [row, reason] of pairs) {
    const key = `${reason.severity} ${reason.code}`;
    const kind = kinds.get(key);
    if (kind) kind.rows.add(row);
    else kinds.set(key, { severity: reason.severity, example: reason, rows: new Set([row]) });
  }
  return [...kinds.values()].map(({ severity, example, rows }) => ({
    code: example.code,
    severity,
    says: wordsOf(example.code),
    rows: [...rows],
    example,
  }));
}

/** Problems of the table as a whole, not of single rows; those told beside a column or a list of their own are left out. */
export function wholeProblems(problems: readonly Problem[]): readonly Problem[] {
  return problems.filter(
    ({ code, at }) => at?.row === undefined && !['soil-guess', 'soil-column-doubt', 'soil-more'].includes(code),
  );
}

/** Whether a row is of a series that is not in use. */
export const isOtherSeries = (row: SoilRow): boolean => !row.kept && decisive(row)?.code === 'soil-other-series';

/** Ids that look alike, each pair once: a point whose look-alike row is listed needs no line of its own. */
export function eachOnce(misses: readonly NearMiss[]): readonly NearMiss[] {
  const lab = misses.filter((miss) => miss.from === 'lab');
  const offered = new Set(lab.flatMap((miss) => miss.alike));
  return [...lab, ...misses.filter((miss) => miss.from === 'points' && !offered.has(miss.id))];
}
