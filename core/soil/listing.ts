import { LISTED_PROBLEMS, note, type Problem, problemLine } from '../base/problem.ts';
import { count } from '../formats/say.ts';
import type { SoilRow } from './types.ts';

/** Rows up to which a caution on kept rows is listed row by row. */
const ROW_BY_ROW = 3;

/**
 * The rows' reasons as a list for people. Cautions of rows set aside stand one by one, at most 50 of a kind and then their count (`soil-more`).
 * Those of kept rows, and notes such as of another year, stand one by one up to three of a kind; more become one. Its detail has the first 50
 * line by line, and the numbers of all other rows. Of a kind are reasons with one code, one column and one cause (`kindOf`).
 */
export function listProblems(rows: readonly SoilRow[]): readonly Problem[] {
  const listed: Problem[] = [];
  for (const kept of [false, true]) {
    const kinds = new Map<string, Problem[]>();
    for (const row of rows)
      if (row.kept === kept)
        for (const reason of row.reasons) {
          const kind = kindOf(reason);
          const alike = kinds.get(kind);
          if (alike) alike.push(reason);
          else kinds.set(kind, [reason]);
        }
    for (const reasons of kinds.values())
      listed.push(...(kept || reasons[0]?.severity === 'note' ? together(reasons) : oneByOne(reasons)));
  }
  return listed;
}

/**
 * What is the matter, whatever the row: code, severity, file, column, and the message without its figures and quoted texts. Two cells of one
 * column with other values are of a kind; another column or another likely cause is another kind.
 */
export function kindOf({ code, severity, message, at }: Problem): string {
  const cause = message
    .replaceAll(/"[^"]*"/g, '""')
    .replaceAll(/[-\d][\d.,]*/g, '0')
    .replaceAll(/("", )+""/g, '""');
  return JSON.stringify([code, severity, at?.file, at?.column, cause]);
}

function oneByOne(reasons: readonly Problem[]): readonly Problem[] {
  const rest = reasons.slice(LISTED_PROBLEMS);
  const [first] = rest;
  if (!first) return reasons;
  const { file, column } = first.at ?? {};
  const are = rest.length === 1 ? 'is' : 'are';
  return [
    ...reasons.slice(0, LISTED_PROBLEMS),
    note(
      'soil-more',
      `${count(rest.length, 'more row')} ${are} set aside for the same reason. Of the first: ${first.message}`,
      'The table of rows shows each.',
      { ...(file === undefined ? {} : { file }), ...(column === undefined ? {} : { column }) },
      rowsLine(rest),
    ),
  ];
}

function together(reasons: readonly Problem[]): readonly Problem[] {
  const [first] = reasons;
  if (!first || reasons.length <= ROW_BY_ROW) return reasons;
  const rest = reasons.slice(LISTED_PROBLEMS);
  return [
    {
      ...first,
      message: `${first.message} ${reasons.length - 1} more rows are alike.`,
      detail: [
        ...reasons.slice(0, LISTED_PROBLEMS).map(problemLine),
        ...(rest.length > 0 ? [rowsLine(rest)] : []),
      ].join('\n'),
    },
  ];
}

/** `rows 52, 53`: numbers alone, which a few lines hold for any file. */
const rowsLine = (reasons: readonly Problem[]): string =>
  `rows ${[...new Set(reasons.flatMap(({ at }) => at?.row ?? []))].join(', ')}`;
