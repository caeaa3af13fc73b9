import { figure } from '../text.ts';
import { FROM_MEMORY, fromMemoryPart, makeGuide, PLOW_LAYER, seenPart, WHEAT } from './guide.ts';

const SOURCE = 'University of Nebraska-Lincoln Extension';
const PARTS = {
  critical: seenPart('critical 125 ppm for corn, wheat, soybean, sorghum and alfalfa', SOURCE),
  rate: fromMemoryPart('125 - test, lb K2O', SOURCE),
} as const;
const CRITICAL_PPM = 125;

/** Nebraska: 125 - K (ppm) as lb K2O/ac, 0 from 125 up. The rate is from memory, confirm against the current bulletin. */
export const nebraska = makeGuide({
  id: 'nebraska',
  name: 'Nebraska',
  source: SOURCE,
  parts: Object.values(PARTS),
  extraction: { is: 'ammonium acetate', source: 'the extractant', flag: FROM_MEMORY },
  depth: PLOW_LAYER,
  crops: ['corn', ...WHEAT, 'soybean', 'sorghum', 'alfalfa'],
  validity: 'K below 125 ppm.',
  outside: '0 from 125 ppm up.',
  supersededBy: null,
  maySetRate: false,
  needs: ['k'],
  countsRemoval: false,
  work: ({ k_ppm }) => ({
    k2o_lbPerAc: Math.max(0, CRITICAL_PPM - k_ppm),
    how: k_ppm < CRITICAL_PPM ? `${CRITICAL_PPM} - ${figure(k_ppm, 1)} ppm` : `nothing from ${CRITICAL_PPM} ppm up`,
    critical_ppm: { least: CRITICAL_PPM, most: CRITICAL_PPM },
    noneAbove_ppm: CRITICAL_PPM,
    rests: [PARTS.critical, PARTS.rate],
  }),
});
