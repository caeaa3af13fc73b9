import { figure, typed } from '../text.ts';
import { FROM_MEMORY, fromMemoryPart, makeGuide, PLOW_LAYER, WHEAT } from './guide.ts';

const SOURCE = 'South Dakota State University, Fertilizer Recommendations Guide, EC750';
const PARTS = [
  fromMemoryPart('corn (1.166 - 0.0073 x test) x bu, lb K2O; none from 160 ppm', SOURCE),
  fromMemoryPart('soybean (2.20 - 0.0183 x test) x bu, lb K2O; none from 120 ppm', SOURCE),
  fromMemoryPart('wheat (2.71 - 0.017 x test) x bu, lb K2O; none from 160 ppm', SOURCE),
];

interface Line {
  readonly at0: number;
  readonly perPpm: number;
  /** Printed limit of the class that gets none. */
  readonly noneFrom_ppm: number;
}
const WHEAT_LINE: Line = { at0: 2.71, perPpm: 0.017, noneFrom_ppm: 160 };
const LINES: Readonly<Record<string, Line>> = {
  corn: { at0: 1.166, perPpm: 0.0073, noneFrom_ppm: 160 },
  soybean: { at0: 2.2, perPpm: 0.0183, noneFrom_ppm: 120 },
  ...Object.fromEntries(WHEAT.map((id) => [id, WHEAT_LINE])),
};

/** South Dakota: (a - b x K) lb K2O per bu of yield goal, 0 from the printed limit up. From memory, confirm against the current bulletin. */
export const southDakota = makeGuide({
  id: 'south-dakota',
  name: 'South Dakota',
  source: SOURCE,
  parts: PARTS,
  extraction: { is: 'ammonium acetate', source: SOURCE, flag: FROM_MEMORY },
  depth: PLOW_LAYER,
  crops: Object.keys(LINES),
  validity: 'K below 160 ppm on corn and wheat, below 120 on soybean.',
  outside: '0 from there up.',
  supersededBy: null,
  maySetRate: false,
  needs: ['k', 'yieldGoal'],
  countsRemoval: false,
  work: ({ k_ppm, crop, yieldGoal }) => {
    const line = LINES[crop];
    if (!line) throw new Error(`no line for ${crop}`);
    const perBu = k_ppm >= line.noneFrom_ppm ? 0 : Math.max(0, line.at0 - line.perPpm * k_ppm);
    return {
      k2o_lbPerAc: perBu * yieldGoal,
      how:
        perBu > 0
          ? `(${line.at0} - ${line.perPpm} x ${figure(k_ppm, 1)}) x ${typed(yieldGoal)} bu`
          : `nothing at ${figure(k_ppm, 1)} ppm: it ends at ${line.noneFrom_ppm}`,
      noneAbove_ppm: line.noneFrom_ppm,
      rests: PARTS,
    };
  },
});
