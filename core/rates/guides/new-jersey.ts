import { figure } from '../text.ts';
import { makeGuide, seenPart, TWO_MILLION_LB, upTo } from './guide.ts';
import { poundsCaution } from './pounds.ts';

const SOURCE = 'New Jersey soil test classes, Mehlich-3 K in lb/ac';
const PART = seenPart('classes 0-40, 41-81, 82-145, 146-277, above 277 lb/ac', SOURCE);
/** Classes by their upper limits in lb/ac; a value between two printed whole numbers is of the higher class. */
const CLASSES = [
  { name: '0 to 40 lb/ac, lowest of five', upTo_lbPerAc: 40 },
  { name: '41 to 81 lb/ac, second of five', upTo_lbPerAc: 81 },
  { name: '82 to 145 lb/ac, third of five', upTo_lbPerAc: 145 },
  { name: '146 to 277 lb/ac, fourth of five', upTo_lbPerAc: 277 },
] as const;
const HIGHEST = 'above 277 lb/ac, highest of five';

/** New Jersey: the class of Mehlich-3 K in lb/ac, a guard against ppm taken for pounds; no rate. */
export const newJersey = makeGuide({
  id: 'new-jersey',
  name: 'New Jersey',
  source: SOURCE,
  parts: [PART],
  extraction: { is: 'Mehlich-3', source: SOURCE, flag: 'seen in the source' },
  depth: TWO_MILLION_LB,
  crops: null,
  validity: 'A class in lb/ac; neither names of the classes nor rates were seen.',
  outside: 'The lowest and highest class have no end.',
  supersededBy: null,
  maySetRate: false,
  needs: ['k'],
  countsRemoval: false,
  work: ({ k_ppm, supply_factor }) => {
    const test = k_ppm * supply_factor;
    const className = CLASSES.find((one) => upTo(test, one.upTo_lbPerAc))?.name ?? HIGHEST;
    return {
      k2o_lbPerAc: null,
      how: `${figure(k_ppm, 1)} ppm x ${figure(supply_factor, 2)} = ${figure(test)} lb/ac: ${className}; its rates were not seen`,
      className,
      cautions: poundsCaution(supply_factor),
      rests: [PART],
    };
  },
});
