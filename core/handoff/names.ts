import { sha256Hex } from '../base/hash.ts';
import { caution, type Problem } from '../base/problem.ts';
import type { HandoffSettings } from './settings.ts';

/** Most characters of a short file name before its ending. */
export const SHORT_NAME = 8;

const LONGEST_BASE = 24;
/** Characters of a mark: 1,296 of them, so that two fields of like names seldom share one. Ours, no source. */
const MARK = 2;

/** Two characters of 0-9 and a-z that stand for a whole name: its SHA-256's first 32 bits, modulo 36 squared. */
const markOf = (name: string): string =>
  (Number.parseInt(sha256Hex(name.normalize('NFC')).slice(0, 8), 16) % 36 ** MARK).toString(36).padStart(MARK, '0');

/**
 * File name base out of a plan's name: ASCII letters, digits and underscores, beginning with a letter, at most 24. Where letters or figures of another
 * script are left out, nothing is left, or it is cut, two characters that stand for the whole name come last: `field_3k`.
 */
export function baseOf(name: string): string {
  const bare = name.normalize('NFKD').replace(/\p{M}+/gu, '');
  const plain = bare
    .replace(/[^A-Za-z0-9]+/g, '_')
    .replace(/^[^A-Za-z]+/, '')
    .replace(/_+$/, '');
  if (plain !== '' && plain.length <= LONGEST_BASE && !losesLetters(name)) return plain;
  const stem = (plain || 'field').slice(0, LONGEST_BASE - 1 - MARK).replace(/_+$/, '');
  return `${stem}_${markOf(name)}`;
}

/** True where a name has letters or figures that are none of A to Z and 0 to 9, accents aside. */
const losesLetters = (name: string): boolean =>
  /[\p{L}\p{N}]/u.test(
    name
      .normalize('NFKD')
      .replace(/\p{M}+/gu, '')
      .replace(/[A-Za-z0-9]+/g, ''),
  );

/** How the files that a controller may load are named. */
export interface FileNames {
  /** Base of the set of files for one pass and one product, counted from 0; null stands for all of them in one set. */
  readonly set: (pass: number | null, product: number | null) => string;
  readonly taskDataZip: string;
  /** Beginning of all names. */
  readonly stem: string;
  /** True where short names left out a part of the base. */
  readonly cut: boolean;
}

/**
 * Names of the sets: the base itself, `_p2` for the second pass and `_m2` for the second product (material) where these have files of their own;
 * `_taskdata` for the zip of the task data. Short names are at most 8 of A-Z and 0-9, a letter first, and end in P2, M2 and TD; the base is cut so that
 * the longest ending fits, so no two of a field are alike. A base that is cut ends in two characters that stand for all of it, so that fields whose names begin
 * alike differ too: HO3KP1M1.
 */
export function fileNames(
  base: string,
  { shortNames, files }: Pick<HandoffSettings, 'shortNames' | 'files'>,
  count: { readonly passes: number; readonly products: number },
): FileNames {
  const ending = (pass: number | null, product: number | null, text: (mark: 'p' | 'm', n: number) => string): string =>
    (pass === null ? '' : text('p', pass + 1)) + (product === null ? '' : text('m', product + 1));
  if (!shortNames) {
    return {
      set: (pass, product) => base + ending(pass, product, (mark, n) => `_${mark}${n}`),
      taskDataZip: `${base}_taskdata.zip`,
      stem: base,
      cut: false,
    };
  }
  const short = (mark: 'p' | 'm', n: number): string => `${mark.toUpperCase()}${n}`;
  const longest = Math.max(
    ending(count.passes > 1 ? count.passes - 1 : null, count.products > 1 ? count.products - 1 : null, short).length,
    files.taskData ? 2 : 0,
  );
  const whole = shortStem(base);
  const room = SHORT_NAME - longest;
  const cut = whole.length > room;
  const stem = cut ? whole.slice(0, room - MARK) + markOf(base).toUpperCase() : whole;
  return { set: (pass, product) => stem + ending(pass, product, short), taskDataZip: `${stem}TD.zip`, stem, cut };
}

/**
 * What is to be known of the names of the files. Cautions: `handoff-short-names` (the base is cut, with the stem that it comes to), `handoff-name-letters` (the
 * plan's name has letters that file names do not take).
 */
export function nameProblems(planName: string, baseName: string | null, { stem, cut }: FileNames): Problem[] {
  const problems: Problem[] = [];
  if (baseName === null && losesLetters(planName))
    problems.push(
      caution(
        'handoff-name-letters',
        `The plan's name “${planName}” has letters that file names do not take: the files are named ${stem}, whose last two characters stand for the whole name.`,
        'Type a name for the files, in letters of A to Z.',
        { setting: 'handoff.baseName' },
      ),
    );
  if (cut)
    problems.push(
      caution(
        'handoff-short-names',
        `Short names do not hold all of ${baseName ?? planName}: the files begin with ${stem}, whose last two characters stand for the whole name.`,
        "Look that no other field's files on the same stick begin so, and write down which field it is, or type a shorter name for the files.",
        { setting: 'handoff.baseName' },
      ),
    );
  return problems;
}

const shortStem = (base: string): string => {
  const plain = base
    .toUpperCase()
    .replace(/[^A-Z0-9]/g, '')
    .replace(/^[0-9]+/, '');
  return plain || 'FIELD';
};
