import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  linearPlateau_pct,
  mitscherlich_pct,
  mitscherlichReaches_ppm,
  quadraticJoin_ppm,
  quadraticPlateau_pct,
  relativeYield_pct,
} from '../../core/rates/response.ts';
import type { RatesSettings, ResponseCurve } from '../../core/rates/settings.ts';
import { corn, lineOf, ratesOf, zoneRate } from './ground.ts';

// Soil test and relative yield of the published tutorials of the R package soiltestcorr (MIT): 15 pairs, and the fits printed there.
const STV = Array.from({ length: 15 }, (_, index) => index + 1);
const RY = [65, 80, 85, 88, 90, 94, 93, 96, 97, 95, 98, 100, 99, 99, 100];
const squares = (curve: (x: number) => number): number =>
  STV.reduce((all, x, index) => all + ((RY[index] ?? Number.NaN) - curve(x)) ** 2, 0);

/** Least squares of a straight line up to a join, flat after it: exact for that join. */
function fitAt(join: number): { a: number; b: number; rss: number } {
  const x = STV.map((one) => Math.min(one, join));
  const mx = x.reduce((all, one) => all + one, 0) / x.length;
  const my = RY.reduce((all, one) => all + one, 0) / RY.length;
  const sxy = x.reduce((all, one, index) => all + (one - mx) * ((RY[index] ?? 0) - my), 0);
  const b = sxy / x.reduce((all, one) => all + (one - mx) ** 2, 0);
  const a = my - b * mx;
  return { a, b, rss: squares((one) => linearPlateau_pct(one, a, b, join)) };
}

describe('response curves, as printed for the soiltestcorr set', () => {
  it('linear plateau: 64.20 + 5.80 x to 5.672, residual squares 121.70, the best of all joins (worked out from the set)', () => {
    const joins = Array.from({ length: 12_000 }, (_, index) => 2 + index / 1000);
    const best = joins.map((join) => ({ join, ...fitAt(join) })).reduce((a, b) => (b.rss < a.rss ? b : a));
    expect(best.join).toBeCloseTo(5.672, 2);
    expect(best.a).toBeCloseTo(64.2, 1);
    expect(best.b).toBeCloseTo(5.8, 1);
    expect(best.rss).toBeCloseTo(121.7, 1);
  });
  it('the join printed there, 6.21, is a local best: residual squares 122.93', () => {
    expect(fitAt(6.21).rss).toBeCloseTo(122.93, 1);
    expect(fitAt(6.21).rss).toBeLessThan(fitAt(6).rss);
  });
  it('quadratic plateau: 61.0 + 8.59 x - 0.502 x2 joins at 8.56', () => {
    expect(quadraticJoin_ppm(8.59, -0.502)).toBeCloseTo(8.56, 2);
    const top = quadraticPlateau_pct(8.56, 61, 8.59, -0.502);
    expect(quadraticPlateau_pct(15, 61, 8.59, -0.502)).toBeCloseTo(top, 3);
    expect(squares((x) => quadraticPlateau_pct(x, 61, 8.59, -0.502))).toBeLessThan(121.7);
  });
  it('Mitscherlich: 98.7 (1 - exp(-0.371 (x + 2.07))) comes to 95 % at 6.77', () => {
    expect(mitscherlichReaches_ppm(95, 98.7, 2.07, 0.371)).toBeCloseTo(6.77, 1);
    expect(mitscherlich_pct(mitscherlichReaches_ppm(95, 98.7, 2.07, 0.371), 98.7, 2.07, 0.371)).toBeCloseTo(95, 9);
    expect(mitscherlichReaches_ppm(99, 98.7, 2.07, 0.371)).toBeNaN();
  });
});

const MODELS = ['linear plateau', 'quadratic plateau', 'Mitscherlich'] as const;
const curve = (changes: Partial<ResponseCurve> = {}): ResponseCurve => ({
  model: 'linear plateau',
  atZero_pct: 60,
  reachedLow_ppm: 120,
  reachedHigh_ppm: 160,
  source: 'trials of the county',
  ...changes,
});

describe('relative yield by the plan’s curve', () => {
  it('begins at its share, and is 100 (95 by Mitscherlich) where it is said to be reached', () => {
    for (const model of MODELS) {
      expect(relativeYield_pct({ model, atZero_pct: 60 }, 120, 0)).toBeCloseTo(60, 9);
      expect(relativeYield_pct({ model, atZero_pct: 60 }, 120, 120)).toBeCloseTo(
        model === 'Mitscherlich' ? 95 : 100,
        9,
      );
    }
    expect(relativeYield_pct({ model: 'linear plateau', atZero_pct: 60 }, 120, 60)).toBeCloseTo(80, 9);
    expect(relativeYield_pct({ model: 'quadratic plateau', atZero_pct: 60 }, 120, 60)).toBeCloseTo(90, 9); // 100 - 40 / 4
    expect(relativeYield_pct({ model: 'linear plateau', atZero_pct: 60 }, 120, 400)).toBe(100);
  });
  it('never falls as K rises, never rises faster, and never passes 100', () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        fc.constantFrom(...MODELS),
        number(0, 90),
        number(20, 300),
        number(0, 400),
        number(0.1, 50),
        (model, atZero_pct, reached, k, more) => {
          const at = (ppm: number) => relativeYield_pct({ model, atZero_pct }, reached, ppm);
          expect(at(k + more)).toBeGreaterThanOrEqual(at(k) - 1e-9);
          expect(at(k + more)).toBeLessThanOrEqual(100 + 1e-9);
          expect(at(k + 2 * more) - at(k + more)).toBeLessThanOrEqual(at(k + more) - at(k) + 1e-9);
        },
      ),
    );
  });
});

