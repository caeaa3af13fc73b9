import { figure } from '../text.ts';
import { FROM_MEMORY, makeGuide, PLOW_LAYER, seenPart } from './guide.ts';
import { standing } from './standing.ts';

const COUNCIL = 'North Dakota corn, ndcorn.org';
const JOURNAL = 'Breker et al. (2019), Soil Science Society of America Journal, doi 10.2136/sssaj2018.10.0376';
const PARTS = {
  critical: seenPart('critical 200 ppm where smectite to illite is above 3.5, else 150', COUNCIL),
  journal: seenPart('critical at about 130 ppm', JOURNAL),
  caution: seenPart('more than 120 lb K2O/ac lowered the yield of corn', COUNCIL),
} as const;
const RATIO = 3.5;
const LOW_PPM = 150;
const HIGH_PPM = 200;

/** North Dakota, corn: the critical level by the clay's smectite to illite, and no rate. Where the ratio is not told both levels stand. */
export const northDakota = makeGuide({
  id: 'north-dakota',
  name: 'North Dakota, corn',
  source: `${COUNCIL}; ${JOURNAL}`,
  parts: Object.values(PARTS),
  extraction: { is: 'ammonium acetate', source: 'the extractant', flag: FROM_MEMORY },
  depth: PLOW_LAYER,
  crops: ['corn'],
  validity: 'A critical level; no rate was seen.',
  outside: 'A plan has no place to tell the ratio of smectite to illite, so both of its levels are told.',
  supersededBy: null,
  maySetRate: false,
  needs: ['k'],
  countsRemoval: false,
  work: ({ k_ppm, smectiteToIllite }) => {
    const critical =
      smectiteToIllite === null
        ? { least: LOW_PPM, most: HIGH_PPM }
        : smectiteToIllite > RATIO
          ? { least: HIGH_PPM, most: HIGH_PPM }
          : { least: LOW_PPM, most: LOW_PPM };
    const which =
      smectiteToIllite === null
        ? `${LOW_PPM} ppm, or ${HIGH_PPM} where smectite to illite is above ${RATIO}, which is not told`
        : `${critical.least} ppm at a smectite to illite of ${figure(smectiteToIllite, 1)}`;
    const className = standing(k_ppm, critical);
    return {
      k2o_lbPerAc: null,
      how: `critical level ${which} (the journal says about 130): K at ${figure(k_ppm, 1)} is ${className}; no rate was seen`,
      critical_ppm: critical,
      className,
      cautions: ['More than 120 lb K2O/ac to corn lowered its yield there.'],
      rests: [PARTS.critical],
    };
  },
});
