import { fromMemory, secondHand, seen } from '../crop-figures.ts';
import { figure } from '../text.ts';
import {
  fromMemoryPart,
  type Given,
  makeGuide,
  PLOW_LAYER,
  type Said,
  secondHandPart,
  seenPart,
  upTo,
} from './guide.ts';
import { type Removals, removalOf, removalParts, wheats } from './removal.ts';
import type { GuidePart } from './types.ts';

const BULLETIN = 'Tri-State Fertilizer Recommendations (Michigan, Ohio, Indiana), Bulletin E-2567 (1995)';
const PARTS = {
  level: secondHandPart('critical level 75 + 2.5 x CEC ppm, maintenance up to 30 ppm above it', BULLETIN),
  range: seenPart('the critical level runs from 88 to 150 ppm with CEC', 'Michigan State University'),
  buildUp: secondHandPart('build-up (critical level - test) x (1 + 0.05 x CEC)', BULLETIN),
  factor: seenPart(
    'four years to the level: 6 lb K2O per ppm at CEC 10, 10 at CEC 30',
    'Ohio State University on Bulletin E-2567',
  ),
  maintenance: seenPart('maintenance yield x removal + 20', 'Ohio State University, ANR-96'),
  drawDown: fromMemoryPart('draw-down in a straight line to 0 at 50 ppm above the critical level', BULLETIN),
  cap: fromMemoryPart('at most 300 lb K2O a year', BULLETIN),
} as const;
const REMOVAL: Removals = {
  corn: seen(0.27, BULLETIN),
  soybean: secondHand(1.4, BULLETIN),
  ...wheats(fromMemory(0.37, BULLETIN)),
};
const ADDED_LBK2OPERAC = 20;
const MAINTENANCE_WIDTH_PPM = 30;
const DRAW_DOWN_WIDTH_PPM = 20;
const MOST_LBK2OPERAC = 300;
/** CEC at which the critical level is the printed 88 and 150 ppm. */
const LEAST_CEC_MEQ = 5;
const MOST_CEC_MEQ = 30;

/**
 * Tri-State 1995: below the critical level CL = 75 + 2.5 x CEC, (CL - K) x (1 + 0.05 x CEC) + M; up to CL + 30, M = yield x removal + 20;
 * then M x (CL + 50 - K) / 20, down to 0. lb K2O/ac a year, at most 300; unrounded (the bulletin rounds to 5).
 */
export const triState1995 = makeGuide({
  id: 'tri-state-1995',
  name: 'Tri-State 1995',
  source: `${BULLETIN}, superseded by Bulletin 974 (2020)`,
  parts: [...Object.values(PARTS), ...removalParts(REMOVAL)],
  extraction: { is: 'ammonium acetate', source: BULLETIN, flag: 'seen in the source' },
  depth: PLOW_LAYER,
  crops: Object.keys(REMOVAL),
  validity: `CEC ${LEAST_CEC_MEQ} to ${MOST_CEC_MEQ}, where the critical level is the printed 88 to 150 ppm.`,
  outside: 'No rate at another CEC. Above the maintenance range it is drawn down to 0.',
  supersededBy: 'tri-state-2020',
  maySetRate: true,
  needs: ['k', 'cec', 'yieldGoal'],
  countsRemoval: true,
  beyond: ({ cec_meq }) =>
    upTo(LEAST_CEC_MEQ, cec_meq) && upTo(cec_meq, MOST_CEC_MEQ)
      ? null
      : `Its critical level is printed for CEC ${LEAST_CEC_MEQ} to ${MOST_CEC_MEQ}, and CEC is ${figure(cec_meq, 1)} here.`,
  work: (given) => {
    const stage = stageOf(given);
    const cut = stage.asks_lbK2OPerAc > MOST_LBK2OPERAC;
    return {
      ...stage.said,
      k2o_lbPerAc: Math.min(MOST_LBK2OPERAC, stage.asks_lbK2OPerAc),
      how: cut ? `${stage.how}; cut to ${MOST_LBK2OPERAC}` : stage.how,
      rests: cut ? [...stage.rests, PARTS.cap] : stage.rests,
    };
  },
});

interface Asked {
  readonly asks_lbK2OPerAc: number;
  readonly how: string;
  readonly rests: readonly Pick<GuidePart, 'flag'>[];
  readonly said: Pick<Said, 'critical_ppm' | 'noneAbove_ppm' | 'className'>;
}

function stageOf({ k_ppm, cec_meq, crop, yieldGoal }: Given): Asked {
  const removal = removalOf(REMOVAL, crop, yieldGoal);
  const critical = 75 + 2.5 * cec_meq;
  const upper = critical + MAINTENANCE_WIDTH_PPM;
  const zeroAt = upper + DRAW_DOWN_WIDTH_PPM;
  const maintenance = removal.lbK2OPerAc + ADDED_LBK2OPERAC;
  const keep = `removal ${removal.sum}, + ${ADDED_LBK2OPERAC}`;
  const rests = [PARTS.level, PARTS.maintenance, removal.part];
  const said = { critical_ppm: { least: critical, most: critical }, noneAbove_ppm: zeroAt };
  if (k_ppm < critical) {
    const buildUp = (critical - k_ppm) * (1 + 0.05 * cec_meq);
    return {
      asks_lbK2OPerAc: buildUp + maintenance,
      how: `build-up (${figure(critical, 1)} - ${figure(k_ppm, 1)}) ppm x (1 + 0.05 x ${figure(cec_meq, 1)}) = ${figure(buildUp, 1)}, + ${keep}`,
      rests: [...rests, PARTS.buildUp],
      said: { ...said, className: 'build-up' },
    };
  }
  if (upTo(k_ppm, upper))
    return {
      asks_lbK2OPerAc: maintenance,
      how: `maintenance from ${figure(critical, 1)} to ${figure(upper, 1)} ppm: ${keep}`,
      rests,
      said: { ...said, className: 'maintenance' },
    };
  const share = Math.max(0, (zeroAt - k_ppm) / DRAW_DOWN_WIDTH_PPM);
  return {
    asks_lbK2OPerAc: maintenance * share,
    how: `draw-down above ${figure(upper, 1)} ppm, 0 from ${figure(zeroAt, 1)}: ${figure(share, 2)} of maintenance, ${keep}`,
    rests: [...rests, PARTS.drawDown],
    said: { ...said, className: 'draw-down' },
  };
}
