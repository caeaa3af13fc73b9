import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CROPS } from '../../core/rates/crops.ts';
import { carriedSum } from '../../core/rates/ledger.ts';
import { isMachineRate } from '../../core/rates/machine.ts';
import { placementLimit } from '../../core/rates/placement.ts';
import type { RatesSettings } from '../../core/rates/settings.ts';
import { corn, lineOf, ratesOf, soilPlan, zoneRate } from './ground.ts';

const anyNumber = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const maybe = (min: number, max: number) => fc.option(anyNumber(min, max), { nil: null });

const machine = fc
  .record({
    least_lbPerAc: fc.constantFrom(0, 20, 37.5, 50, 52, 80),
    most_lbPerAc: fc.constantFrom(120, 333, 400, 800),
    step_lbPerAc: fc.constantFrom(0.1, 1, 2.5, 5, 7, 10, 25),
    distinctRates: fc.constant(null),
  })
  .filter((one) => one.least_lbPerAc + one.step_lbPerAc < one.most_lbPerAc);

const holding = fc
  .tuple(maybe(20, 300), maybe(10, 120), fc.boolean(), maybe(50, 400), maybe(20, 200))
  .map(([year, pass, light, year2, pass2]) => [
    { name: 'light', under_meq: 8, perYear_lbK2OPerAc: year, perPass_lbK2OPerAc: pass, light },
    { name: 'rest', under_meq: null, perYear_lbK2OPerAc: year2, perPass_lbK2OPerAc: pass2, light: false },
  ]);

const BROADCAST = { mostReason: 'a test', placement: 'broadcast', row_in: 30 } as const;
const passes = fc.oneof(
  anyNumber(30, 900).map((most) => [{ name: 'before', inSeason: false, most_lbPerAc: most, ...BROADCAST }]),
  anyNumber(30, 900).map((most) => [{ name: 'in season', inSeason: true, most_lbPerAc: most, ...BROADCAST }]),
  fc.tuple(anyNumber(30, 900), anyNumber(30, 900)).map(([first, second]) => [
    { name: 'before', inSeason: false, most_lbPerAc: first, ...BROADCAST },
    { name: 'in season', inSeason: true, most_lbPerAc: second, ...BROADCAST },
  ]),
);

const credits = fc
  .option(anyNumber(0, 90), { nil: null })
  .map((k2o_lbPerAc) =>
    k2o_lbPerAc === null
      ? []
      : [{ kind: 'fertilizer', name: 'earlier', k2o_lbPerAc, on: '', afterSample: 'yes', where: null }],
  );

const plan: fc.Arbitrary<RatesSettings> = fc
  .record({
    crop: fc.constantFrom(...CROPS.map((crop) => crop.id)),
    yieldGoal: anyNumber(1, 300),
    governs: fc.constantFrom('larger', 'ppm', 'saturation'),
    floor_ppm: anyNumber(80, 220),
    floor_pct: anyNumber(2, 5),
    rangeTop_pct: anyNumber(5, 9),
    zeroAt_pct: anyNumber(6, 15),
    buildUp_years: fc.integer({ min: 1, max: 6 }),
    residueShare_pct: anyNumber(0, 100),
    // years ahead cost a ledger each, and these laws are of this year
    land_years: fc.constant(1),
    credits,
    machine,
    holding,
    passes,
    grade: fc.constantFrom(22, 44, 50, 60, 62),
  })
  .map(
    ({ grade, ...rest }) =>
      corn({
        ...rest,
        product: {
          name: 'K',
          n_pct: 0,
          p2o5_pct: 0,
          k2o_pct: grade,
          salt: grade === 22 ? 'langbeinite' : 'chloride',
          price_perTon: 430,
        },
      } as Partial<RatesSettings>), // governs is one of the three, which the schema checks
  );
const cec_meq = anyNumber(2, 40);
const k_ppm = anyNumber(5, 900);

