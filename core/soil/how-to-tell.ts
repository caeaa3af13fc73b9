import { isUnit } from '../formats/csv-layout.ts';
import type { Dataset } from '../formats/types.ts';
import { UNITS_OF } from './guess.ts';
import { readHeader } from './headers.ts';
import type { ColumnGuess } from './types.ts';
import { countsDepth } from './units.ts';

/** Units that K is not read in, and what a person can do about each. `K` stands for the column and what it holds. */
const FOREIGN: readonly (readonly [RegExp, string])[] = [
  [
    /(?:mol[^/]*|eq)(?:\/| per )(?:dm3|dm\^3|l\b|lit)/,
    'it counts a volume of soil and needs the bulk density: convert the figures to ppm in the file, and the heading with them',
  ],
  [
    /pp2m/,
    'by old usage it is pounds in two million pounds, lb/ac of 6 2/3 in.: if the lab means that, say --column "K:lb/ac@6.67"',
  ],
  [
    /(?:[u\u00b5\u03bc]g ?\/ ?kg|ppb)/,
    '1000 of it are 1 ppm: convert the figures to ppm in the file, and the heading with them',
  ],
  [/(?<![a-z])g ?\/ ?100 ?g/, 'it is % of dry soil: say --column "K:%"'],
];
const BELOW = /sub ?-?soil|unterboden|below/i;

/**
 * How to tell which column holds K, on the command line and in the window, with what a column held back would be. ppm is offered only where the
 * heading has no words left that may be another unit, and nothing says that another unit fits; else the units are listed. Of several columns one of
 * topsoil goes before one of subsoil.
 */
export function howToTellK(dataset: Dataset, guesses: readonly ColumnGuess[]): string {
  const allHeld = guesses.filter((guess) => guess.held === 'k');
  const held = allHeld.find((guess) => !BELOW.test(guess.column)) ?? allHeld[0];
  const oxide = dataset.columns.find((column) => OXIDE_OF_K.test(column.normalize('NFKC').toLowerCase()));
  const column = held?.column ?? oxide;
  const where = `; in the window, at the heading of the column in the table. The columns are: ${dataset.columns.join(', ')}.`;
  if (column === undefined) return `Say it with --column "NAME=k:ppm", or with the unit that it has${where}`;
  const header = readHeader(column);
  const is = header.oxide || column === oxide ? 'k2o' : 'k';
  const below = allHeld.find((guess) => guess !== held && BELOW.test(guess.column));
  const others = allHeld.filter((guess) => guess !== held && !BELOW.test(guess.column));
  const rest = [
    ...(below ? [`"${below.column}" names ground below the surface and is passed over`] : []),
    ...(others.length > 0 ? [`or the same of "${others.map((guess) => guess.column).join('", "')}"`] : []),
  ];
  const also = rest.length === 0 ? where : `; ${rest.join('; ')}${where}`;
  const foreign = FOREIGN.find(([words]) => words.test(column.normalize('NFKC').toLowerCase()));
  if (foreign && header.unit === null) {
    const [, remedy] = foreign;
    return `K is not read in that unit; ${remedy.replace('"K:', `"${column}=${is}:`)}${also}`;
  }
  const unit = header.unit ?? (/kg ?\/ ?ha/i.test(column) ? 'kg/ha' : null);
  const left = header.notUnderstood ?? '';
  const isOpen = left !== '' || (unit === null ? is === 'k2o' || /unit/.test(held?.doubt ?? '') : !isOfK(unit));
  if (isOpen && !header.abbreviated) {
    const isForeign = isUnit(left) || unit !== null;
    const units = `one of ${UNITS_OF.k.join(', ')} (lb/ac and kg/ha with the depth that they count, as lb/ac@8)`;
    return `Say it with --column "${column}=${is}:UNIT", where UNIT is ${units}${isForeign ? ', or convert the figures to ppm in the file' : ''}${also}`;
  }
  const name = unit ?? 'ppm';
  const counts = countsDepth(name);
  const what = counts
    ? `, where ${name} counts 8 in., or with the depth that it counts`
    : ', or with the unit that it has';
  return `Say it with --column "${column}=${is}:${name}${counts ? '@8' : ''}"${what}${also}`;
}

const isOfK = (unit: string): boolean => UNITS_OF.k.some((one) => one === unit);
const OXIDE_OF_K = /k2o/;

/**
 * The unit that a heading names beside a cation, where no column is read in it: told to be that cation without a unit, it would be taken for ppm.
 * Null where there is none.
 */
export function foreignUnit(column: string): string | null {
  const { notUnderstood, unit } = readHeader(column);
  return notUnderstood !== undefined && unit === null && isUnit(notUnderstood) ? notUnderstood : null;
}
