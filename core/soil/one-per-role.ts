import { type Draft, drop, ROLE_NAMES } from './guess.ts';
import { keepBack } from './held.ts';
import { extractionRank } from './lower-header.ts';
import type { ColumnRole, ColumnUnit } from './settings.ts';

const UNIT_ORDER: readonly (ColumnUnit | null)[] = [
  'ppm',
  'g/kg',
  'mg/100 g',
  'meq/100 g',
  'mmolc/kg',
  'mmol/kg',
  '%',
  'in',
  'cm',
  'mm',
  'dm',
  'm',
  'ft',
  'mg/L',
  'lb/ac',
  'kg/ha',
  null,
];

/** Whether one name is the other, come again: `K_2` of `K`. */
const isAgain = (name: string, other: string): boolean =>
  other.startsWith(`${name}_`) && /^\d+$/.test(other.slice(name.length + 1));

/** Whether nothing in two headings, and nothing in the figures under them, says which of them is meant. */
function isOpenBetween(best: Draft, other: Draft): boolean {
  const isWeaker =
    other.spread.filled === 0 ||
    (Math.floor(other.header.rank) > Math.floor(best.header.rank) && !isAgain(best.column, other.column)) ||
    other.header.year !== best.header.year ||
    other.header.unit !== best.header.unit;
  if (isWeaker) return false;
  const ranks = [extractionRank(best.column), extractionRank(other.column)];
  if (ranks.includes(0) && ranks[0] !== ranks[1]) return false;
  return !best.spread.figures.every((value, row) => Object.is(value, other.spread.figures[row]));
}

/**
 * Of several columns that claim a role the plainest: filled, by its words, for K by its extraction, of the latest year, by its unit; the others are
 * unused and both sides say so. Columns of K that none of these part are held (see `keepBack`), unless their figures are the same.
 */
export function onePerRole(role: ColumnRole, drafts: readonly Draft[]): void {
  if (role === 'unused') return;
  const claims = drafts.filter((draft) => draft.is === role);
  const order = (draft: Draft): number => UNIT_ORDER.indexOf(draft.header.unit);
  const sorted = [...claims].sort(
    (a, b) =>
      Number(b.spread.filled > 0) - Number(a.spread.filled > 0) ||
      Math.floor(a.header.rank) - Math.floor(b.header.rank) ||
      (role === 'k' ? extractionRank(a.column) - extractionRank(b.column) : 0) ||
      (b.header.year ?? 0) - (a.header.year ?? 0) ||
      order(a) - order(b) ||
      b.spread.readable - a.spread.readable ||
      a.index - b.index,
  );
  const [best, ...rest] = sorted;
  if (!best || rest.length === 0) return;
  const name = ROLE_NAMES[role];
  const open = role === 'k' ? rest.filter((draft) => isOpenBetween(best, draft)) : [];
  for (const draft of rest)
    drop(
      draft,
      `reads as ${name} too; "${best.column}" was taken`,
      open.length > 0 ? undefined : `two columns read as ${name}: "${best.column}" was taken`,
    );
  if (open.length > 0) {
    const others = [best, ...open].map((draft) => `"${draft.column}"`).join(' and ');
    keepBack(best, `${others} read as ${name} alike, and nothing tells which to use: left unused until one is told`);
    return;
  }
  best.doubts.push(`"${rest.map((draft) => draft.column).join('", "')}" also reads as ${name}`);
}
