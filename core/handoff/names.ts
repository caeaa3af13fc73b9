import type { HandoffSettings } from './settings.ts';

/** Most characters of a short file name before its ending. */
export const SHORT_NAME = 8;

/** File name base out of a plan's name: ASCII letters, digits and underscores, beginning with a letter, at most 24. */
export function baseOf(name: string): string {
  const plain = name
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .replace(/[^A-Za-z0-9]+/g, '_')
    .replace(/^[^A-Za-z]+/, '')
    .replace(/_+$/, '')
    .slice(0, 24)
    .replace(/_+$/, '');
  return plain || 'field';
}

/** How the files that a controller may load are named. */
export interface FileNames {
  /** Base of the set of files for one pass and one product, counted from 0; null stands for all of them in one set. */
  readonly set: (pass: number | null, product: number | null) => string;
  readonly taskDataZip: string;
}

/**
 * Names of the sets: the base itself, `_p2` for the second pass and `_m2` for the second product (material) where these have files of their own;
 * `_taskdata` for the zip of the task data. Short names are at most 8 of A-Z and 0-9, a letter first, and end in P2, M2 and TD; the base is cut so that
 * the longest ending fits, so no two are alike.
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
    };
  }
  const short = (mark: 'p' | 'm', n: number): string => `${mark.toUpperCase()}${n}`;
  const longest = Math.max(
    ending(count.passes > 1 ? count.passes - 1 : null, count.products > 1 ? count.products - 1 : null, short).length,
    files.taskData ? 2 : 0,
  );
  const stem = shortStem(base).slice(0, SHORT_NAME - longest);
  return { set: (pass, product) => stem + ending(pass, product, short), taskDataZip: `${stem}TD.zip` };
}

const shortStem = (base: string): string => {
  const plain = base
    .toUpperCase()
    .replace(/[^A-Z0-9]/g, '')
    .replace(/^[0-9]+/, '');
  return plain || 'FIELD';
};
