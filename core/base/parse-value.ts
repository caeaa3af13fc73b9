/** A unit as a cell or a header may spell it. */
export type ToldUnit =
  | 'ppm'
  | 'g/kg'
  | 'mg/100 g'
  | 'mg/L'
  | 'lb/ac'
  | 'kg/ha'
  | 'meq/100 g'
  | 'mmolc/kg'
  | 'mmol/kg'
  | '%'
  | 'in'
  | 'cm'
  | 'deg'
  | 'g/cm3';

/** What one cell says. `unit` is present where the cell itself names one: `120 ppm`; `mark` where a rating or a flag follows: `120 M`, `120*`. */
export type ParsedValue =
  | { readonly kind: 'number'; readonly value: number; readonly unit?: ToldUnit; readonly mark?: string }
  /** Told only as below a limit: `<20`. */
  | { readonly kind: 'below'; readonly limit: number; readonly unit?: ToldUnit; readonly mark?: string }
  /** Told only as above a limit: `>999`. */
  | { readonly kind: 'above'; readonly limit: number; readonly unit?: ToldUnit; readonly mark?: string }
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
 * three. A minus may be U+2212; spaces may be no-break ones; a unit may follow (`120 ppm`, `3.4 %`), and a rating or a mark (`120 M`, `120 (opt)`, `120*`). NaN and infinite numbers are blank.
 * Degrees, minutes and seconds (`41°15'30"N`) are one number of degrees, below 0 south and west; see `readDegrees`.
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
  const degrees = readDegrees(text, decimal);
  if (degrees !== null) return { kind: 'number', value: degrees, unit: 'deg' };
  const parts = /^([<>\u2264\u2265])?\s*=?\s*([+-]?\s*[\d.,][\d.,' ]*(?:e[+-]?\d+)?)\s*(.*)$/i.exec(text);
  if (!parts) return { kind: 'text', text };
  const value = readNumber((parts[2] ?? '').trim(), decimal);
  const tail = (parts[3] ?? '').trim();
  const mark = tail === '' || unitOfWords(tail) !== null ? undefined : MARK.exec(tail)?.[0];
  const words = mark === undefined ? tail : tail.slice(0, -mark.length).trim();
  const unit = words === '' ? undefined : unitOfWords(words);
  if (value === null || unit === null) return { kind: 'text', text };
  const told = { ...(unit === undefined ? {} : { unit }), ...(mark === undefined ? {} : { mark: mark.trim() }) };
  if (parts[1] === '<' || parts[1] === '\u2264') return { kind: 'below', limit: value, ...told };
  if (parts[1] === '>' || parts[1] === '\u2265') return { kind: 'above', limit: value, ...told };
  return { kind: 'number', value, ...told };
}

/** Ratings that laboratories print behind a value, and marks of a footnote (common practice, no source). */
const RATING =
  'v\\.?l|v\\.?h|e\\.?h|ml|mh|ex|[lmoh]|opt(?:imum|imal)?\\.?|(?:very |medium |extremely )?(?:low|high)|medium|med\\.?|adequate|sufficient|suff\\.?|deficient|def\\.?|excess(?:ive)?';
const MARK = new RegExp(
  `(?:^|\\s)(?:${RATING}|\\((?:${RATING})\\)|\\[(?:${RATING})\\])[*\\u2020\\u2021]*$|\\s?[*\\u2020\\u2021]+$`,
  'i',
);

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

const FIGURE = '(\\d+(?:[.,]\\d+)?)';
const MINUTE = "['\\u2032\\u02b9\\u00b4`]";
const SECOND = `(?:["\\u2033\\u02ba\\u201d]|${MINUTE}{2})`;
/** Degrees with minutes and perhaps seconds, or decimal degrees with a letter; the letter before or behind. */
const DEGREES = new RegExp(
  `^([NSEW])?\\s*([+-])?${FIGURE}\\s*(?:\\u00b0|\\u00ba|deg\\.?|d)?\\s*(?:${FIGURE}\\s*(?:${MINUTE}|min\\.?|m)?\\s*(?:${FIGURE}\\s*(?:${SECOND}|sec\\.?|s)?)?)?\\s*([NSEW])?$`,
  'i',
);

/**
 * Degrees out of degrees, minutes and seconds (`41°15'30"N`, `41 15 30 N`, `N41°15.5'`, `-96°00'30"`) or decimal degrees with a letter
 * (`41.2583 N`): degrees + minutes / 60 + seconds / 3600, below 0 south and west. Null for anything else: a plain number, minutes or
 * seconds of 60 and more, decimals before the last part, a minus beside a letter, or parts without a degree sign or a letter.
 */
export function readDegrees(text: string, decimal: '.' | ','): number | null {
  if (!/[\u00b0\u00bansew]/i.test(text)) return null;
  const parts = DEGREES.exec(text);
  if (!parts) return null;
  const [, before, sign, whole = '', minutes, seconds, after] = parts;
  const letter = (before ?? after)?.toUpperCase();
  if ((before !== undefined && after !== undefined) || (letter !== undefined && sign !== undefined)) return null;
  const marked = /[\u00b0\u00ba]/.test(text);
  if (letter === undefined && (!marked || minutes === undefined)) return null;
  // `12 N` may count anything; `41.2583 N` is a place.
  if (minutes === undefined && !marked && !/[.,]\d{3,}$/.test(whole)) return null;
  const figures = [whole, minutes, seconds].filter((one) => one !== undefined);
  if (figures.slice(0, -1).some((one) => /[.,]/.test(one))) return null;
  const [deg = 0, min = 0, sec = 0] = figures.map((one) => readNumber(one, decimal) ?? Number.NaN);
  if (!(min < 60 && sec < 60 && deg + min / 60 + sec / 3600 <= 180)) return null;
  const value = deg + min / 60 + sec / 3600;
  return letter === 'S' || letter === 'W' || sign === '-' ? -value : value;
}

const PER = ' ?(?:\\/|per)? ?';
const G100 = '100 ?(?:g|gm|gr|grams?)';
const KG = 'kg(?:-1)?';
const MEQ = '(?:m\\.?eq?\\.?|mequiv\\.?|mval|m\\.?e\\.?)';
const CHARGE = ' ?(?:\\(\\+\\)|\\(c\\)|c\\(\\+\\)|c|\\+)';
const words = (pattern: string): RegExp => new RegExp(`^(?:${pattern})$`);
const UNIT_WORDS: readonly (readonly [ToldUnit, RegExp])[] = [
  ['ppm', words(`ppm|parts per million|mg${PER}${KG}|[u\u00b5\u03bc]g ?\\/ ?g|g ?\\/ ?(?:t|tonne)`)],
  ['g/kg', words(`g${PER}${KG}|mg ?\\/ ?g`)],
  ['mg/100 g', words(`mg${PER}${G100}`)],
  ['mg/L', words('mg ?(?:\\/|per)? ?(?:l|liter|litre|dm3|dm\\^3)(?:-1)?')],
  ['g/cm3', words('g ?(?:\\/|per)? ?(?:cm3|cm\\^3|cm\u00b3|cc|ml)')],
  ['lb/ac', words(`(?:lbs?|pounds?|#)\\.?${PER}(?:acres?|ac|a)\\.?`)],
  ['kg/ha', words(`(?:kgs?|kilos?)\\.?${PER}(?:ha|hectares?)\\.?(?:-1)?`)],
  ['meq/100 g', words(`${MEQ}(?:${PER}${G100})?\\.?|c ?mol(?:${CHARGE})?(?:${PER}${KG})?|c ?mol(?:${CHARGE})`)],
  ['mmolc/kg', words(`m ?mol${CHARGE}${PER}${KG}|${MEQ}${PER}${KG}`)],
  ['mmol/kg', words(`m ?mol${PER}${KG}`)],
  ['%', /^(%|pct|percent|per cent)$/],
  ['in', /^(in|inch|inches|"|\u2033)\.?$/],
  ['cm', /^(cm|centimet(er|re)s?)$/],
  ['deg', /^(deg|degrees?|\u00b0|dd)$/],
];

/** The unit that words such as `mg/kg`, `lbs per acre` or `cmolc/kg` name; null for any others. 1 cmolc/kg is 1 meq/100 g; 1 meq/kg is 1 mmolc/kg. */
export function unitOfWords(words: string): ToldUnit | null {
  const plain = words.toLowerCase().replace(SPACES, ' ').trim();
  return UNIT_WORDS.find(([, pattern]) => pattern.test(plain))?.[0] ?? null;
}
