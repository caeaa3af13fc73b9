import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { K2O_PER_K, lbPerAc, lbPerAcToKgPerHa, lbPerAcToMgPerM2, metres, mToFt } from '../../core/base/units.ts';
import {
  acidity_meq,
  bases_meq,
  chemistryOf,
  FACTORS,
  type FactorSet,
  lbPerAcToPpm,
  type Measured,
  meqToPpm,
  ppmToLbPerAc,
  ppmToMeq,
  supplyFactor,
} from '../../core/soil/chemistry.ts';
import { soilSettingsSchema } from '../../core/soil/settings.ts';
import type { Saturation } from '../../core/soil/types.ts';

const NONE: Saturation = {
  k_pct: Number.NaN,
  ca_pct: Number.NaN,
  mg_pct: Number.NaN,
  na_pct: Number.NaN,
  h_pct: Number.NaN,
};
const measured = (values: Partial<Measured>): Measured => ({
  k_ppm: Number.NaN,
  ca_ppm: Number.NaN,
  mg_ppm: Number.NaN,
  na_ppm: Number.NaN,
  ph: Number.NaN,
  bufferPh: Number.NaN,
  cec_meq: Number.NaN,
  h_meq: Number.NaN,
  sat: NONE,
  ...values,
});
const settings = (values: object = {}) => soilSettingsSchema.parse({ extractant: 'other', ...values });
const codes = (chemistry: { problems: readonly { code: string }[] }) => chemistry.problems.map((one) => one.code);
/** The set that the worked examples of both sources use: 391, 200, 121.5, 230. */
const AS_PUBLISHED: FactorSet = { k: 391, ca: 200, mg: 121.5, na: 230, h: 10 };

describe('pounds and ppm', () => {
  test('x2 per 6 in. (common practice, no source)', () => {
    const a = settings();
    expect(supplyFactor(6, a)).toBe(2);
    expect(supplyFactor(12, a)).toBe(4);
    // Purdue soil fertility: 20 ppm = 40 lb/ac in the plow layer.
    expect(ppmToLbPerAc(20, 6, a)).toBe(40);
  });

  test('furrow slice: 2,000,000 lb an acre in 6.667 in.', () => {
    const b = settings({ convention: 'furrow slice' });
    expect(supplyFactor(8, b)).toBeCloseTo(2.4, 12);
    expect(supplyFactor(12, b)).toBeCloseTo(3.6, 12);
  });

  test('bulk density: 0.22661 x g/cm3 x in., from 62.428 lb/ft3 and 43,560 ft2', () => {
    const c = settings({ convention: 'bulk density', bulkDensity_gPerCm3: 1 });
    expect(supplyFactor(1, c)).toBeCloseTo(0.22661, 5);
    expect(ppmToLbPerAc(100, 8, { ...c, bulkDensity_gPerCm3: 1.3 })).toBeCloseTo(235.7, 1);
    expect(supplyFactor(20 / 3, { ...c, bulkDensity_gPerCm3: 1.324 })).toBeCloseTo(2, 3);
  });

  test('law: back and forth gives the same ppm', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 5000, noNaN: true }),
        fc.double({ min: 1, max: 48, noNaN: true }),
        fc.constantFrom('x2 per 6 in.', 'furrow slice', 'bulk density'),
        (k_ppm, depth_in, convention) => {
          const use = settings({ convention });
          expect(lbPerAcToPpm(ppmToLbPerAc(k_ppm, depth_in, use), depth_in, use)).toBeCloseTo(k_ppm, 8);
        },
      ),
    );
  });
});

