import type { Problem } from '../base/problem.ts';
import type { Zone } from '../zones/types.ts';
import type { Ground, Worked } from './ledger.ts';
import type { ByHand } from './override.ts';
import type { RatesSettings } from './settings.ts';
import type { PassRate, ProductRate, ZoneRate } from './types.ts';
import { aboutCredits, aboutCrop } from './watch-crop.ts';
import { aboutGround, aboutReading } from './watch-ground.ts';
import { aboutHand, aboutLeft, aboutPasses } from './watch-passes.ts';
import { aboutSaturation } from './watch-saturation.ts';
import type { ZoneGround } from './zone-history.ts';

/** A zone's result as far as the cautions look at it. */
export interface Watched {
  readonly zone: Pick<Zone, 'key' | 'letter' | 'acres' | 'far_ac' | 'stats' | 'role'>;
  readonly ground: Ground;
  readonly mixed: ZoneGround['mixed'];
  /** True where no area is drawn: what is told of the ground holds for all of it, and can be said once. */
  readonly fieldWide: boolean;
  readonly worked: Worked;
  readonly answers: ZoneRate['answers'];
  readonly passes: readonly PassRate[];
  readonly products: readonly ProductRate[];
  readonly k2o_lbPerAc: number | null;
  readonly byHand: ByHand | null;
  readonly withheld: boolean;
}

/** Where a caution belongs. */
export type At = { readonly zone: string };

/**
 * What a person should look at in a zone that has its rate, cautions and notes only, each with the zone's letter unless it is of the whole
 * plan. Of saturation: `rates-saturation-note`, `-caution`, `-strong`, `rates-manured`, `rates-manure-not-told`, `rates-tetany`. Of the reading and
 * the ground: `rates-cec-overstated`, `rates-extractant-not-told`, `rates-no-cec-caps`, `rates-far-part`, `rates-part-known`,
 * `rates-history-mixed`, `rates-sand`, `rates-frozen`, `rates-slope`. Of crop and credits: `rates-no-uptake`, `rates-just-short`,
 * `rates-readings-apart`, `rates-chloride`, `rates-yield-goal-odd`, `rates-credit-undated`, `rates-credit-over`,
 * `rates-manure-no-credit`. Of passes: `rates-light-no-season`, `rates-cap-under-least`, `rates-placed-no-figure`, `rates-placed-n`, `rates-placed-in-season`,
 * `rates-pass-reason`, `rates-heavy-pass`, `rates-very-heavy-pass`, `rates-zone-off`, `rates-off-by-hand`, `rates-override-range`, `rates-override-above-range`,
 * `rates-override-cap`, `rates-undone` (more than a quarter of what was asked, or more than half by the budget), `rates-machine-changes` and `rates-distinct-changes` (more than 25 % and 10 lb/ac).
 */
export function watch(of: Watched, plan: RatesSettings): readonly Problem[] {
  const at = { zone: of.zone.letter };
  const problems = [
    ...aboutSaturation(of, plan, at),
    ...aboutReading(of, plan, at),
    ...aboutCredits(of, plan, at),
    ...(of.withheld
      ? []
      : [
          ...aboutCrop(of, plan, at),
          ...aboutGround(of, plan, at),
          ...aboutPasses(of, plan, at),
          ...aboutLeft(of, plan, at),
          ...aboutHand(of, plan, at),
        ]),
  ];
  return problems.map((problem) => ({ ...problem, stage: 'rates' }));
}
