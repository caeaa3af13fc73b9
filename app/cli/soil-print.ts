import { type Problem, problemLine } from '../../core/base/problem.ts';
import { kindOf } from '../../core/soil/listing.ts';
import { seriesText } from '../../core/soil/series.ts';
import type { InputsReport } from './reports.ts';

/** Lines of a kind that are printed before the rest becomes a count. */
const PRINTED = 12;

/** What a soil test holds beside its samples: series where there are several, differences from the lab, ids that look alike. */
export function soilLines({ series, differences, nearMisses }: NonNullable<InputsReport['soil']>): readonly string[] {
  const used = (one: (typeof series)[number]): string => (one.used ? 'in use' : 'set aside');
  return [
    ...(series.length > 1
      ? few(
          'tests',
          series.map((one) => `${seriesText(one)}: ${used(one)}`),
        )
      : []),
    ...few(
      'differs',
      differences.map(
        (one) =>
          `row ${one.row}${one.id === '' ? '' : `, ${one.id}`}: ${one.what} ${figure(one.lab)} by the lab, ${figure(one.workedOut)} worked out, ${one.unit}; ${one.cause}`,
      ),
    ),
    ...few(
      'alike',
      nearMisses.map(
        (one) =>
          `${one.from === 'lab' ? 'lab' : 'point'} "${one.id}" in row ${one.row} looks like ${one.alike.map((id) => `"${id}"`).join(', ')}`,
      ),
    ),
  ];
}

function few(what: string, texts: readonly string[]): readonly string[] {
  const lines = texts.slice(0, PRINTED).map((text, index) => `  ${(index === 0 ? what : '').padEnd(8)} ${text}`);
  return texts.length > PRINTED
    ? [...lines, `${' '.repeat(11)}and ${texts.length - PRINTED} more; --json has each`]
    : lines;
}

const figure = (value: number): string => String(Number(value.toFixed(2)));

export interface PrintedProblem {
  readonly line: string;
  readonly detail: string | undefined;
}

/**
 * A line for each problem, with a detail that is worth a terminal; rows that have the same said of them are one line with their rows. Of one
 * kind (code, column and cause) twelve lines are printed and the rest is counted: --json has each.
 */
export function alikeOnce(problems: readonly Problem[]): readonly PrintedProblem[] {
  const by = new Map<string, Problem[]>();
  for (const problem of problems) {
    const { code, severity, message, remedy, at } = problem;
    const alone = at?.row === undefined || problem.detail !== undefined;
    const key = JSON.stringify(alone ? [by.size] : [code, severity, message, remedy, at.file, at.column]);
    const group = by.get(key);
    if (group) group.push(problem);
    else by.set(key, [problem]);
  }
  const kinds = new Map<string, Problem[][]>();
  for (const group of by.values()) {
    const [first] = group;
    if (!first) continue;
    const kind = kindOf(first);
    const groups = kinds.get(kind);
    if (groups) groups.push(group);
    else kinds.set(kind, [group]);
  }
  return [...kinds.values()].flatMap((groups) => {
    const rest = groups.slice(PRINTED).reduce((sum, group) => sum + group.length, 0);
    const lines = groups.slice(0, PRINTED).flatMap(printed);
    return rest === 0
      ? lines
      : [...lines, { line: `    and ${rest} more like these; --json has each`, detail: undefined }];
  });
}

function printed(group: readonly Problem[]): readonly PrintedProblem[] {
  const [first] = group;
  if (!first) return [];
  if (group.length > 1) return [{ line: withRows(first, group), detail: undefined }];
  const rows = rowsTold(first);
  if (rows.length === 0) return [{ line: lineOf(first), detail: cut(first.detail) }];
  return [{ line: `${lineOf(first)} (rows ${rowList(rows)})`, detail: undefined }];
}

/** A long detail to its first lines. */
function cut(detail: string | undefined): string | undefined {
  const lines = detail?.split('\n') ?? [];
  return lines.length > PRINTED
    ? [...lines.slice(0, PRINTED), `and ${lines.length - PRINTED} more lines; --json has each`].join('\n')
    : detail;
}

function withRows(first: Problem, group: readonly Problem[]): string {
  const rows = group.flatMap(({ at }) => at?.row ?? []);
  const { file = '', column } = first.at ?? {};
  const where = [file, `rows ${rowList(rows)}`, ...(column === undefined ? [] : [`column ${column}`])];
  return `${first.severity}: ${first.message} [${where.filter((part) => part !== '').join(', ')}] ${remedyOf(first)}`;
}

/** Where an option does it, the place in the plan says nothing more; else it is told as what it is, a place in plan.json. */
function lineOf(problem: Problem): string {
  const remedy = remedyOf(problem);
  const { setting, ...where } = problem.at ?? {};
  if (setting === undefined) return problemLine({ ...problem, remedy });
  const at = remedy === problem.remedy ? { ...where, setting: `plan.json: ${setting}` } : where;
  return problemLine({ ...problem, remedy, at });
}

/** The remedy, and the option of start-plan that does it where there is one. */
function remedyOf({ code, remedy, at }: Problem): string {
  const option = OPTION_OF_CODE[code] ?? OPTION_OF_SETTING[at?.setting ?? ''];
  return option === undefined ? remedy : `${remedy} (start-plan ${option})`;
}

const OPTION_OF_CODE: Readonly<Record<string, string>> = {
  'soil-other-series': '--year, --depth-told',
  'soil-no-series': '--year, --depth-told',
  'soil-below-limit': '--below-limit',
  'soil-above-limit': '--above-limit',
  'soil-not-detected': '--not-detected',
  'soil-k-not-a-number': '--not-detected',
  'soil-density': '--scooped-density',
  'soil-crs-missing': '--crs',
  'crs-missing': '--crs',
  'soil-no-k-column': '--column',
  'soil-no-id-column': '--column',
  'soil-guess': '--column',
  'soil-no-places': '--points, or --column',
  'soil-no-join': '--same-id, or --column',
  'soil-acidity-form': '--acidity',
  'soil-no-cec': '--acidity',
  'soil-id-told': '--same-id',
  'soil-other-unit': '--column',
  'soil-depth': '--depth',
};
const OPTION_OF_SETTING: Readonly<Record<string, string>> = {
  'soil.sampleColumns': '--column',
  'soil.pointColumns': '--column',
  'soil.crs': '--crs',
  'soil.year': '--year',
  'soil.sampleTable': '--sheet',
  'soil.depthTold': '--depth-told',
  'soil.scooped_gPerCm3': '--scooped-density',
  'soil.sameIds': '--same-id',
  'rates.governs': '--governs',
};

/** Rows of a problem that stands for several alike, whose detail has a line for each and, at the end, the numbers of the rest. */
function rowsTold({ message, detail }: Problem): readonly number[] {
  if (!message.endsWith('more rows are alike.') || detail === undefined) return [];
  const rows = detail
    .split('\n')
    .flatMap((text) => /^rows ([\d, ]+)$/.exec(text)?.[1]?.split(', ') ?? /\brow (\d+)/.exec(text)?.[1] ?? []);
  return [...new Set(rows.map(Number))];
}

const rowList = (rows: readonly number[]): string =>
  rows.length > PRINTED ? `${rows.slice(0, PRINTED).join(', ')} and ${rows.length - PRINTED} more` : rows.join(', ');
