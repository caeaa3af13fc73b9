import { GUIDES } from './list.ts';
import { type GuideTableInput, guideInput } from './table.ts';
import type { GuideFacts } from './types.ts';

/** One guide's K2O over soil-test K, for a plot. */
export interface GuideCurve {
  readonly guide: GuideFacts;
  /** lb K2O/ac a year at each K of `k_ppm`; null where it gives no rate there. */
  readonly k2o_lbPerAc: readonly (number | null)[];
  /** True where every rate of the curve might set a plan's. */
  readonly maySetRate: boolean;
  /** Why it gives none at the zone's own K; empty where it answers there. */
  readonly why: string;
}

/** All guides over K at one zone's CEC, depth, crop and yield goal. */
export interface GuideCurves {
  readonly k_ppm: readonly number[];
  readonly curves: readonly GuideCurve[];
}

/** K of a plot, ppm: 0 to 300 by 2. */
export const CURVE_K_PPM: readonly number[] = Array.from({ length: 151 }, (_, index) => index * 2);

/**
 * Every guide's rate over soil-test K at one zone, all else as the zone has it, in the order of the list. Guides whose
 * conditions the zone does not meet stand in it with nulls and their reason. Cost: guides x points.
 */
export function guideCurves(of: GuideTableInput, k_ppm: readonly number[] = CURVE_K_PPM): GuideCurves {
  const input = guideInput(of);
  const curves = GUIDES.map(({ recommend, ...guide }) => {
    const answers = k_ppm.map((k) => recommend({ ...input, reading: { ...input.reading, k_ppm: k } }));
    const rates = answers.map((answer) => (answer.ok ? answer.k2o_lbPerAc : null));
    const here = recommend(input);
    return {
      guide,
      k2o_lbPerAc: rates,
      maySetRate:
        rates.some((rate) => rate !== null) &&
        answers.every((answer) => !answer.ok || answer.k2o_lbPerAc === null || answer.maySetRate),
      why: here.ok ? '' : here.why,
    };
  });
  return { k_ppm, curves };
}
