import { CM_PER_IN } from '../base/units.ts';

/** Depth that a heading names, in inches. */
export interface HeadingDepth {
  readonly top_in: number;
  readonly bottom_in: number;
  /** As a person reads it: `0-8 in`, `0-20 cm`. */
  readonly told: string;
  /** The heading gives bare numbers, and their unit was inferred. */
  readonly unitInferred?: true;
}

export interface HeadingParts {
  /** The heading without its depth and year. */
  readonly rest: string;
  readonly depth: HeadingDepth | null;
  readonly year: number | null;
}

const NUMBER = '(\\d+(?:\\.\\d+)?)';
/** NFKD turns the double prime into two primes. */
const LENGTH = "(in(?:ch(?:es)?)?\\b\\.?|\"|\\u201d|''|\\u2032\\u2032|cm\\b\\.?|ft\\b\\.?|feet\\b|foot\\b|'|\\u2032)";
const BEFORE = '(?<![\\w.:/])(?:(?:@|at|of|for|depth|tiefe)[: ]*)?';
const AFTER = '(?![\\w:/.-])';
const RANGE = new RegExp(
  `${BEFORE}${NUMBER}\\s*${LENGTH}?\\s*(?:-|\\u2013|\\u2014|\\u2212|to|bis)\\s*${NUMBER}\\s*${LENGTH}?${AFTER}`,
);
/** Two bare numbers beside each other: `K_0_6`. */
const PAIR = new RegExp(`${BEFORE}${NUMBER} ${NUMBER}\\s*${LENGTH}?${AFTER}`);
const SINGLE = new RegExp(`${BEFORE}${NUMBER}\\s*${LENGTH}(?!\\w)`);
const AT = new RegExp(`@\\s*${NUMBER}\\s*${LENGTH}?(?!\\w)`);
const YEAR = /(?<![\w.:/-])(19[5-9]\d|20[0-4]\d)(?![\w.:/-])/;
/** A year of two digits behind its apostrophe: `'21`. */
const SHORT_YEAR = /(?<![\w.:/'-])['\u2018\u2019\u2032](\d\d)(?![\w.:/'"-])/;
/** Bottoms in inches that samples are taken to; other bare numbers are met as centimetres (common practice, no source). */
const BOTTOMS_IN = new Set([2, 3, 4, 6, 6.67, 7, 8, 9, 12, 18, 24, 36, 48]);
const DEEPEST_IN = 48;

/**
 * Depth and year that a heading in lower case names beside its quantity and unit: `k lb/ac (8 in.)`, `k lb/acre 0-8"`, `k lb/ac@8`,
 * `k ppm 2018`, `k '18`. A single number is a depth only with its unit or behind @. Of bare numbers the unit is inferred, and that is said.
 */
export function headingParts(text: string): HeadingParts {
  const whole = text.replace(/(?<![\w.])6[- ]2\/3/, '6.67');
  const long = YEAR.exec(whole);
  const short = long ? null : SHORT_YEAR.exec(whole);
  const told = Number(long?.[1] ?? short?.[1]);
  const year = long ? told : short ? told + (told < 50 ? 2000 : 1900) : null;
  const plain = year
    ? whole
        .replace(long ? YEAR : SHORT_YEAR, ' ')
        .replace(/\b(spring|fall|autumn|summer|winter|season|year|yr)\b/g, ' ')
    : whole;
  const found = depthOf(plain);
  const rest = found
    ? plain.replace(found.text, ' ').replace(/\b(depth|deep|topsoil|soil depth|sample depth|sampled|tiefe)\b/g, ' ')
    : plain;
  return { rest: tidy(rest), depth: found?.depth ?? null, year };
}

const tidy = (text: string): string =>
  text
    .replace(/[([{]\s*[,;-]?\s*[)\]}]/g, ' ')
    .replace(/\s+/g, ' ')
    .replace(/[\s,;@-]+$/, '')
    .trim();

function depthOf(text: string): { readonly text: string; readonly depth: HeadingDepth } | null {
  for (const pattern of [RANGE, PAIR]) {
    const range = pattern.exec(text);
    if (!range) continue;
    const [top, bottom] = pattern === RANGE ? [range[1], range[3]] : [range[1], range[2]];
    const unit = pattern === RANGE ? (range[4] ?? range[2]) : range[3];
    const depth = slice(Number(top), Number(bottom), unit);
    if (depth) return { text: range[0], depth };
  }
  const at = AT.exec(text);
  const single = at ?? SINGLE.exec(text);
  const depth = single ? slice(0, Number(single[1]), single[2] ?? 'in') : null;
  // "1 in 2" tells a dilution.
  return single && depth && depth.bottom_in >= 1.5 ? { text: single[0], depth } : null;
}

function slice(top: number, bottom: number, unit: string | undefined): HeadingDepth | null {
  const inferred = unit === undefined;
  const plain = unit?.replace(/\.$/, '') ?? (BOTTOMS_IN.has(bottom) ? 'in' : 'cm');
  const isFeet = plain === 'ft' || plain === 'feet' || plain === 'foot' || plain === "'" || plain === '\u2032';
  const per_in = plain === 'cm' ? CM_PER_IN : isFeet ? 1 / 12 : 1;
  const [top_in, bottom_in] = [top / per_in, bottom / per_in];
  if (!(bottom_in > top_in && bottom_in <= DEEPEST_IN)) return null;
  const told = isFeet ? `${top_in}-${bottom_in} in` : `${top}-${bottom} ${plain === 'cm' ? 'cm' : 'in'}`;
  return { top_in, bottom_in, told, ...(inferred ? { unitInferred: true as const } : {}) };
}
