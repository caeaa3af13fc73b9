import { type Problem, stop } from '../base/problem.ts';

/** More pixels than are read at once. */
export const tooLarge = (name: string, detail: string): Problem =>
  stop(
    'tif-too-large',
    `${name} is past the limit of what can be read at once.`,
    'Cut it to the field or save it with larger pixels (gdalwarp -tr), or in tiles with overviews.',
    { file: name },
    detail,
  );

/** A file whose bytes are not what they should be. */
export function notWhole(name: string, why: 'not-a-tiff' | 'cut-off' | 'damaged', detail: string): Problem {
  switch (why) {
    case 'not-a-tiff':
      return stop('tif-not-a-tiff', `${name} is not a TIFF.`, 'Choose a GeoTIFF (.tif).', { file: name }, detail);
    case 'cut-off':
      return stop('tif-truncated', `${name} is cut off.`, 'Copy or send it again, whole.', { file: name }, detail);
    case 'damaged':
      return stop(
        'tif-damaged',
        `${name} is damaged.`,
        'Copy or send it again, or export it anew.',
        { file: name },
        detail,
      );
  }
}
