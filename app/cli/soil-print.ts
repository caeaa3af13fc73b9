import { type Problem, problemLine } from '../../core/base/problem.ts';
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
  return texts.length > PRINTED ? [...lines, `${' '.repeat(11)}and ${texts.length - PRINTED} more`] : lines;
}

const figure = (value: number): string => String(Number(value.toFixed(2)));

/** A line for each problem, with a detail that is worth a terminal; rows that have the same said of them are one line with their rows. */
export function alikeOnce(
  problems: readonly Problem[],
): readonly { readonly line: string; readonly detail: string | undefined }[] {
  const by = new Map<string, Problem[]>();
  for (const problem of problems) {
    const { code, severity, message, remedy, at } = problem;
    const alone = at?.row === undefined || problem.detail !== undefined;
    const key = JSON.stringify(alone ? [by.size] : [code, severity, message, remedy, at.file, at.column]);
    const group = by.get(key);
    if (group) group.push(problem);
    else by.set(key, [problem]);
  }
  return [...by.values()].flatMap((group) => {
    const [first] = group;
    if (!first) return [];
    if (group.length > 1) return [{ line: withRows(first, group), detail: undefined }];
    const rows = rowsTold(first);
    if (rows.length === 0) return [{ line: problemLine(first), detail: first.detail }];
    return [{ line: `${problemLine(first)} (rows ${rowList(rows)})`, detail: undefined }];
  });
}

function withRows(first: Problem, group: readonly Problem[]): string {
  const rows = group.flatMap(({ at }) => at?.row ?? []);
  const { file = '', column } = first.at ?? {};
  const where = [file, `rows ${rowList(rows)}`, ...(column === undefined ? [] : [`column ${column}`])];
  return `${first.severity}: ${first.message} [${where.filter((part) => part !== '').join(', ')}] ${first.remedy}`;
}

/** Rows of a problem that stands for several alike, whose detail has a line for each. */
function rowsTold({ message, detail }: Problem): readonly number[] {
  if (!message.endsWith('more rows are alike.') || detail === undefined) return [];
  return detail.split('\n').flatMap((text) => Number(/\brow (\d+)/.exec(text)?.[1] ?? Number.NaN) || []);
}

const rowList = (rows: readonly number[]): string =>
  rows.length > PRINTED ? `${rows.slice(0, PRINTED).join(', ')} and ${rows.length - PRINTED} more` : rows.join(', ');
