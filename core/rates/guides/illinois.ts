import { figure } from '../text.ts';
import { FROM_MEMORY, makeGuide, secondHandPart, seenPart, TWO_MILLION_LB } from './guide.ts';
import { standing } from './standing.ts';

const JOURNAL =
  'Fernandez et al. (2012), Communications in Soil Science and Plant Analysis 43:2897, on the Illinois recommendations';
const PARTS = {
  critical: seenPart('critical 130 to 150 ppm, 260 to 300 lb/ac, by CEC', JOURNAL),
  build: secondHandPart('build-up 4 lb K2O per lb/ac of test', 'Illinois'),
} as const;
const CRITICAL_PPM = { least: 130, most: 150 } as const;
/** 260 lb/ac is printed for 130 ppm, and 300 for 150. */
const LB_PER_PPM = 260 / 130;
const K2O_PER_LB = 4;

const buildUp_lbK2OPerAc = (critical_ppm: number, k_ppm: number): number =>
  K2O_PER_LB * LB_PER_PPM * Math.max(0, critical_ppm - k_ppm);

/**
 * Illinois: the critical level, 130 to 150 ppm by CEC, and the whole build-up to either end, 4 lb K2O per lb/ac (8 per ppm). At which CEC
 * which end holds, over how many years, and what is added for the crop were not seen: no rate.
 */
export const illinois = makeGuide({
  id: 'illinois',
  name: 'Illinois',
  source: JOURNAL,
  parts: Object.values(PARTS),
  extraction: { is: 'ammonium acetate', source: 'the extractant', flag: FROM_MEMORY },
  depth: TWO_MILLION_LB,
  crops: ['corn', 'soybean'],
  validity: 'A critical level and a whole build-up; the years and what it adds for the crop were not seen.',
  outside: 'No build-up above the critical level.',
  supersededBy: null,
  maySetRate: false,
  needs: ['k'],
  countsRemoval: false,
  work: ({ k_ppm }) => {
    const least = buildUp_lbK2OPerAc(CRITICAL_PPM.least, k_ppm);
    const most = buildUp_lbK2OPerAc(CRITICAL_PPM.most, k_ppm);
    const className = standing(k_ppm, CRITICAL_PPM);
    return {
      k2o_lbPerAc: null,
      how: `critical level ${CRITICAL_PPM.least} to ${CRITICAL_PPM.most} ppm by CEC: K at ${figure(k_ppm, 1)} is ${className}; ${most > 0 ? `build-up in all ${figure(least)} to ${figure(most)}, 4 lb per lb/ac; ` : 'no build-up; '}the years and what it adds for the crop were not seen`,
      critical_ppm: CRITICAL_PPM,
      className,
      buildUp: { total_lbK2OPerAc: { least, most }, years: null },
      rests: [PARTS.critical, PARTS.build],
    };
  },
});
