import { parseValue, type ToldUnit } from '../base/parse-value.ts';
import type { Dataset } from '../formats/types.ts';

/** What the cells of one column hold. */
export interface Spread {
  /** Plain numbers by record; NaN where the cell holds none. */
  readonly figures: Float64Array;
  /** Cells that are not blank, and how many of them are a number or a limit. */
  readonly filled: number;
  readonly readable: number;
  /** Unit that more than half of the cells with a figure carry, where they carry just one. */
  readonly unit: ToldUnit | null;
  /** Unit that fewer of them carry: it speaks for those cells alone. */
  readonly someUnit: { readonly unit: ToldUnit; readonly cells: number } | null;
  /** Cells with a rating or a mark behind the figure, and the first of them; null where there are none. */
  readonly marked: { readonly cells: number; readonly first: string } | null;
  readonly median: number;
  readonly min: number;
  readonly max: number;
}

/** Reads every cell of column `index`. Cost: records. */
export function spreadOf(dataset: Dataset, index: number): Spread {
  const figures = new Float64Array(dataset.records.length).fill(Number.NaN);
  const units = new Set<ToldUnit>();
  let filled = 0;
  let readable = 0;
  let named = 0;
  let marks = 0;
  let first = '';
  dataset.records.forEach((record, at) => {
    const cell = parseValue(record.cells[index] ?? null, dataset.decimal);
    if (cell.kind === 'blank') return;
    filled++;
    if (cell.kind === 'text') return;
    readable++;
    if (cell.unit !== undefined) {
      units.add(cell.unit);
      named++;
    }
    if (cell.mark !== undefined) {
      if (marks === 0) first = String(record.cells[index]).trim();
      marks++;
    }
    if (cell.kind === 'number') figures[at] = cell.value;
  });
  const sorted = figures.filter((value) => !Number.isNaN(value)).sort();
  const one = units.size === 1 ? ([...units][0] ?? null) : null;
  return {
    figures,
    filled,
    readable,
    unit: one !== null && named * 2 > readable ? one : null,
    someUnit: one !== null && named * 2 <= readable ? { unit: one, cells: named } : null,
    marked: marks > 0 ? { cells: marks, first } : null,
    median: medianOf(sorted),
    min: sorted[0] ?? Number.NaN,
    max: sorted.at(-1) ?? Number.NaN,
  };
}

/** Median of what `of` gives per record, NaN left out; NaN of nothing. */
export function medianBy(count: number, of: (record: number) => number): number {
  const values = Float64Array.from({ length: count }, (_none, record) => of(record));
  return medianOf(values.filter((value) => !Number.isNaN(value)).sort());
}

function medianOf(sorted: Float64Array): number {
  const half = sorted.length >> 1;
  const upper = sorted[half] ?? Number.NaN;
  return sorted.length % 2 === 1 ? upper : ((sorted[half - 1] ?? Number.NaN) + upper) / 2;
}
