/** A unit as a cell or a header may spell it. */
export type ToldUnit = 'ppm' | 'mg/L' | 'lb/ac' | 'meq/100 g' | '%' | 'in' | 'cm' | 'deg' | 'g/cm3';

/** What one cell says. `unit` is present where the cell itself names one: `120 ppm`. */
export type ParsedValue =
  | { readonly kind: 'number'; readonly value: number; readonly unit?: ToldUnit }
  /** Told only as below a limit: `<20`. */
  | { readonly kind: 'below'; readonly limit: number; readonly unit?: ToldUnit }
  /** Told only as above a limit: `>999`. */
  | { readonly kind: 'above'; readonly limit: number; readonly unit?: ToldUnit }
  | { readonly kind: 'blank' }
  /** Anything else, such as `n.d.` or `trace`: no figure can be taken from it. */
  | { readonly kind: 'text'; readonly text: string };

/** What stands in a table for "nothing here". */
const BLANKS = new Set(['', '-', '--', '---', '.', '..', 'null', 'nan', 'na', 'n/a', '#n/a', 'none']);
const SPACES = /[\s\u00a0\u2007\u2009\u202f\ufeff]+/g;
const PLAIN = { '.': /^[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d+)?$/, ',': /^[+-]?(\d+(,\d*)?|,\d+)(e[+-]?\d+)?$/ } as const;
/** Groups of three: a comma (or a point where the comma is the decimal mark), a space or an apostrophe. */
const GROUPED = {
  '.': /^[+-]?[1-9]\d{0,2}([,' ])\d{3}(\1\d{3})*(\.\d+)?$/,
  ',': /^[+-]?[1-9]\d{0,2}([.' ])\d{3}(\1\d{3})*(,\d+)?$/,
} as const;

/**
 * What a cell of a table says: a number, a limit, nothing, or text. Never guesses: `1,5` in a table with decimal points is text.
 *
 * `decimal` is the table's decimal mark. Thousands may be set apart by the other mark, a space or an apostrophe, in whole groups of
 * three. A minus may be U+2212; spaces may be no-break ones; a unit may follow (`120 ppm`, `3.4 %`). NaN and infinite numbers are blank.
 */
export function parseValue(cell: string | number | boolean | null, decimal: '.' | ','): ParsedValue {
  if (cell === null) return { kind: 'blank' };
  if (typeof cell === 'number') return Number.isFinite(cell) ? { kind: 'number', value: cell } : { kind: 'blank' };
  if (typeof cell === 'boolean') return { kind: 'text', text: String(cell) };
  const text = cell
    .replace(SPACES, ' ')
    .trim()
    .replace(/[\u2212\u2013\u2014]/g, '-')
    .replace(/\u2019/g, "'");
  if (BLANKS.has(text.toLowerCase())) return { kind: 'blank' };
  const parts = /^([<>\u2264\u2265])?\s*=?\s*([+-]?\s*[\d.,][\d.,' ]*(?:e[+-]?\d+)?)\s*(.*)$/i.exec(text);
  if (!parts) return { kind: 'text', text };
  const value = readNumber((parts[2] ?? '').trim(), decimal);
  const tail = (parts[3] ?? '').trim();
  const unit = tail === '' ? undefined : unitOfWords(tail);
  if (value === null || unit === null) return { kind: 'text', text };
  const told = unit === undefined ? {} : { unit };
  if (parts[1] === '<' || parts[1] === '\u2264') return { kind: 'below', limit: value, ...told };
  if (parts[1] === '>' || parts[1] === '\u2265') return { kind: 'above', limit: value, ...told };
  return { kind: 'number', value, ...told };
}

function readNumber(digits: string, decimal: '.' | ','): number | null {
  const figure = digits.replace(/^([+-])\s+/, '$1').toLowerCase();
  if (GROUPED[decimal].test(figure)) {
    const bare = figure.replace(decimal === '.' ? /[,' ]/g : /[.' ]/g, '');
    return Number(bare.replace(',', '.'));
  }
  if (!PLAIN[decimal].test(figure)) return null;
  const value = Number(figure.replace(',', '.'));
  return Number.isFinite(value) ? value : null;
}

const UNIT_WORDS: readonly (readonly [ToldUnit, RegExp])[] = [
  ['ppm', /^(ppm|parts per million|mg ?(\/|per)? ?kg(-1)?|ug ?\/ ?g|\u00b5g ?\/ ?g|\u03bcg ?\/ ?g)$/],
  ['mg/L', /^mg ?(\/|per)? ?(l|liter|litre|dm3|dm\^3)(-1)?$/],
  ['g/cm3', /^g ?(\/|per)? ?(cm3|cm\^3|cm\u00b3|cc|ml)$/],
  ['lb/ac', /^(lbs?|pounds?|#)\.? ?(\/|per)? ?(acre|ac|a)\.?$/],
  ['meq/100 g', /^(m\.?eq?\.?|meq\.?|cmol ?(\(\+\)|c|\+)?) ?((\/|per)? ?(100 ?(g|gm|grams?)|kg(-1)?))?\.?$/],
  ['%', /^(%|pct|percent|per cent)$/],
  ['in', /^(in|inch|inches|"|\u2033)\.?$/],
  ['cm', /^(cm|centimet(er|re)s?)$/],
  ['deg', /^(deg|degrees?|\u00b0|dd)$/],
];

/** The unit that words such as `mg/kg`, `lbs per acre` or `cmolc/kg` name; null for any others. 1 cmolc/kg is 1 meq/100 g. */
export function unitOfWords(words: string): ToldUnit | null {
  const plain = words.toLowerCase().replace(SPACES, ' ').trim();
  return UNIT_WORDS.find(([, pattern]) => pattern.test(plain))?.[0] ?? null;
}