const priced = (changes: Partial<RatesSettings> = {}) => corn({ response: curve(), cropPrice_perUnit: 4, ...changes });

describe('what K2O returns', () => {
  it('counts from what credits bring: 80 ppm + 108 lb / 2.409 = 124.8 ppm is past the plateau, so nothing returns', () => {
    const response = {
      model: 'linear plateau',
      atZero_pct: 40,
      reachedLow_ppm: 100,
      reachedHigh_ppm: 120,
      source: 'trials of the county',
    } as const;
    const credit = {
      kind: 'fertilizer',
      name: 'autumn',
      k2o_lbPerAc: 108,
      on: '',
      afterSample: 'yes',
      where: null,
    } as const;
    const plan = { response, cropPrice_perUnit: 4 };
    const bare = zoneRate({ k_ppm: 80, cec_meq: 12 }, corn(plan));
    expect(bare.return_perAc?.low ?? 0).toBeGreaterThan(50);
    const budget = { by: 'dollars', amount: 5000, rule: 'equal marginal return' } as const;
    for (const more of [{}, { budget }]) {
      const zone = ratesOf([{ k_ppm: 80, cec_meq: 12 }], corn({ ...plan, ...more, credits: [credit] }));
      expect(zone.zones[0]?.return_perAc).toMatchObject({ low: 0, high: 0 });
      // so that no dollar is laid where it returns none
      if ('budget' in more) expect(zone.totals.product_lb).toBe(0);
      else expect(zone.totals.product_lb).toBeGreaterThan(0);
    }
  });
  // 70 ppm at CEC 18, 156 lb K2O / 2.4092 = 64.7 ppm more. Low end of the doubt (120): from 70/120 to the top, 40 x 50/120 = 16.67 %;
  // high end (160): 40 x 64.75 / 160 = 16.19 %. Of 200 bu at $4: $133.3 and $129.5.
  const zone = zoneRate({ k_ppm: 70, cec_meq: 18 }, priced({ governs: 'ppm', buildUp_years: 20 }));
  it('is goal x price x what relative yield gains, as a band with its source', () => {
    expect(zone.k2o_lbPerAc).toBeCloseTo(156, 9);
    expect(zone.return_perAc?.high).toBeCloseTo(133.33, 1);
    expect(zone.return_perAc?.low).toBeCloseTo(129.5, 0);
    expect(zone.return_perAc?.source).toBe('trials of the county');
    expect(lineOf(zone, 'money').how).toContain(
      'may return $130 to $133 an acre this season, linear plateau (trials of the county)',
    );
  });
  it('is nothing above the plateau', () => {
    const rich = zoneRate({ k_ppm: 200, cec_meq: 12 }, priced());
    expect(rich.return_perAc).toMatchObject({ low: 0, high: 0 });
  });
  it('is not said without a curve, or without the crop’s price', () => {
    expect(zoneRate({ k_ppm: 70, cec_meq: 18 }).return_perAc).toBeNull();
    const noPrice = zoneRate({ k_ppm: 70, cec_meq: 18 }, priced({ cropPrice_perUnit: null }));
    expect(noPrice.return_perAc).toBeNull();
    expect(lineOf(noPrice, 'money').how).toContain('since no crop price is entered');
  });
  it.each([
    ['a band the wrong way round', curve({ reachedLow_ppm: 170 }), 'rates-response-band'],
    ['Mitscherlich from 95 % up', curve({ model: 'Mitscherlich', atZero_pct: 96 }), 'rates-response-flat'],
  ])('is not worked out by %s, and that is told', (_, response, code) => {
    const out = ratesOf([{ k_ppm: 70, cec_meq: 18 }], priced({ response }));
    expect(out.problems.map((one) => one.code)).toContain(code);
    expect(out.zones[0]?.return_perAc).toBeNull();
  });
  it('never falls as more K2O is put on', () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        fc.constantFrom(...MODELS),
        number(20, 300),
        number(50, 400),
        number(0, 300),
        (model, k_ppm, rate, more) => {
          const by = (rate_lbPerAc: number) =>
            zoneRate(
              { k_ppm, cec_meq: 18 },
              priced({
                response: curve({ model }),
                overrides: [{ zoneKey: '1', rate_lbPerAc, who: '', when: '', why: 'x' }],
              }),
            ).return_perAc;
          expect(by(rate + more)?.low ?? 0).toBeGreaterThanOrEqual((by(rate)?.low ?? 1) - 1e-9);
          expect(by(rate)?.high).toBeGreaterThanOrEqual((by(rate)?.low ?? 1) - 1e-9);
        },
      ),
      { numRuns: 30 },
    );
  });
});
