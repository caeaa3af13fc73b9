import { xmlHoldable } from '../../formats/xml-write.ts';

/** Longest designator of the standard's schemas. */
export const MOST_NAME = 32;

/**
 * A text of at most `most` characters, cut between whole ones: a letter keeps its marks, an emoji its parts. Counted in UTF-16 units, the
 * most that any reader counts per character of the schema; what XML cannot hold is seen as U+FFFD.
 */
export function cutName(text: string, most = MOST_NAME): string {
  const name = xmlHoldable(text);
  if (name.length <= most) return name;
  const chars = [...name];
  let end = 0;
  let length = 0;
  while (end < chars.length && length + (chars[end] ?? '').length <= most) {
    length += (chars[end] ?? '').length;
    end++;
  }
  let whole = end;
  while (whole > 0 && (BELONGS.test(chars[whole] ?? '') || chars[whole - 1] === JOINER)) whole--;
  // A single letter with more marks than fit is cut within.
  return chars
    .slice(0, whole > 0 ? whole : end)
    .join('')
    .trimEnd();
}
/** Of a pass: the two usual names fit whole. */
const PASS_NAME = 18;
const JOINER = '\u200D';
const BELONGS = /^[\p{M}\p{Emoji_Modifier}\u200D]/u;

/**
 * Names of the tasks: the plan's alone where there is one pass; else with the first 18 characters of each pass, or its number where
 * those do not tell the passes apart.
 */
export function taskNames(plan: string, passes: readonly string[]): readonly string[] {
  if (passes.length === 1) return [cutName(plan)];
  const cut = passes.map((pass) => cutName(pass, PASS_NAME));
  const apart = new Set(cut).size === cut.length;
  return passes.map((_, index) => {
    const ending = `, ${apart ? cut[index] : `pass ${index + 1}`}`;
    return `${cutName(plan, MOST_NAME - ending.length)}${ending}`;
  });
}
