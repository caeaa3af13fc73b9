import { parseTyped } from '../ui/format.ts';

const MOST_LIMITS = 12;

/** Limits as people type them, `100, 200; 300 400`: ascending, each once. Text is what is the matter with them. */
export function readLimits(text: string): readonly number[] | string {
  const parts = text.split(/[;\s]+|,\s+/).filter((part) => part !== '');
  const values = parts.map(parseTyped);
  if (values.length === 0) return 'At least one limit is needed.';
  if (values.length > MOST_LIMITS) return `At most ${MOST_LIMITS} limits.`;
  const known = values.filter((value) => value !== null);
  if (known.length < values.length) return 'Limits are figures with a comma and a space between them.';
  const sorted = [...new Set(known)].sort((a, b) => a - b);
  return sorted.length < known.length ? 'A limit stands twice.' : sorted;
}
