import { fromMemory, seen } from '../crop-figures.ts';
import { figure } from '../text.ts';
import { makeGuide, PLOW_LAYER, secondHandPart, seenPart, upTo } from './guide.ts';
import { type Removals, removalOf, removalParts, wheats } from './removal.ts';

const BULLETIN = 'Tri-State Fertilizer Recommendations (Michigan, Ohio, Indiana), Bulletin 974 (2020)';
const OHIO = 'Ohio State University on Bulletin 974';
const PARTS = {
  levels: secondHandPart(
    'critical level 120 ppm and maintenance to 170 above CEC 5; 100 and 130 up to CEC 5',
    BULLETIN,
  ),
  none: seenPart('nothing above the maintenance limit, and no draw-down', OHIO),
  buildUp: seenPart(
    'below the critical level removal and more, over four years, advised but left open; by how much was not seen',
    OHIO,
  ),
  rotation: seenPart(
    '180 bu of corn and 60 bu of soybean together take 100 to 120 lb K2O',
    'Ohio State University, ANR-74',
  ),
} as const;
const REMOVAL: Removals = {
  corn: seen(0.2, OHIO),
  soybean: fromMemory(1.15, BULLETIN),
  ...wheats(seen(0.25, OHIO)),
  alfalfa: seen(49, OHIO),
  'grass-hay': seen(49, OHIO),
};
const LIGHT_CEC_MEQ = 5;

/** Critical level and maintenance limit, ppm: 100 and 130 up to CEC 5, else 120 and 170. */
const levels_ppm = (cec_meq: number): { readonly critical: number; readonly limit: number } =>
  upTo(cec_meq, LIGHT_CEC_MEQ) ? { critical: 100, limit: 130 } : { critical: 120, limit: 170 };

/**
 * Tri-State 2020: from the critical level to the maintenance limit, yield x removal; nothing above the limit. Below the critical level
 * it builds up over four years by a formula that was not seen: no rate there, and the removal is told. lb K2O/ac a year.
 */
export const triState2020 = makeGuide({
  id: 'tri-state-2020',
  name: 'Tri-State 2020',
  source: BULLETIN,
  parts: [...Object.values(PARTS), ...removalParts(REMOVAL)],
  extraction: { is: 'Mehlich-3', source: BULLETIN, flag: 'second-hand' },
  depth: PLOW_LAYER,
  crops: Object.keys(REMOVAL),
  validity: 'From the critical level up; its build-up formula was not seen.',
  outside: 'Below the critical level removal alone is told, and no rate. Above the maintenance limit 0.',
  supersededBy: null,
  maySetRate: true,
  needs: ['k', 'cec', 'yieldGoal'],
  countsRemoval: true,
  work: ({ k_ppm, cec_meq, crop, yieldGoal }) => {
    const { critical, limit } = levels_ppm(cec_meq);
    const common = { critical_ppm: { least: critical, most: critical }, noneAbove_ppm: limit };
    const where = `CEC ${figure(cec_meq, 1)} is ${upTo(cec_meq, LIGHT_CEC_MEQ) ? 'up to' : 'above'} ${LIGHT_CEC_MEQ}`;
    if (!upTo(k_ppm, limit))
      return {
        ...common,
        k2o_lbPerAc: 0,
        how: `${where}: nothing above ${limit} ppm`,
        className: 'above the maintenance limit',
        rests: [PARTS.levels, PARTS.none],
      };
    const removal = removalOf(REMOVAL, crop, yieldGoal);
    if (upTo(critical, k_ppm))
      return {
        ...common,
        k2o_lbPerAc: removal.lbK2OPerAc,
        how: `${where}: maintenance from ${critical} to ${limit} ppm is removal, ${removal.sum}`,
        className: 'maintenance',
        rests: [PARTS.levels, removal.part],
      };
    return {
      ...common,
      k2o_lbPerAc: null,
      how: `${where}: below the critical level of ${critical} ppm it asks for removal, ${removal.sum}, and a build-up over four years whose formula was not seen`,
      className: 'build-up',
      removal_lbK2OPerAc: removal.lbK2OPerAc,
      rests: [PARTS.levels, PARTS.buildUp, removal.part],
    };
  },
});
