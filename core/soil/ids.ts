import type { CellValue, DataRecord } from '../formats/types.ts';

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

/** An id that ends in the depth of its sample, such as `HQ-01 0-6` or `12 (6-12 in)`: the id without it, and the depth; null for any other. */
export function depthInId(id: string): { readonly id: string; readonly depth: string } | null {
  const found = END_DEPTH.exec(id.trim());
  const [, rest, top = '', bottom = '', unit = ''] = found ?? [];
  return rest === undefined || Number(bottom) <= Number(top)
    ? null
    : { id: rest, depth: `${top}-${bottom}${unit === '' ? '' : ` ${unit}`}` };
}

const END_DEPTH =
  /^(.*?[^\s_(,;:/-])[\s_(,;:/]+\(?(0|[1-9]\d?)\s*(?:-|\u2013|to)\s*([1-9]\d?)\s*(in\.?|inch(?:es)?|cm|")?\)?$/i;

const ABOUT =
  '(?:(?:the|of|all|field|farm|site|block|zone|lab|laboratory|grand|overall|arithmetic|geometric|method|reagent) )*';
const FIGURES =
  'average|avg|ave|mean|median|std|stdev|std ?dev|standard deviation|min|minimum|max|maximum|totals?|subtotal|sum|summary|mittelwert|mittel|durchschnitt|standardabweichung|summe|gesamt|moyenne|mediane|ecart ?type|somme|promedio|gemiddelde';
const OF_WHAT = '(?: (?:of|the|all|field|farm|acres?|ac|ha|area|values?|samples?|rows?|results?|ppm|for))*';
const CHECKS =
  '(?:qc|quality control|blank|blindwert|duplicate|check sample|control sample|reference sample|standard sample|lab standard|laboratory standard|lab check|lab control)(?: (?:sample|soil|check))?(?: ?\\d{1,3})?';
const SUMMARY = new RegExp(`^${ABOUT}(?:(?:${FIGURES})${OF_WHAT}|${CHECKS})$`);

/** Whether a sample id is no sample's: a figure over the rows (average, total, Mittelwert, moyenne) or a lab's own check (QC, blank, duplicate). Ours. */
export const isSummaryName = (text: string): boolean =>
  SUMMARY.test(
    text
      .normalize('NFD')
      .replace(/\p{M}/gu, '')
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, ' ')
      .trim(),
  );

/**
 * Indices of the records that are summaries or checks by their id or by their first cell (`isSummaryName`). Empty where that would be all of
 * them: one line called "Average" is then what the file tells of the field.
 */
export function summaryRows(records: readonly DataRecord[], idIndex: number | undefined): ReadonlySet<number> {
  const found = new Set<number>();
  records.forEach(({ cells }, index) => {
    const names = [cells[idIndex ?? 0] ?? null, cells[0] ?? null];
    if (names.some((cell) => typeof cell === 'string' && isSummaryName(cell))) found.add(index);
  });
  return found.size === records.length ? new Set() : found;
}
