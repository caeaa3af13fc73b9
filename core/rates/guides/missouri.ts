import { figure } from '../text.ts';
import { FROM_MEMORY, fromMemoryPart, makeGuide, seenPart, TWO_MILLION_LB } from './guide.ts';
import { poundsCaution } from './pounds.ts';

const SOURCE = 'University of Missouri soil test handbook, revised May 2004';
const PARTS = {
  target: seenPart('target 220 + 5 x CEC lb/ac of exchangeable K for row crops', SOURCE),
  lowTarget: seenPart('target 160 + 5 x CEC lb/ac for the others, which were not told', SOURCE),
  years: seenPart('built up over 8 years', SOURCE),
  build: fromMemoryPart('a year 75.5 x (sqrt(target) - sqrt(test)) / years, lb K2O', SOURCE),
} as const;
const YEARS = 8;

/** Target of exchangeable K, lb/ac: 220 + 5 x CEC on row crops, 160 + 5 x CEC on the others. */
export const missouriTarget_lbPerAc = (cec_meq: number, crops: 'row crops' | 'others'): number =>
  (crops === 'row crops' ? 220 : 160) + 5 * cec_meq;
/** lb K2O/ac that build a test up to its target, over all years: 75.5 x (sqrt(target) - sqrt(test)), 0 from the target up. */
export const missouriBuildUp_lbK2OPerAc = (target_lbPerAc: number, test_lbPerAc: number): number =>
  75.5 * Math.max(0, Math.sqrt(target_lbPerAc) - Math.sqrt(test_lbPerAc));

/**
 * Missouri, row crops: the target, and the build-up to it over 8 years by a formula from memory. What it adds for the crop was not seen,
 * so it gives no whole rate.
 */
export const missouri = makeGuide({
  id: 'missouri',
  name: 'Missouri',
  source: SOURCE,
  parts: Object.values(PARTS),
  extraction: { is: 'ammonium acetate', source: 'exchangeable K', flag: FROM_MEMORY },
  depth: TWO_MILLION_LB,
  crops: ['corn', 'soybean', 'sorghum'],
  validity: 'Row crops; build-up alone, since what it adds for the crop was not seen.',
  outside: 'No build-up from the target up.',
  supersededBy: null,
  maySetRate: false,
  needs: ['k', 'cec'],
  countsRemoval: false,
  work: ({ k_ppm, cec_meq, supply_factor }) => {
    const test = k_ppm * supply_factor;
    const target = missouriTarget_lbPerAc(cec_meq, 'row crops');
    const total = missouriBuildUp_lbK2OPerAc(target, test);
    const target_ppm = target / supply_factor;
    return {
      k2o_lbPerAc: null,
      how: `target 220 + 5 x ${figure(cec_meq, 1)} = ${figure(target)} lb/ac; test ${figure(k_ppm, 1)} ppm x ${figure(supply_factor, 2)} = ${figure(test)}; build-up 75.5 x (sqrt ${figure(target)} - sqrt ${figure(test)}) / ${YEARS} = ${figure(total / YEARS, 1)} a year for ${YEARS} years; what it adds for the crop was not seen`,
      critical_ppm: { least: target_ppm, most: target_ppm },
      buildUp: { total_lbK2OPerAc: { least: total, most: total }, years: YEARS },
      cautions: poundsCaution(supply_factor),
      rests: [PARTS.target, PARTS.years, PARTS.build],
    };
  },
});