describe('meq and ppm', () => {
  test('exact factors are atomic weight / charge x 10', () => {
    // IUPAC 2021: K 39.0983, Ca 40.078, Mg 24.305, Na 22.98976928, H 1.008.
    expect(FACTORS.exact.k).toBeCloseTo(390.983, 2);
    expect(FACTORS.exact.ca).toBeCloseTo(400.78 / 2, 2);
    expect(FACTORS.exact.mg).toBeCloseTo(243.05 / 2, 1);
    expect(FACTORS.exact.na).toBeCloseTo(229.898, 1);
    expect(FACTORS.exact.h).toBeCloseTo(10.08, 6);
  });

  test('worked conversions of a university soil-chemistry handout (K 391, Ca 200, Mg 121.5)', () => {
    const use = settings();
    expect(ppmToLbPerAc(400, 6, use)).toBe(800);
    expect(ppmToMeq(400, 'k', AS_PUBLISHED)).toBeCloseTo(1.02, 2);
    expect(meqToPpm(0.98, 'k', AS_PUBLISHED)).toBeCloseTo(383.18, 2);
    expect(ppmToLbPerAc(383.18, 6, use)).toBeCloseTo(766.36, 2);
    expect(ppmToLbPerAc(2400, 6, use)).toBe(4800);
    expect(meqToPpm(4, 'ca', AS_PUBLISHED)).toBe(800);
    const mg_meq = ppmToMeq(1600, 'ca', AS_PUBLISHED) / 2.1;
    expect(mg_meq).toBeCloseTo(3.81, 2);
    expect(meqToPpm(mg_meq, 'mg', AS_PUBLISHED)).toBeCloseTo(462.9, 1);
  });

  test('the base units beside them: K to K2O, metric rates, the side of 2.5 ac', () => {
    expect(K2O_PER_K).toBeCloseTo(1.2046, 4);
    expect(Math.abs(1 / K2O_PER_K - 0.8301)).toBeLessThan(1e-4);
    expect(lbPerAcToKgPerHa(lbPerAc(1))).toBeCloseTo(1.12085, 5);
    expect(lbPerAcToMgPerM2(lbPerAc(1))).toBeCloseTo(112.085, 3);
    expect(Math.round(lbPerAcToMgPerM2(lbPerAc(200)))).toBe(22417);
    expect(Math.sqrt(2.5 * 4046.8564224)).toBeCloseTo(100.58, 2);
    expect(mToFt(metres(Math.sqrt(2.5 * 4046.8564224)))).toBeCloseTo(330, 1);
  });
});

