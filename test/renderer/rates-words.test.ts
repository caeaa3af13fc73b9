import { describe, expect, it } from 'vitest';
import { awayFrom, BASES, basisOf, takeBasis } from '../../core/rates/basis.ts';
import { guideGround } from '../../core/rates/guide-ground.ts';
import { CURVE_K_PPM } from '../../core/rates/guides/curves.ts';
import type { ZoneRate } from '../../core/rates/types.ts';
import { groundHistorySchema } from '../../core/soil/history.ts';
import { BASIS_WORDS, choiceWords } from '../../renderer/panels/basis-words.ts';
import { groundWords } from '../../renderer/panels/ground-words.ts';
import { ownCurve } from '../../renderer/panels/zone-plan.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';
import { deepFreeze } from '../freeze.ts';

const { plan } = samplePlan();
deepFreeze(plan);

describe('a basis in words', () => {
  it('has words for every choice, in both systems of units', () => {
    expect(Object.keys(BASIS_WORDS).sort()).toEqual(Object.keys(basisOf(plan.rates, 'x').choices).sort());
    for (const basis of BASES) {
      const taken = takeBasis(plan.rates, basis);
      for (const key of awayFrom(plan.rates, basis)) {
        for (const units of ['US', 'metric'] as const) {
          const [from, to] = [choiceWords(key, plan.rates[key], units), choiceWords(key, taken[key], units)];
          expect(from, key).not.toBe(to);
        }
      }
    }
  });
});

describe('the ground in words', () => {
  it('says what is told and nothing else', () => {
    expect(groundWords(groundHistorySchema.parse({}))).toBe('');
    expect(groundWords(groundHistorySchema.parse({ manure: 'most years', water: 'irrigated', slope_pct: 4 }))).toBe(
      'manured most years, irrigated, slope 4 %',
    );
  });
});

const ground: Pick<ZoneRate, 'reading' | 'history'> = {
  reading: {
    k_ppm: 120,
    cec_meq: 20,
    kSat_pct: 1.5,
    ca_ppm: 3000,
    mg_ppm: 500,
    caSat_pct: 75,
    mgSat_pct: 20,
    ph: 6.8,
    depth_in: 6,
  },
  history: groundHistorySchema.parse({}),
};

describe('the plan over soil-test K', () => {
  const { rates } = guideGround({ ...ground, key: 'none of them' }, plan, null);
  // Reading and history are all of a zone that the curve goes by.
  const curve = ownCurve(plan, rates, ground as ZoneRate, CURVE_K_PPM);

  it('never asks for more where there is more', () => {
    expect(curve).toHaveLength(CURVE_K_PPM.length);
    for (let i = 1; i < curve.length; i++) expect(curve[i] ?? 0).toBeLessThanOrEqual((curve[i - 1] ?? 0) + 1e-9);
  });

  it('asks for removal alone from the target to the top of the range', () => {
    // 4 % of 20 meq is 313 ppm, beyond the plot; by ppm alone the target is 150. Corn takes 0.2 lb a bushel, 200 bushels.
    const byPpm = ownCurve(plan, { ...rates, governs: 'ppm' }, ground as ZoneRate, [160, 300]);
    expect(byPpm).toEqual([40, 40]);
  });

  it('is not moved by a guide that the plan follows', () => {
    const followed = ownCurve(plan, { ...rates, follows: 'iowa-2013' }, ground as ZoneRate, CURVE_K_PPM);
    expect(followed).toEqual(curve);
  });
});
