/** Marks that may stand between cells, in the order that decides a draw. */
export const DELIMITERS = ['\t', ';', '|', ','] as const;
export type Delimiter = (typeof DELIMITERS)[number];

export interface SplitText {
  /** Every row, blank ones too, so that index + 1 is the row that a spreadsheet shows. Cells are trimmed. */
  readonly rows: readonly (readonly string[])[];
  /** Rows where a quoted cell does not end as it should; what follows them cannot be trusted. */
  readonly badQuote: { readonly row: number; readonly why: 'open' | 'tail' } | null;
}

/** Shared, since a file can hold millions of blank rows. */
const BLANK: readonly string[] = [''];

/**
 * Cells of a text table whose line ends are `\n`. A quoted cell may hold the delimiter, line ends and doubled quotes; a
 * row with a line end inside a cell is one row, as in a spreadsheet. A quote inside an unquoted cell is plain text.
 * Splitting ends at the first bad quote. Source: RFC 4180. Cost: linear.
 */
export function splitTable(text: string, delimiter: string): SplitText {
  const rows: (readonly string[])[] = [];
  const end = text.length;
  let row: string[] = [];
  let at = 0;
  while (at <= end) {
    let start = at;
    while (text[start] === ' ' && delimiter !== ' ') start++;
    if (text[start] === '"') {
      const quoted = quotedCell(text, start);
      if (quoted === null) return { rows, badQuote: { row: rows.length + 1, why: 'open' } };
      at = quoted.next;
      while (text[at] === ' ' || (text[at] === '\t' && delimiter !== '\t')) at++;
      if (at < end && text[at] !== delimiter && text[at] !== '\n')
        return { rows, badQuote: { row: rows.length + 1, why: 'tail' } };
      row.push(quoted.cell.trim());
    } else {
      at = cellEnd(text, start, delimiter);
      row.push(text.slice(start, at).trim());
    }
    if (at < end && text[at] === delimiter) {
      at++;
      continue;
    }
    rows.push(row.length === 1 && row[0] === '' ? BLANK : row);
    row = [];
    at++;
    // A line end at the very end closes the last row and begins none.
    if (at === end) break;
  }
  return { rows, badQuote: null };
}

function cellEnd(text: string, start: number, delimiter: string): number {
  for (let at = start; at < text.length; at++) {
    const char = text[at];
    if (char === delimiter || char === '\n') return at;
  }
  return text.length;
}

function quotedCell(text: string, start: number): { readonly cell: string; readonly next: number } | null {
  let from = start + 1;
  let cell = '';
  for (;;) {
    const quote = text.indexOf('"', from);
    if (quote < 0) return null;
    cell += text.slice(from, quote);
    if (text[quote + 1] !== '"') return { cell, next: quote + 1 };
    cell += '"';
    from = quote + 2;
  }
}

/** Characters looked at to find the delimiter. */
const SAMPLE = 200_000;

/**
 * The delimiter that gives the most even table of two columns and more, or null where none does. A cell that still
 * holds another delimiter counts against it, unless it is a number with a decimal comma.
 */
export function findDelimiter(text: string): Delimiter | null {
  const cut = text.length > SAMPLE ? text.lastIndexOf('\n', SAMPLE) : -1;
  const sample = cut > 0 ? text.slice(0, cut) : text;
  let best: Delimiter | null = null;
  let bestScore = 0;
  for (const delimiter of DELIMITERS) {
    const score = evenness(splitTable(sample, delimiter).rows, delimiter);
    if (score > bestScore + 1e-9) {
      best = delimiter;
      bestScore = score;
    }
  }
  return best;
}

const DECIMAL_COMMA = /^[<>]?\s*[+-]?\d+,\d+\s*%?$/;

function evenness(rows: readonly (readonly string[])[], delimiter: Delimiter): number {
  const filled = rows.filter((row) => row.some((cell) => cell !== ''));
  const widths = new Map<number, number>();
  let cells = 0;
  let clean = 0;
  for (const row of filled) {
    widths.set(row.length, (widths.get(row.length) ?? 0) + 1);
    for (const cell of row) {
      if (cell === '') continue;
      cells++;
      const others = DELIMITERS.filter((one) => one !== delimiter && cell.includes(one));
      if (others.length === 0 || DECIMAL_COMMA.test(cell)) clean++;
    }
  }
  const [width, times] = mostFrequent(widths);
  return width < 2 || cells === 0 ? 0 : (times / filled.length) * (clean / cells);
}

/** The most frequent key, the larger one in a draw, and how often it comes. */
export function mostFrequent(counts: ReadonlyMap<number, number>): readonly [key: number, times: number] {
  let best: readonly [number, number] = [0, 0];
  for (const [key, times] of counts) if (times > best[1] || (times === best[1] && key > best[0])) best = [key, times];
  return best;
}
