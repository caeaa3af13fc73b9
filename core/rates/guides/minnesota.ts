import { seen } from '../crop-figures.ts';
import { figure } from '../text.ts';
import { makeGuide, PLOW_LAYER, seenPart, upTo } from './guide.ts';
import { type Removals, removalOf, removalParts } from './removal.ts';
import { standing } from './standing.ts';

const SOURCE = 'University of Minnesota Extension (2019)';
const PARTS = {
  critical: seenPart('critical 200 ppm on medium and fine soils, ammonium acetate on dried samples', SOURCE),
} as const;
const REMOVAL: Removals = { corn: seen(0.19, SOURCE), soybean: seen(1.1, SOURCE) };
const CRITICAL_PPM = 200;
/** CEC up to which a soil is sand: 3 to 5 in Ohio State University ANR-81 (2019). */
const SAND_CEC_MEQ = 5;

/** Minnesota from 2019: the critical level of medium and fine soils and what the crop takes; no rate. */
export const minnesota = makeGuide({
  id: 'minnesota-2019',
  name: 'Minnesota 2019',
  source: SOURCE,
  parts: [...Object.values(PARTS), ...removalParts(REMOVAL)],
  extraction: { is: 'ammonium acetate', source: SOURCE, flag: 'seen in the source' },
  depth: PLOW_LAYER,
  crops: Object.keys(REMOVAL),
  validity: 'Medium and fine soils; a critical level and removal, no rate was seen.',
  outside: 'Refused on sand (CEC up to 5).',
  supersededBy: null,
  maySetRate: false,
  needs: ['k', 'yieldGoal'],
  countsRemoval: true,
  beyond: ({ cec_meq }) =>
    upTo(cec_meq, SAND_CEC_MEQ)
      ? `It is made for medium and fine soils, and a CEC of ${figure(cec_meq, 1)} is that of sand (3 to 5, Ohio State University ANR-81).`
      : null,
  work: ({ k_ppm, cec_meq, crop, yieldGoal }) => {
    const critical = { least: CRITICAL_PPM, most: CRITICAL_PPM };
    const removal = removalOf(REMOVAL, crop, yieldGoal);
    const className = standing(k_ppm, critical);
    return {
      k2o_lbPerAc: null,
      how: `critical level ${CRITICAL_PPM} ppm: K at ${figure(k_ppm, 1)} is ${className}; removal ${removal.sum}; no rate was seen`,
      critical_ppm: critical,
      className,
      removal_lbK2OPerAc: removal.lbK2OPerAc,
      cautions: Number.isNaN(cec_meq)
        ? ['It holds on medium and fine soils; CEC is not known here, so sand would not be seen.']
        : [],
      rests: [PARTS.critical, removal.part],
    };
  },
});
