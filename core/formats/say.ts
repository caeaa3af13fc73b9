/** `1 row`, `3 rows`. */
export const count = (n: number, word: string): string => `${n} ${word}${n === 1 ? '' : 's'}`;

const NAMED = 10;

/** The first ten of some numbers in words, and how many more: `rows 3, 4, 9 and 5 more`. */
export function listed(word: string, numbers: readonly number[]): string {
  const rest = numbers.length - NAMED;
  const first = numbers.slice(0, NAMED).join(', ');
  return `${word}${numbers.length === 1 ? '' : 's'} ${first}${rest > 0 ? ` and ${rest} more` : ''}`;
}
