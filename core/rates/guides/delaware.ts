import { figure } from '../text.ts';
import { makeGuide, PLOW_LAYER, seenPart, upTo } from './guide.ts';

const SOURCE = 'Delaware soil test classes, Mehlich-3 K in ppm';
const PARTS = {
  classes: seenPart('low 0-70, medium 71-140, optimum 141-280 ppm, excessive above', SOURCE),
  none: seenPart('no K above optimum', SOURCE),
} as const;
/** Classes by their upper limits in ppm; a value between two printed whole numbers is of the higher class. */
const CLASSES = [
  { name: 'low', upTo_ppm: 70 },
  { name: 'medium', upTo_ppm: 140 },
  { name: 'optimum', upTo_ppm: 280 },
] as const;
const OPTIMUM_UP_TO_PPM = 280;

/** Delaware: the class of Mehlich-3 K; no K above optimum, and no rate below. */
export const delaware = makeGuide({
  id: 'delaware',
  name: 'Delaware',
  source: SOURCE,
  parts: Object.values(PARTS),
  extraction: { is: 'Mehlich-3', source: SOURCE, flag: 'seen in the source' },
  depth: PLOW_LAYER,
  crops: null,
  validity: 'A class; its rates were not seen.',
  outside: 'No K above optimum, 280 ppm.',
  supersededBy: null,
  maySetRate: false,
  needs: ['k'],
  countsRemoval: false,
  work: ({ k_ppm }) => {
    const found = CLASSES.find((one) => upTo(k_ppm, one.upTo_ppm));
    const className = found?.name ?? 'excessive';
    return {
      k2o_lbPerAc: found ? null : 0,
      how: `K at ${figure(k_ppm, 1)} ppm is ${className}: ${found ? 'its rate was not seen' : 'no K is advised'}`,
      className,
      noneAbove_ppm: OPTIMUM_UP_TO_PPM,
      rests: found ? [PARTS.classes] : [PARTS.classes, PARTS.none],
    };
  },
});