describe('CEC by summation', () => {
  test('the full worked example of Clemson Agricultural Service Laboratory, "CEC calculations"', () => {
    // lb/ac K 221, Mg 28, Ca 400, Na 12 with 782/243/400/460 lb per meq; buffer pH 7.70, Adams-Evans.
    const of = measured({ k_ppm: 221 / 2, mg_ppm: 28 / 2, ca_ppm: 400 / 2, na_ppm: 12 / 2, ph: 5.5, bufferPh: 7.7 });
    const got = chemistryOf(of, settings({ acidity: { form: '8 x (8 - buffer pH)' } }), {}, AS_PUBLISHED);
    expect(got.h_meq).toBeCloseTo(2.4, 10);
    expect(ppmToMeq(of.k_ppm, 'k', AS_PUBLISHED)).toBeCloseTo(0.28, 2);
    expect(ppmToMeq(of.mg_ppm, 'mg', AS_PUBLISHED)).toBeCloseTo(0.12, 2);
    expect(ppmToMeq(of.ca_ppm, 'ca', AS_PUBLISHED)).toBeCloseTo(1, 2);
    expect(ppmToMeq(of.na_ppm, 'na', AS_PUBLISHED)).toBeCloseTo(0.03, 2);
    // The bulletin adds the rounded figures: 3.83. Unrounded they are 3.824.
    expect(got.cec_meq).toBeCloseTo(3.824, 3);
    expect(Math.abs(got.cec_meq - 3.83)).toBeLessThan(0.01);
    expect(got.cecFrom).toBe('summation');
    expect(100 - got.saturation.h_pct).toBeCloseTo(37, 0);
    expect(got.saturation.k_pct).toBeCloseTo(7.4, 1);
    expect(got.problems).toEqual([]);
  });

  test('acidity by each form', () => {
    // Clemson, "CEC calculations": H = 8 x (8.00 - buffer pH). Midwest labs: H = 12 x (7 - buffer pH), 0 at 7.0 and above.
    expect(acidity_meq(7.7, 5.5, { form: '8 x (8 - buffer pH)' })).toBeCloseTo(2.4, 10);
    expect(acidity_meq(8.2, 5.5, { form: '8 x (8 - buffer pH)' })).toBe(0);
    expect(acidity_meq(6.5, 5.5, { form: '12 x (7 - buffer pH)' })).toBe(6);
    expect(acidity_meq(7, 5.5, { form: '12 x (7 - buffer pH)' })).toBe(0);
    expect(acidity_meq(7.2, 5.5, { form: '12 x (7 - buffer pH)' })).toBe(0);
    expect(acidity_meq(6.5, 5.5, { form: 'factor x (start - buffer pH)', factor: 10, start: 6.9 })).toBeCloseTo(4, 10);
    expect(acidity_meq(6.5, 5.5, { form: 'no acidity' })).toBe(0);
  });

  test('a blank buffer pH is no zero', () => {
    const bases = { k_ppm: 120, ca_ppm: 1200, mg_ppm: 180 };
    const high = chemistryOf(measured({ ...bases, ph: 6.8 }), settings(), {});
    expect(high.cec_meq).toBeCloseTo(120 / 390.98 + 1200 / 200.39 + 180 / 121.53, 12);
    expect(codes(high)).toEqual(['soil-acidity-not-counted']);
    for (const ph of [6.7, Number.NaN]) {
      const low = chemistryOf(measured({ ...bases, ph }), settings(), { row: 9 });
      expect(low.cec_meq).toBeNaN();
      expect(low.saturation.k_pct).toBeNaN();
      expect(low.cecFrom).toBe('none');
      expect(codes(low)).toEqual(['soil-no-cec']);
      expect(low.problems[0]?.at?.row).toBe(9);
    }
  });

  test('the 12 x form above soil pH 6.4 is counted, and said', () => {
    const got = chemistryOf(
      measured({ k_ppm: 120, ca_ppm: 1200, mg_ppm: 180, ph: 6.6, bufferPh: 6.8 }),
      settings(),
      {},
    );
    expect(got.h_meq).toBeCloseTo(2.4, 10);
    expect(codes(got)).toEqual(['soil-acidity-form']);
  });

  test('no Ca: CEC and saturation are not known, and the problem names Ca', () => {
    const got = chemistryOf(measured({ k_ppm: 120, mg_ppm: 180, ph: 7 }), settings(), {});
    expect(got.saturation.k_pct).toBeNaN();
    expect(got.problems[0]?.message).toContain('Ca');
  });
});

