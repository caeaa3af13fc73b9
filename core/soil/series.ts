import { caution, fail, note, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { isMangled, isSameSlice, readDepth } from './depth.ts';
import { type LabDraft, setAside } from './drafts.ts';
import { readHeader } from './headers.ts';
import { looseId } from './ids.ts';
import { cellOf, type Mapping } from './mapping.ts';
import type { SoilSettings } from './settings.ts';
import type { SoilSeries } from './types.ts';
import type { RowValues } from './values.ts';

type Told = Pick<RowValues, 'slice' | 'year'>;
interface Row {
  readonly id: string;
  readonly values: Told;
}
interface Group {
  readonly year: number | null;
  /** Key of the depth; rows of one key are of one depth, or of depths that nothing tells apart. */
  readonly depth: string;
  readonly rows: readonly Row[];
  readonly top_in: number;
  readonly bottom_in: number;
}

/**
 * Sets aside the rows of a lab file that belong to another year or depth than the one in use (`soil-other-series`), and answers what
 * the file holds, latest year first and shallow before deep.
 *
 * Years are always told apart. Depths are where one starts below the surface, or where one sample id has several in one year: 0-6 and
 * 0-24 of one sample. Else rows of 6 and 8 in. are one series, each read with its own depth. In use is the year and depth that the plan
 * names, else the latest year and in it the shallowest depth. A row kept by hand stays. Stops with `soil-no-series` where the plan names a
 * year or a depth that the file does not hold.
 */
export function chooseSeries(
  rows: readonly LabDraft[],
  lab: Mapping,
  settings: SoilSettings,
): Result<readonly SoilSeries[]> {
  const groups = groupsOf(rows);
  const used = inUse(groups, settings);
  const hasDepth = lab.of.has('depth');
  const series = groups.map(
    (group): SoilSeries => ({
      year: group.year,
      depthTold: hasDepth ? toldOf(group) : null,
      depth_in: group.bottom_in - group.top_in,
      rows: group.rows.length,
      used: group === used,
    }),
  );
  const noYear = settings.year !== null && groups.every(({ year }) => year === null);
  if (used === null)
    return fail(
      stop(
        'soil-no-series',
        noYear
          ? `${lab.file} tells no year, so its tests cannot be said to be of ${settings.year}: ${lab.of.has('date') ? 'no cell of its date column tells one' : 'no column holds a date, and neither the heading of K nor the sheet names a year'}.`
          : `${lab.file} holds no tests of ${wanted(settings)}; it has ${series.map(seriesText).join('; ')}.`,
        noYear ? 'Take the year out, or say which column holds the date.' : 'Choose another year or depth under Soil.',
        { file: lab.file, setting: settings.year === null ? 'soil.depthTold' : 'soil.year' },
      ),
    );
  const groupOf = new Map<Row, Group>(groups.flatMap((one) => one.rows.map((row) => [row, one] as const)));
  for (const row of rows) {
    const group: Group = groupOf.get(row) ?? used;
    if (group === used || row.decision?.keep === true) continue;
    row.otherSeries = true;
    setAside(
      row,
      note(
        'soil-other-series',
        `The test is ${describe(group, used, hasDepth)}; those in use are ${describe(used, group, hasDepth)}.`,
        'Choose its year and depth under Soil to use it.',
        { file: row.file, row: row.record.row },
      ),
    );
  }
  return ok(series, [
    ...fewInUse(rows, groups, used, lab, settings),
    ...withoutTest(rows, groupOf, used, lab),
    ...withoutYear(rows, groupOf, used, lab),
    ...datesAsDepths(rows, lab),
    ...depthOfHeading(lab, settings),
  ]);
}

/** Says which sample ids the tests in use leave without one: those tested in another year or depth only. */
function withoutTest(
  rows: readonly LabDraft[],
  groupOf: ReadonlyMap<Row, Group>,
  used: Group,
  lab: Mapping,
): readonly Problem[] {
  const inUse = new Set(rows.filter((row) => (groupOf.get(row) ?? used) === used).map(({ id }) => id));
  const left = [...new Set(rows.filter((row) => row.otherSeries && !inUse.has(row.id)).map(({ id }) => id))];
  const named = left.filter((id) => id !== '');
  if (named.length === 0) return [];
  const of = (id: string): string =>
    `${id} (${rows
      .filter((row) => row.id === id)
      .slice(0, 2)
      .map((row) => quoted(row, lab))
      .join('; ')})`;
  const some = named.slice(0, MOST_NAMED).map(of).join(', ');
  const message = `${named.length === 1 ? 'One sample has' : `${named.length} samples have`} no test of the year and depth in use, only another: ${some}${named.length > MOST_NAMED ? ` and ${named.length - MOST_NAMED} more` : ''}.`;
  return [
    caution(
      'soil-series-without',
      message,
      'Choose the year and depth that most samples have, correct a date that is wrong, or keep single rows by hand.',
      { file: lab.file, setting: 'soil.year' },
    ),
  ];
}

const MOST_NAMED = 8;

/** A row as the file has it: its number, and what its date and depth say. */
function quoted({ record }: LabDraft, lab: Mapping): string {
  const said = (['date', 'depth'] as const).flatMap((role) => {
    if (!lab.of.has(role)) return [];
    const cell = cellOf(record, lab, role);
    return [cell === null ? `no ${role}` : `${role} "${String(cell)}"`];
  });
  return [`row ${record.row}`, ...said].join(', ');
}

function rowNumbers(rows: readonly LabDraft[]): string {
  const rest = rows.length - MOST_NAMED;
  const numbers = rows.slice(0, MOST_NAMED).map(({ record }) => record.row);
  return `${rows.length === 1 ? 'row' : 'rows'} ${numbers.join(', ')}${rest > 0 ? ` and ${rest} more` : ''}`;
}

function someRows(rows: readonly LabDraft[], lab: Mapping): string {
  const rest = rows.length - MOST_NAMED;
  const named = rows.slice(0, MOST_NAMED).map((row) => quoted(row, lab));
  return `${named.join('; ')}${rest > 0 ? `; and ${rest} more` : ''}`;
}

/** Of the rows with the commonest year, how few the latest may have before it reads like a typing slip (ours). */
const FEW = 0.1;

/** Quotes the rows of the latest year where they are few beside those of another: a year mistyped is the latest too. */
function fewInUse(
  rows: readonly LabDraft[],
  groups: readonly Group[],
  used: Group,
  lab: Mapping,
  settings: SoilSettings,
): readonly Problem[] {
  if (settings.year !== null || used.year === null) return [];
  const [most] = groups.filter(({ year }) => year !== used.year).sort((a, b) => b.rows.length - a.rows.length);
  const own = rows.filter((row) => row.values.year === used.year);
  if (!most || own.length > most.rows.length * FEW) return [];
  const other = most.year === null ? 'tell no year' : `are of ${most.year}`;
  return [
    caution(
      'soil-series-few',
      `Only ${own.length} of ${rows.length} rows ${own.length === 1 ? 'is' : 'are'} of ${used.year}, the latest year, which is in use: ${someRows(own, lab)}. ${most.rows.length} ${other}.`,
      most.year === null
        ? 'Correct the dates.'
        : `Correct the date if it is a typing slip, or choose ${most.year} with --year ${most.year}, or under Soil.`,
      { file: lab.file, setting: 'soil.year' },
    ),
  ];
}

/** Quotes the rows that tell no year where others do: a blank date or one that cannot be read. */
function withoutYear(
  rows: readonly LabDraft[],
  groupOf: ReadonlyMap<Row, Group>,
  used: Group,
  lab: Mapping,
): readonly Problem[] {
  const left = rows.filter((row) => row.values.year === null && groupOf.get(row) !== used);
  if (used.year === null || left.length === 0) return [];
  return [
    caution(
      'soil-date-missing',
      `${left.length === 1 ? '1 row tells no year and is' : `${left.length} rows tell no year and are`} not among those of ${used.year}: ${someRows(left, lab)}.`,
      'Type their dates as 2026-03-01, or keep the rows by hand.',
      { file: lab.file, ...(lab.of.has('date') ? { column: lab.of.get('date')?.column ?? '' } : {}) },
    ),
  ];
}

/** Says where the heading of K, or the name of the sheet, tells another depth than the plan holds, and no column tells it row by row. */
function depthOfHeading(lab: Mapping, settings: SoilSettings): readonly Problem[] {
  const column = lab.of.get('k')?.column;
  const heading = column === undefined ? undefined : readHeader(column).depth;
  const depth = heading ?? lab.depth;
  if (!depth || lab.of.has('depth') || Math.abs(depth.bottom_in - depth.top_in - settings.depth_in) < 0.1) return [];
  return [
    caution(
      'soil-depth-heading',
      `${heading ? `The heading "${column}"` : 'The name of the sheet'} names ${depth.told}, and the depth sampled is set to ${settings.depth_in} in., by which pounds an acre are counted.`,
      `Set the depth sampled to what the samples were taken to${depth.top_in > 0.05 ? '; it is ground below the surface' : ''}.`,
      { file: lab.file, ...(column === undefined ? {} : { column }), setting: 'soil.depth_in' },
    ),
  ];
}

/** Quotes the depths that a spreadsheet turned into dates, and what they are taken for. */
function datesAsDepths(rows: readonly LabDraft[], lab: Mapping): readonly Problem[] {
  const mangled = rows.filter(({ record }) => isMangled(cellOf(record, lab, 'depth')));
  const [first] = mangled;
  if (!first) return [];
  const column = lab.of.get('depth')?.column ?? '';
  return [
    caution(
      'soil-depth-date',
      `"${column}" holds dates in ${mangled.length === 1 ? '1 row' : `${mangled.length} rows`}, as a spreadsheet makes of depths: "${String(cellOf(first.record, lab, 'depth'))}" is taken as ${first.values.slice.told} (${rowNumbers(mangled)}).`,
      'Check it against the lab’s report; format the column as text before typing depths.',
      { file: lab.file, column },
    ),
  ];
}

/** A series in words: `2024, 0-6 in, 60 rows`. */
export function seriesText({ year, depthTold, rows }: SoilSeries): string {
  const parts = [...(year === null ? [] : [String(year)]), ...(depthTold === null ? [] : [depthTold])];
  return [...(parts.length === 0 ? ['no year told'] : parts), `${rows} ${rows === 1 ? 'row' : 'rows'}`].join(', ');
}

function groupsOf(rows: readonly Row[]): readonly Group[] {
  const split = depthsApart(rows);
  const by = new Map<string, { year: number | null; depth: string; rows: Row[] }>();
  for (const row of rows) {
    const { slice, year } = row.values;
    const depth = split || slice.top_in > 0.05 ? `${slice.top_in.toFixed(1)}-${slice.bottom_in.toFixed(1)}` : 'surface';
    const key = `${year} ${depth}`;
    const group = by.get(key);
    if (group) group.rows.push(row);
    else by.set(key, { year, depth, rows: [row] });
  }
  const groups = [...by.values()].map((group): Group => {
    const slices = group.rows.map((row) => row.values.slice);
    return {
      ...group,
      top_in: slices.reduce((least, one) => Math.min(least, one.top_in), Number.POSITIVE_INFINITY),
      bottom_in: commonest(slices.map((one) => one.bottom_in)),
    };
  });
  return groups.sort((a, b) => (b.year ?? 0) - (a.year ?? 0) || a.top_in - b.top_in || a.bottom_in - b.bottom_in);
}

/** Whether some sample has several depths from the surface in one year. */
function depthsApart(rows: readonly Row[]): boolean {
  const first = new Map<string, Told['slice']>();
  for (const { id, values } of rows) {
    if (id === '' || values.slice.top_in > 0.05) continue;
    const key = `${values.year} ${looseId(id)}`;
    const slice = first.get(key);
    if (slice === undefined) first.set(key, values.slice);
    else if (!isSameSlice(slice, values.slice)) return true;
  }
  return false;
}

function inUse(groups: readonly Group[], settings: SoilSettings): Group | null {
  const ofDepth = groups.filter((group) => settings.depthTold === null || isDepth(group, settings.depthTold));
  const year = settings.year ?? ofDepth[0]?.year ?? null;
  return ofDepth.find((group) => group.year === year) ?? null;
}

function isDepth(group: Group, told: string): boolean {
  const plain = told.trim().toLowerCase();
  const wanted = readDepth(told, '.', 'in');
  return (
    toldOf(group).toLowerCase() === plain ||
    group.rows.some(({ values }) => values.slice.told.toLowerCase() === plain) ||
    (wanted !== null && group.rows.some(({ values }) => isSameSlice(values.slice, wanted)))
  );
}

/** Depths of a group as told, the commonest first; three are named. */
function toldOf(group: Group): string {
  const counts = new Map<string, number>();
  for (const { values } of group.rows) counts.set(values.slice.told, (counts.get(values.slice.told) ?? 0) + 1);
  const told = [...counts].sort((a, b) => b[1] - a[1]).map(([text]) => text);
  return told.length > 3 ? `${told.slice(0, 3).join(', ')} and others` : told.join(', ');
}

function commonest(values: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1] || a[0] - b[0])[0]?.[0] ?? Number.NaN;
}

/** What sets a group apart from another, in words. */
function describe(group: Group, other: Group, hasDepth: boolean): string {
  const parts = [
    ...(group.year === other.year ? [] : [group.year === null ? 'of no year told' : `of ${group.year}`]),
    ...(group.depth === other.depth || !hasDepth ? [] : [`from ${toldOf(group)}`]),
  ];
  return parts.join(' ');
}

const wanted = ({ year, depthTold }: SoilSettings): string =>
  [...(year === null ? [] : [String(year)]), ...(depthTold === null ? [] : [`from ${depthTold}`])].join(' ');