describe('laws of the ledger', () => {
  it('the rate never rises when K rises, all else equal', () => {
    fc.assert(
      fc.property(plan, cec_meq, k_ppm, anyNumber(0, 200), (rates, cec, k, more) => {
        const lean = zoneRate({ k_ppm: k, cec_meq: cec }, rates);
        const rich = zoneRate({ k_ppm: k + more, cec_meq: cec }, rates);
        expect(rich.exact_lbPerAc ?? 0).toBeLessThanOrEqual((lean.exact_lbPerAc ?? 0) + 1e-9);
        expect(rich.rate_lbPerAc ?? 0).toBeLessThanOrEqual((lean.rate_lbPerAc ?? 0) + 1e-9);
      }),
      { numRuns: 200 },
    );
  });

  it('nor with two products, rounded each', () => {
    fc.assert(
      fc.property(cec_meq, k_ppm, anyNumber(0, 200), anyNumber(5, 95), (cec, k, more, share_pct) => {
        const second = {
          product: { ...corn().product, name: '0-0-50', k2o_pct: 50, salt: 'sulfate' as const },
          gives: { by: 'share of K2O' as const, share_pct },
          where: null,
        };
        const rates = corn({ second, land_years: 1 });
        const lean = zoneRate({ k_ppm: k, cec_meq: cec }, rates);
        const rich = zoneRate({ k_ppm: k + more, cec_meq: cec }, rates);
        expect(rich.exact_lbPerAc ?? 0).toBeLessThanOrEqual((lean.exact_lbPerAc ?? 0) + 1e-9);
        expect(rich.k2o_lbPerAc ?? 0).toBeLessThanOrEqual((lean.k2o_lbPerAc ?? 0) + 1e-9);
      }),
      { numRuns: 80 },
    );
  });

  it('nothing is built up above the range, and no more than removal is put on', () => {
    fc.assert(
      fc.property(plan, cec_meq, anyNumber(0, 20), (rates, cec, above_pct) => {
        const k = ((rates.rangeTop_pct + 1e-6 + above_pct) / 100) * cec * 390.98;
        const zone = zoneRate({ k_ppm: k, cec_meq: cec }, rates);
        expect(lineOf(zone, 'buildUp').working).toBe(0);
        expect(lineOf(zone, 'crop').carried).toBe(lineOf(zone, 'crop').working);
        expect(lineOf(zone, 'aboveRange').carried ?? 1).toBeLessThanOrEqual(0);
        if (rates.rangeTop_pct + above_pct >= Math.max(rates.zeroAt_pct, rates.rangeTop_pct))
          expect(zone.rate_lbPerAc).toBe(0);
      }),
    );
  });

  it('steps, least, most and every cap hold, in each pass and over the year', () => {
    fc.assert(
      fc.property(plan, cec_meq, k_ppm, (rates, cec, k) => {
        const zone = zoneRate({ k_ppm: k, cec_meq: cec }, rates);
        const held = rates.holding[cec < 8 ? 0 : 1];
        expect(zone.passes).toHaveLength(rates.passes.length);
        zone.passes.forEach((pass, index) => {
          expect(isMachineRate(pass.rate_lbPerAc, rates.machine)).toBe(true);
          expect(pass.rate_lbPerAc).toBeLessThanOrEqual((rates.passes[index]?.most_lbPerAc ?? 0) + 1e-6);
          expect(pass.k2o_lbPerAc).toBeLessThanOrEqual((held?.perPass_lbK2OPerAc ?? Infinity) + 1e-6);
        });
        expect(zone.k2o_lbPerAc ?? 0).toBeLessThanOrEqual((held?.perYear_lbK2OPerAc ?? Infinity) + 1e-6);
      }),
      { numRuns: 100 },
    );
  });

  it('what is placed beside the seed never passes its limit of N + K2O', () => {
    const placed = fc.constantFrom('in furrow' as const, 'banded 2 x 2 in.' as const);
    fc.assert(
      fc.property(
        placed,
        anyNumber(10, 60),
        fc.constantFrom('corn', 'soybean', 'barley'),
        cec_meq,
        k_ppm,
        (placement, row_in, crop, cec, k) => {
          const [before, season] = corn().passes;
          if (!before || !season) throw new Error('no passes');
          const rates = corn({
            crop,
            yieldGoal: 90,
            machine: { least_lbPerAc: 1, most_lbPerAc: 800, step_lbPerAc: 0.5, distinctRates: null },
            passes: [{ ...before, placement, row_in }, season],
          });
          const zone = zoneRate({ k_ppm: k, cec_meq: cec }, rates);
          const sandy = cec < 8;
          const limit = placementLimit({ placement, row_in }, { crop, sandy, clay: false })?.most_lbNAndK2OPerAc ?? 0;
          expect(zone.passes[0]?.k2o_lbPerAc ?? 0).toBeLessThanOrEqual(limit + 1e-6);
        },
      ),
    );
  });

  it('credits never give more than is asked for, and none of them is lost', () => {
    fc.assert(
      fc.property(plan, cec_meq, k_ppm, (rates, cec, k) => {
        const zone = zoneRate({ k_ppm: k, cec_meq: cec }, rates);
        const line = lineOf(zone, 'credits');
        expect(zone.carriedOver_lbK2OPerAc).toBeCloseTo((line.working ?? 0) + (line.carried ?? 0), 9);
        expect(zone.carriedOver_lbK2OPerAc).toBeGreaterThanOrEqual(0);
        expect(carriedSum(zone.lines)).toBeGreaterThanOrEqual(-1e-9);
      }),
    );
  });

  it('a credit more never raises a rate', () => {
    fc.assert(
      fc.property(plan, cec_meq, k_ppm, anyNumber(0, 60), (rates, cec, k, k2o_lbPerAc) => {
        const one = {
          kind: 'fertilizer' as const,
          name: 'more',
          k2o_lbPerAc,
          on: '',
          afterSample: 'yes' as const,
          where: null,
        };
        const less = zoneRate({ k_ppm: k, cec_meq: cec }, rates);
        const more = zoneRate({ k_ppm: k, cec_meq: cec }, { ...rates, credits: [...rates.credits, one] });
        expect(more.rate_lbPerAc ?? 0).toBeLessThanOrEqual((less.rate_lbPerAc ?? 0) + 1e-9);
      }),
    );
  });

  it('rounding moves a rate by less than the least rate, or by a step where the rate is above it', () => {
    fc.assert(
      fc.property(plan, cec_meq, k_ppm, (rates, cec, k) => {
        const zone = zoneRate({ k_ppm: k, cec_meq: cec }, rates);
        const { least_lbPerAc, step_lbPerAc } = rates.machine;
        const off = Math.abs((zone.rate_lbPerAc ?? 0) - (zone.exact_lbPerAc ?? 0));
        expect(off).toBeLessThanOrEqual(Math.max(2 * step_lbPerAc, least_lbPerAc + step_lbPerAc) + 1e-6);
      }),
    );
  });

  it('the carried figures add up to K2O this year, which is the product before the machine', () => {
    fc.assert(
      fc.property(plan, cec_meq, k_ppm, (rates, cec, k) => {
        const zone = zoneRate({ k_ppm: k, cec_meq: cec }, rates);
        const carried = zone.lines.reduce((all, line) => all + (line.carried ?? 0), 0);
        expect(carried).toBe(carriedSum(zone.lines));
        expect(zone.exact_lbPerAc).toBe(carried / (rates.product.k2o_pct / 100));
        const asked =
          (lineOf(zone, 'crop').carried ?? 0) +
          (lineOf(zone, 'aboveRange').carried ?? 0) +
          (lineOf(zone, 'credits').carried ?? 0);
        expect(carried + zone.undone_lbK2OPerAc).toBeGreaterThanOrEqual(asked - 1e-6);
        expect(lineOf(zone, 'product').working).toBe(zone.exact_lbPerAc);
        expect(lineOf(zone, 'machine').working).toBe(zone.rate_lbPerAc);
      }),
    );
  });

  it('K2O given and undone make what was asked: short by a step a pass at most, over by the least rate at most', () => {
    fc.assert(
      fc.property(plan, cec_meq, k_ppm, (rates, cec, k) => {
        const zone = zoneRate({ k_ppm: k, cec_meq: cec }, rates);
        const asked =
          (lineOf(zone, 'crop').carried ?? 0) +
          (lineOf(zone, 'aboveRange').carried ?? 0) +
          (lineOf(zone, 'credits').carried ?? 0);
        const off = ((zone.k2o_lbPerAc ?? 0) + zone.undone_lbK2OPerAc - asked) / (rates.product.k2o_pct / 100);
        const { least_lbPerAc, step_lbPerAc } = rates.machine;
        expect(off).toBeGreaterThanOrEqual(-step_lbPerAc * rates.passes.length - 1e-6);
        expect(off).toBeLessThanOrEqual(
          Math.max(step_lbPerAc * rates.passes.length, least_lbPerAc + step_lbPerAc) + 1e-6,
        );
      }),
      { numRuns: 100 },
    );
  });

  it('the passes add up to the rate, K2O follows, and acres x rate are the pounds', () => {
    fc.assert(
      fc.property(
        plan,
        fc.array(fc.tuple(k_ppm, cec_meq, anyNumber(0.1, 90)), { minLength: 1, maxLength: 6 }),
        (rates, grounds) => {
          const out = ratesOf(
            grounds.map(([k, cec, acres]) => ({ k_ppm: k, cec_meq: cec, acres })),
            rates,
          );
          let pounds = 0;
          for (const zone of out.zones) {
            const sum = zone.passes.reduce((all, pass) => all + pass.rate_lbPerAc, 0);
            expect(sum).toBeCloseTo(zone.rate_lbPerAc ?? Number.NaN, 6);
            expect(zone.k2o_lbPerAc).toBeCloseTo((sum * rates.product.k2o_pct) / 100, 6);
            pounds += zone.acres * (zone.rate_lbPerAc ?? 0);
          }
          expect(out.totals.product_lb).toBeCloseTo(pounds, 6);
          expect(out.totals.product_tons * 2000).toBeCloseTo(pounds, 6);
          expect(out.totals.byPass.reduce((all, pass) => all + pass.product_lb, 0)).toBeCloseTo(pounds, 5);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('cutting a zone into parts with the same reading changes no total', () => {
    fc.assert(
      fc.property(plan, cec_meq, k_ppm, anyNumber(1, 80), anyNumber(0.05, 0.95), (rates, cec, k, acres, share) => {
        const ground = { k_ppm: k, cec_meq: cec };
        const one = ratesOf([{ ...ground, acres }], rates).totals;
        const two = ratesOf(
          [
            { ...ground, acres: acres * share },
            { ...ground, acres: acres * (1 - share) },
          ],
          rates,
        ).totals;
        expect(two.product_lb).toBeCloseTo(one.product_lb, 5);
        expect(two.cost).toBeCloseTo(one.cost, 5);
        expect(two.k2o_lb).toBeCloseTo(one.k2o_lb, 5);
      }),
      { numRuns: 60 },
    );
  });

  it('light ground keeps a pass in season whenever anything is spread and a pass there can take it', () => {
    fc.assert(
      fc.property(anyNumber(2, 7.9), k_ppm, anyNumber(20, 300), anyNumber(50, 500), (cec, k, yieldGoal, most) => {
        const rates = corn({
          yieldGoal,
          passes: [
            { name: 'before', inSeason: false, most_lbPerAc: most, ...BROADCAST },
            { name: 'in season', inSeason: true, most_lbPerAc: 200, ...BROADCAST },
          ],
        });
        const zone = zoneRate({ k_ppm: k, cec_meq: cec }, rates);
        if ((zone.rate_lbPerAc ?? 0) > 0) expect(zone.passes[1]?.rate_lbPerAc).toBeGreaterThan(0);
      }),
    );
  });

  it('the plan answers as the reading that governs, and the larger is the larger of both', () => {
    fc.assert(
      fc.property(plan, cec_meq, k_ppm, (rates, cec, k) => {
        const zone = zoneRate({ k_ppm: k, cec_meq: cec }, rates, soilPlan());
        const { ppmAlone, saturationAlone, thisPlan } = zone.answers;
        const expected = {
          ppm: ppmAlone,
          saturation: saturationAlone,
          larger: Math.max(ppmAlone ?? 0, saturationAlone ?? 0),
        };
        expect(thisPlan).toBe(expected[rates.governs]);
      }),
    );
  });
});
