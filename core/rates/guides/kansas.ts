import { figure, typed } from '../text.ts';
import { FROM_MEMORY, fromMemoryPart, makeGuide, seenPart, WHEAT } from './guide.ts';

const SOURCE = 'Kansas State University, Soil Test Interpretations and Fertilizer Recommendations, MF-2586';
const PARTS = {
  critical: seenPart('critical 130 ppm', SOURCE),
  corn: fromMemoryPart('corn 73 + 0.21 Y - 0.565 K - 0.0016 Y K, lb K2O', SOURCE),
  soybean: fromMemoryPart('soybean 60 + 0.628 Y - 0.46 K - 0.0048 Y K, lb K2O', SOURCE),
  wheat: fromMemoryPart('wheat 62 + 0.24 Y - 0.48 K - 0.0018 Y K, lb K2O', SOURCE),
} as const;
const CRITICAL_PPM = 130;

/** a + b Y - c K - d Y K. */
interface Plane {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
}
const WHEAT_PLANE: Plane = { a: 62, b: 0.24, c: 0.48, d: 0.0018 };
const PLANES: Readonly<Record<string, Plane>> = {
  corn: { a: 73, b: 0.21, c: 0.565, d: 0.0016 },
  soybean: { a: 60, b: 0.628, c: 0.46, d: 0.0048 },
  ...Object.fromEntries(WHEAT.map((id) => [id, WHEAT_PLANE])),
};

/** lb K2O/ac by a crop's formula with nothing cut off: a + b Y - c K - d Y K, for yield Y (bu/ac) and K (ppm). Throws for another crop. */
export function kansasFormula_lbK2OPerAc(crop: string, yieldGoal: number, k_ppm: number): number {
  const plane = PLANES[crop];
  if (!plane) throw new Error(`no formula for ${crop}`);
  return plane.a + plane.b * yieldGoal - plane.c * k_ppm - plane.d * yieldGoal * k_ppm;
}

/** Kansas: a + b Y - c K - d Y K, never below 0, and 0 from 130 ppm up. The formulas are from memory, confirm against the current bulletin. */
export const kansas = makeGuide({
  id: 'kansas',
  name: 'Kansas',
  source: SOURCE,
  parts: Object.values(PARTS),
  extraction: {
    is: 'ammonium acetate',
    source: 'Kansas State University: ammonium acetate K against the critical 130',
    flag: FROM_MEMORY,
  },
  depth: {
    least_in: 6,
    most_in: 6,
    source: 'Kansas State University Extension: row crops to 6 in.',
    flag: FROM_MEMORY,
  },
  crops: Object.keys(PLANES),
  validity: 'K below 130 ppm.',
  outside: '0 from 130 ppm up.',
  supersededBy: null,
  maySetRate: false,
  needs: ['k', 'yieldGoal'],
  countsRemoval: false,
  work: ({ k_ppm, crop, yieldGoal }) => {
    const plane = PLANES[crop];
    if (!plane) throw new Error(`no formula for ${crop}`);
    const short = k_ppm < CRITICAL_PPM;
    return {
      k2o_lbPerAc: short ? Math.max(0, kansasFormula_lbK2OPerAc(crop, yieldGoal, k_ppm)) : 0,
      how: short
        ? `${plane.a} + ${plane.b} x ${typed(yieldGoal)} - ${plane.c} x ${figure(k_ppm, 1)} - ${plane.d} x ${typed(yieldGoal)} x ${figure(k_ppm, 1)}`
        : `nothing from ${CRITICAL_PPM} ppm up`,
      critical_ppm: { least: CRITICAL_PPM, most: CRITICAL_PPM },
      noneAbove_ppm: CRITICAL_PPM,
      rests: Object.values(PARTS),
    };
  },
});
