import type { CellValue } from '../formats/types.ts';

/** Sample id as text: trimmed, inner spaces made one; empty when the cell is. A whole number from a typed column has no decimals. */
export function idText(cell: CellValue): string {
  if (cell === null || (typeof cell === 'number' && !Number.isFinite(cell))) return '';
  return String(cell).replace(/\s+/g, ' ').trim();
}

/**
 * The same id whatever way it was typed: letter case, spaces, dashes and underscores, leading zeros and a decimal `.0` make no
 * difference, so `HQ-01`, `hq 1` and `HQ1` are one. Two ids of one file that come out alike are told apart by their full text.
 */
export function looseId(text: string): string {
  return text
    .normalize('NFKC')
    .toLowerCase()
    .replace(/^(\d+)[.,]0+$/, '$1')
    .replace(/[\s_-]+/g, '')
    .replace(/(?<!\d)0+(?=\d)/g, '');
}
