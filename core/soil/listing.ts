import { LISTED_PROBLEMS, note, type Problem, problemLine } from '../base/problem.ts';
import type { SoilRow } from './types.ts';

/** Rows up to which a caution on kept rows is listed row by row. */
const ROW_BY_ROW = 3;

/**
 * The rows' reasons as a list for people. Cautions of rows set aside stand one by one, at most 50 of a kind and then their count (`soil-more`).
 * Those of kept rows, and notes such as of another year, stand one by one up to three of a kind; more become one, with the rows in its detail.
 */
export function listProblems(rows: readonly SoilRow[]): readonly Problem[] {
  const listed: Problem[] = [];
  for (const kept of [false, true]) {
    const kinds = new Map<string, Problem[]>();
    for (const row of rows)
      if (row.kept === kept)
        for (const reason of row.reasons) {
          const kind = `${reason.code} ${reason.severity}`;
          const alike = kinds.get(kind);
          if (alike) alike.push(reason);
          else kinds.set(kind, [reason]);
        }
    for (const reasons of kinds.values())
      listed.push(...(kept || reasons[0]?.severity === 'note' ? together(reasons) : oneByOne(reasons)));
  }
  return listed;
}

function oneByOne(reasons: readonly Problem[]): readonly Problem[] {
  const rest = reasons.length - LISTED_PROBLEMS;
  const [first] = reasons;
  if (rest <= 0 || !first) return reasons;
  return [
    ...reasons.slice(0, LISTED_PROBLEMS),
    note(
      'soil-more',
      `${rest} more rows are set aside for the same reason (${first.code}).`,
      'The table of rows shows each.',
      first.at?.file === undefined ? undefined : { file: first.at.file },
    ),
  ];
}

function together(reasons: readonly Problem[]): readonly Problem[] {
  const [first] = reasons;
  if (!first || reasons.length <= ROW_BY_ROW) return reasons;
  return [
    {
      ...first,
      message: `${first.message} ${reasons.length - 1} more rows are alike.`,
      detail: reasons.slice(0, LISTED_PROBLEMS).map(problemLine).join('\n'),
    },
  ];
}
