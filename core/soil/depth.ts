import { parseValue } from '../base/parse-value.ts';
import { CM_PER_IN } from '../base/units.ts';
import type { CellValue } from '../formats/types.ts';

/** The slice of soil a sample was taken from, in inches. */
export interface Slice {
  readonly top_in: number;
  readonly bottom_in: number;
}

/**
 * Depth of a sample as a cell tells it: `6`, `6 in`, `15 cm`, or from-to as `0-6` or `6 to 12 in`. A unit in the cell goes before the
 * column's. Null where it tells none: blank, text, nothing or less, or deeper than 48 in.
 */
export function readDepth(cell: CellValue, decimal: '.' | ',', unit: 'in' | 'cm'): Slice | null {
  const text = typeof cell === 'string' ? cell.trim() : cell;
  const range = typeof text === 'string' ? /^([\d.,]+)\s*(?:-|\u2013|to)\s*([\d.,]+.*)$/i.exec(text) : null;
  const from = range ? parseValue(range[1] ?? null, decimal) : ({ kind: 'number', value: 0 } as const);
  const to = parseValue(range ? (range[2] ?? null) : text, decimal);
  if (from.kind !== 'number' || to.kind !== 'number') return null;
  const told = to.unit ?? unit;
  if (told !== 'in' && told !== 'cm') return null;
  const per_in = told === 'cm' ? CM_PER_IN : 1;
  const slice = { top_in: from.value / per_in, bottom_in: to.value / per_in };
  return slice.bottom_in > slice.top_in && slice.top_in >= 0 && slice.bottom_in <= 48 ? slice : null;
}
