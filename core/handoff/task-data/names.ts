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
/** As `cutName`, and where it is cut, between words if that leaves half of it. */
export function cutWords(text: string, most = MOST_NAME): string {
  const name = cutName(text, most);
  const whole = xmlHoldable(text);
  if (name.length >= whole.trimEnd().length || /^[\s,;]/.test(whole.slice(name.length))) return name;
  const words = name.replace(/[\s,;-]+\S*$/, '');
  return words.length >= most / 2 && words.length < name.length ? words : name;
}
const JOINER = '\u200D';
const BELONGS = /^[\p{M}\p{Emoji_Modifier}\u200D]/u;

/**
 * Names of the tasks: the plan's alone where there is one pass; else with each pass, or with its number where that leaves no room for the whole of the plan's
 * name or does not tell the passes apart. Names are cut between words.
 */
export function taskNames(plan: string, passes: readonly string[]): readonly string[] {
  if (passes.length === 1) return [cutWords(plan)];
  const inWords = passes.map((pass) => `${xmlHoldable(plan)}, ${xmlHoldable(pass)}`);
  const fit = inWords.every((name) => name.length <= MOST_NAME) && new Set(inWords).size === inWords.length;
  if (fit) return inWords;
  return passes.map((_, index) => {
    const ending = `, pass ${index + 1}`;
    return `${cutWords(plan, MOST_NAME - ending.length)}${ending}`;
  });
}