describe('saturation with the CEC of the lab', () => {
  test('guard: bases of one sample by both factor sets', () => {
    const of = { k_ppm: 157.72, ca_ppm: 756.56, mg_ppm: 198.78, na_ppm: 21.36 };
    expect(bases_meq(of, FACTORS.rounded)).toBeCloseTo(5.937, 3);
    expect(bases_meq(of, FACTORS.exact)).toBeCloseTo(5.907, 3);
  });

  test('guard: CEC 20 with H 5 leaves bases of 75 %', () => {
    const of = measured({ k_ppm: 0.8 * 390.98, ca_ppm: 11 * 200.39, mg_ppm: 3.2 * 121.53, cec_meq: 20 });
    const got = chemistryOf(of, settings(), {});
    expect(got.h_meq).toBeCloseTo(5, 10);
    expect(100 - got.saturation.h_pct).toBeCloseTo(75, 10);
    expect(got.saturation.k_pct).toBeCloseTo(4, 10);
    expect(got.problems).toEqual([]);
  });

  test('guard: cations that sum to 24 under a stated CEC of 25 are warned of', () => {
    const of = measured({ k_ppm: 390.98, ca_ppm: 14 * 200.39, mg_ppm: 4 * 121.53, h_meq: 5, cec_meq: 25 });
    const got = chemistryOf(of, settings(), {});
    expect(codes(got)).toEqual(['soil-cations-not-cec']);
    expect(got.problems[0]?.message).toContain('24.00');
  });

  test('bases above the stated CEC are warned of, and H is not below 0', () => {
    const got = chemistryOf(measured({ k_ppm: 120, ca_ppm: 2400, mg_ppm: 360, cec_meq: 10 }), settings(), {});
    expect(got.h_meq).toBe(0);
    expect(codes(got)).toEqual(['soil-bases-exceed-cec']);
  });

  test('calcareous ground: a caution with Mehlich-3, a note where the extractant is not told, nothing by acetate', () => {
    const of = measured({ k_ppm: 120, ca_ppm: 2000, mg_ppm: 240, ph: 7.6, cec_meq: 14 });
    const told = (extractant: string) => chemistryOf(of, settings({ extractant }), {}).problems;
    expect(told('Mehlich-3')).toMatchObject([{ code: 'soil-calcareous', severity: 'caution' }]);
    expect(told('not told')).toMatchObject([{ code: 'soil-calcareous', severity: 'note' }]);
    expect(told('ammonium acetate')).toEqual([]);
    expect(chemistryOf({ ...of, ph: 7.3 }, settings({ extractant: 'Mehlich-3' }), {}).problems).toEqual([]);
  });

  test('the lab’s saturation stands where the plan takes it, else the one worked out', () => {
    // 156.39 ppm / 390.98 / 10 = 4.00 %.
    const of = measured({ k_ppm: 156.392, ca_ppm: 1000, cec_meq: 10, sat: { ...NONE, k_pct: 4.4 } });
    expect(chemistryOf(of, settings(), {}).saturation.k_pct).toBeCloseTo(4, 6);
    const lab = chemistryOf(of, settings({ saturation: 'lab, else worked out' }), {});
    expect(lab.saturation.k_pct).toBe(4.4);
    expect(lab.saturation.ca_pct).toBeCloseTo(100 * (1000 / 200.39 / 10), 9);
    expect(lab.workedOut.k_pct).toBeCloseTo(4, 6);
  });

  test('from the soil pH that the plan names no acidity is counted', () => {
    const of = measured({ k_ppm: 120, ca_ppm: 1200, mg_ppm: 180, ph: 7.1, bufferPh: 6.9 });
    expect(chemistryOf(of, settings(), {}).h_meq).toBeCloseTo(1.2, 10);
    const none = chemistryOf(of, settings({ noAcidityFrom_ph: 7 }), {});
    expect([none.h_meq, codes(none)]).toEqual([0, []]);
    expect(chemistryOf({ ...of, ph: 6.9 }, settings({ noAcidityFrom_ph: 7 }), {}).h_meq).toBeCloseTo(1.2, 10);
  });

  test('"summation" passes over the CEC of the lab', () => {
    const of = measured({ k_ppm: 120, ca_ppm: 1200, mg_ppm: 180, ph: 7, cec_meq: 14 });
    expect(chemistryOf(of, settings({ cec: 'summation' }), {}).cecFrom).toBe('summation');
  });
});

const amount = (most: number) => fc.double({ min: 0.1, max: most, noNaN: true });

test('law: K + Ca + Mg + Na + H = 100 % by summation, and with a stated CEC that holds the bases', () => {
  fc.assert(
    fc.property(
      amount(900),
      amount(6000),
      amount(1500),
      amount(200),
      fc.double({ min: 5.5, max: 7.5, noNaN: true }),
      fc.double({ min: 0, max: 20, noNaN: true }),
      fc.constantFrom('exact' as const, 'rounded' as const),
      (k_ppm, ca_ppm, mg_ppm, na_ppm, bufferPh, spare_meq, factors) => {
        const of = measured({ k_ppm, ca_ppm, mg_ppm, na_ppm, bufferPh, ph: 6 });
        const stated = bases_meq(of, FACTORS[factors]) + spare_meq;
        for (const cec_meq of [Number.NaN, stated]) {
          const { saturation: s } = chemistryOf({ ...of, cec_meq }, settings({ factors }), {});
          expect(s.k_pct + s.ca_pct + s.mg_pct + s.na_pct + s.h_pct).toBeCloseTo(100, 8);
        }
      },
    ),
  );
});
