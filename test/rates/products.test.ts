import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isMachineRate } from '../../core/rates/machine.ts';
import { broughtBy, cubicFeet, productFaults, productFor, productOf } from '../../core/rates/product.ts';
import { PRODUCTS } from '../../core/rates/products.ts';
import {
  type ProductChoice,
  productSchema,
  type RatesSettings,
  ratesSettingsSchema,
  type SecondProduct,
} from '../../core/rates/settings.ts';
import { codes, corn, deepFreeze, lineOf, ratesOf, zoneRate } from './ground.ts';

const listed = (name: string, changes: Partial<ProductChoice> = {}): ProductChoice => {
  const product = PRODUCTS.find((one) => one.name === name);
  if (!product) throw new Error(`no product ${name}`);
  return deepFreeze(productSchema.parse({ ...product, price_perTon: 430, ...changes }));
};
const part = (name: string, share_pct: number, price_perTon: number, changes: object = {}) => ({
  product: { ...listed(name), price_perTon, ...changes },
  share_pct,
});
const MAP = { name: '11-52-0', n_pct: 11, p2o5_pct: 52, k2o_pct: 0, s_pct: 0, mg_pct: 0, cl_pct: null, salt: null };
const blendOf = (blend: ProductChoice['blend']): ProductChoice =>
  deepFreeze(productSchema.parse({ ...listed('0-0-60', { name: 'blend' }), blend }));

describe('products', () => {
  // 90 / 0.60, / 0.50, / 0.22: worked by hand
  it.each([
    ['0-0-60', 150],
    ['0-0-50', 180],
    ['0-0-22', 409.1],
  ])('90 lb K2O are %s at %s lb', (name, lb) => {
    expect(productFor(90, listed(name).k2o_pct)).toBeCloseTo(lb, 1);
  });
  // S and Mg: Mississippi State University, Cornell. Chloride 45 %: South Dakota State University.
  it('bring S, Mg and chloride as printed', () => {
    expect(broughtBy(100, listed('0-0-60'))).toEqual({ n: 0, p2o5: 0, s: 0, mg: 0, cl: 45 });
    expect(broughtBy(100, listed('0-0-50'))).toEqual({ n: 0, p2o5: 0, s: 17, mg: 0, cl: 0 });
    expect(broughtBy(100, listed('0-0-22'))).toEqual({ n: 0, p2o5: 0, s: 22, mg: 11, cl: 0 });
    expect(broughtBy(100, listed('13-0-44')).n).toBe(13);
  });
  it('take the label’s chloride where it is told', () => {
    expect(broughtBy(200, listed('0-0-60', { cl_pct: 47 })).cl).toBe(94);
  });
  it('take room by the density that somebody weighed, and by none that is assumed', () => {
    expect(cubicFeet(1000, listed('0-0-60'))).toBeNull();
    expect(cubicFeet(1240, listed('0-0-60', { density_lbPerFt3: 62 }))).toBe(20);
    const zone = zoneRate({ k_ppm: 200, cec_meq: 10 }, corn({ product: listed('0-0-60', { density_lbPerFt3: 62 }) }));
    expect(lineOf(zone, 'product').how).toContain('1.1 cubic feet at 62 lb each, as weighed'); // 66.7 / 62
    expect(lineOf(zoneRate({ k_ppm: 200, cec_meq: 10 }), 'product').how).not.toContain('cubic');
  });
  it('are dry: one named as a liquid is refused with a sentence', () => {
    const zone = zoneRate({ k_ppm: 200, cec_meq: 10 }, corn({ product: listed('0-0-60', { name: 'liquid 0-0-30' }) }));
    expect(zone.withheld?.code).toBe('rates-liquid');
    expect(zone.withheld?.message).toContain('dry products only');
    expect(productFaults(listed('0-0-60', { name: 'Solution grade 0-0-62' }))).toEqual([]);
    for (const name of ['potassium thiosulfate', 'K solution', '10-34-0 with potash', '11-37-0'])
      expect(productFaults(listed('0-0-60', { name })).map((one) => one.code)).toEqual(['rates-liquid']);
  });
  it('hold no more than all of it, chloride aside since K2O counts an oxygen', () => {
    const much = productFaults(listed('0-0-60', { n_pct: 20, p2o5_pct: 25 }));
    expect(much[0]?.code).toBe('rates-analysis-over-100');
    expect(much[0]?.message).toContain('adds up to 105.0 %');
    expect(productFaults(listed('0-0-60', { cl_pct: 47 }))).toEqual([]);
  });
  it('cite the label for chloride that was typed, and the salt as sold for chloride that was not', () => {
    const source = (cl_pct: number | null) =>
      lineOf(zoneRate({ k_ppm: 200, cec_meq: 10 }, corn({ product: listed('0-0-60', { cl_pct }) })), 'product').source;
    expect(source(null)).toContain('45 % chloride: South Dakota State University');
    expect(source(47)).toContain('chloride as typed from the label');
    expect(source(47)).not.toContain('45 %');
  });
});

describe('a blend', () => {
  // 70 % 0-0-60 and 30 % 11-52-0: K2O 42, N 3.3, P2O5 15.6, chloride 0.7 x 45 = 31.5; 0.7 x 430 + 0.3 x 700 = 511
  const blend = blendOf([part('0-0-60', 70, 430), { product: { ...MAP, price_perTon: 700 }, share_pct: 30 }]);
  it('has the analysis and the price of its parts by weight', () => {
    expect(productOf(blend)).toMatchObject({
      n_pct: 3.3,
      p2o5_pct: 15.6,
      k2o_pct: 42,
      cl_pct: 31.5,
      price_perTon: 511,
    });
    expect(productFaults(blend)).toEqual([]);
  });
  it('makes the rate, the cost and what comes with it', () => {
    const zone = zoneRate({ k_ppm: 200, cec_meq: 10 }, corn({ product: blend }));
    // 40 lb K2O / 0.42 = 95.2 -> 95 lb
    expect(zone.exact_lbPerAc).toBeCloseTo(95.238, 3);
    expect(zone.rate_lbPerAc).toBe(95);
    expect(zone.k2o_lbPerAc).toBeCloseTo(39.9, 9);
    expect(zone.cost_perAc).toBeCloseTo((95 / 2000) * 511 + 9, 9);
    expect(zone.products).toHaveLength(1);
    expect(zone.products[0]?.brings.n).toBeCloseTo(3.135, 9);
    expect(zone.products[0]?.cost_perAc).toBeCloseTo((95 / 2000) * 511, 9);
    expect(lineOf(zone, 'product').how).toContain('blend of 70 % 0-0-60, 30 % 11-52-0 by weight: 42.00 % K2O, $511.00');
    expect(lineOf(zone, 'product').how).toContain('3 lb N, 15 lb P2O5, 30 lb chloride');
  });
  it('of one part is that part', () => {
    const one = productOf(blendOf([part('0-0-50', 100, 800)]));
    expect(one).toMatchObject({ k2o_pct: 50, s_pct: 17, cl_pct: 0, price_perTon: 800 });
  });
  it.each([
    ['does not add up to 100 %', [part('0-0-60', 70, 430), part('0-0-50', 20, 800)], 'rates-blend-parts'],
    [
      'has a part above what its salt holds',
      [part('0-0-60', 50, 430), part('0-0-50', 50, 800, { k2o_pct: 55 })],
      'rates-grade-over-limit',
    ],
    [
      'has a part with K2O and no salt',
      [part('0-0-60', 50, 430), part('0-0-50', 50, 800, { salt: null })],
      'rates-blend-salt',
    ],
    ['holds no K2O', [{ product: { ...MAP, price_perTon: 700 }, share_pct: 100 }], 'rates-blend-no-k2o'],
  ] as const)('that %s gives no rate, and says why', (_, parts, code) => {
    const zone = zoneRate({ k_ppm: 200, cec_meq: 10 }, corn({ product: blendOf([...parts]) }));
    expect(zone.withheld?.code).toBe(code);
    expect(zone.withheld?.at).toEqual({ setting: 'rates.product' });
    expect(zone.rate_lbPerAc).toBeNull();
    expect(lineOf(zone, 'product').working).toBeNull();
  });
  it('is the sum of its parts, whatever they are', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 100 }), fc.double({ min: 1, max: 900, noNaN: true }), (share, lb) => {
        const product = productOf(blendOf([part('0-0-60', share, 430), part('0-0-22', 100 - share, 600)]));
        const parts = [
          [listed('0-0-60'), (lb * share) / 100],
          [listed('0-0-22'), (lb * (100 - share)) / 100],
        ] as const;
        const sum = (key: 's' | 'mg' | 'cl') => parts.reduce((all, [one, of]) => all + broughtBy(of, one)[key], 0);
        for (const key of ['s', 'mg', 'cl'] as const) expect(broughtBy(lb, product)[key]).toBeCloseTo(sum(key), 6);
      }),
    );
  });
});

const second = (gives: SecondProduct['gives'], changes: Partial<SecondProduct> = {}): SecondProduct => ({
  product: listed('0-0-50', { price_perTon: 800 }),
  gives,
  where: null,
  ...changes,
});
const withSecond = (of: SecondProduct, changes: Partial<RatesSettings> = {}) => corn({ second: of, ...changes });
const GROUND = { k_ppm: 172, cec_meq: 18 }; // asks for 156 lb K2O

describe('two products in one plan', () => {
  it('a share of the K2O comes from the second: 25 % of 156 is 39 lb, 78 lb of 0-0-50, and 195 of 0-0-60', () => {
    const zone = zoneRate(GROUND, withSecond(second({ by: 'share of K2O', share_pct: 25 })));
    expect(zone.products.map((one) => [one.product, one.rates_lbPerAc])).toEqual([
      ['0-0-60', [195, 0]],
      ['0-0-50', [80, 0]],
    ]);
    expect(zone.exact_lbPerAc).toBeCloseTo(273, 9);
    expect(zone.rate_lbPerAc).toBe(275);
    expect(zone.k2o_lbPerAc).toBeCloseTo(117 + 40, 9);
    expect(zone.passes.map((pass) => [pass.rate_lbPerAc, pass.k2o_lbPerAc])).toEqual([
      [275, 157],
      [0, 0],
    ]);
    expect(zone.cost_perAc).toBeCloseTo((195 / 2000) * 430 + (80 / 2000) * 800 + 9, 9);
    expect(zone.products[1]?.brings).toEqual({ n: 0, p2o5: 0, s: 13.6, mg: 0, cl: 0 });
    expect(lineOf(zone, 'product').label).toBe('0-0-60 and 0-0-50, lb/ac');
    expect(lineOf(zone, 'machine').how).toContain('195 of 0-0-60, 80 of 0-0-50');
    expect(lineOf(zone, 'money').how).toContain(
      '195 lb of 0-0-60 at $430 a ton, 80 lb of 0-0-50 at $800 a ton, 1 pass',
    );
  });
  it('so many lb of S decide the second: 17 lb S / 0.17 = 100 lb, 50 lb K2O; the first gives the other 106', () => {
    const zone = zoneRate(GROUND, withSecond(second({ by: 'sulfur', s_lbPerAc: 17 })));
    expect(zone.products.map((one) => one.rates_lbPerAc[0])).toEqual([175, 100]); // 106 / 0.6 = 176.7
    expect(lineOf(zone, 'product').how).toContain('17 lb S / 0.17 = 100.0 lb of 0-0-50');
  });
  it('or so many lb of Mg: 11 lb / 0.11 = 100 lb of langbeinite, a step less where both then hit the K2O', () => {
    const zone = zoneRate(
      GROUND,
      withSecond(second({ by: 'magnesium', mg_lbPerAc: 11 }, { product: listed('0-0-22') })),
    );
    // 225 lb give 135: with 95 lb that is 155.9 lb K2O of the 156 asked for, with 100 lb 157
    expect(zone.products[1]?.rates_lbPerAc[0]).toBe(95);
    expect(zone.products[1]?.brings.mg).toBeCloseTo(10.45, 9);
    expect(zone.products[0]?.k2o_lbPerAc).toBeCloseTo(135, 9); // (156 - 22) / 0.6 = 223.3 -> 225
  });
  it('K stays within what is asked for: S that would bring more is cut, and what lacks is told', () => {
    const zone = zoneRate({ k_ppm: 200, cec_meq: 10 }, withSecond(second({ by: 'sulfur', s_lbPerAc: 20 })));
    // 40 lb K2O are 80 lb of 0-0-50 with 13.6 lb S
    expect(zone.products.map((one) => one.rates_lbPerAc[0])).toEqual([0, 80]);
    expect(lineOf(zone, 'product').how).toContain('6.4 lb S lack');
  });
  it('ground that asks for no K gets none for the sake of S', () => {
    const zone = zoneRate({ k_ppm: 520, cec_meq: 11 }, withSecond(second({ by: 'sulfur', s_lbPerAc: 20 })));
    expect(zone.rate_lbPerAc).toBe(0);
  });
  it('less S than nine tenths of what it shall bring is told, and enough is not', () => {
    const asked = withSecond(second({ by: 'sulfur', s_lbPerAc: 20 }));
    const short = zoneRate({ k_ppm: 200, cec_meq: 10 }, asked);
    expect(short.problems.find((one) => one.code === 'rates-second-short')?.message).toContain(
      '13.6 of the 20 lb S/ac',
    );
    expect(codes(zoneRate(GROUND, asked))).not.toContain('rates-second-short');
  });
  it('a second product without the nutrient gives nothing, and says so', () => {
    const zone = zoneRate(GROUND, withSecond(second({ by: 'magnesium', mg_lbPerAc: 11 })));
    expect(zone.products.map((one) => one.rates_lbPerAc[0])).toEqual([260, 0]);
    expect(lineOf(zone, 'product').how).toContain('0-0-50 holds no Mg');
  });
  it('where it is for named zones only, the others get the first alone', () => {
    const where = { zoneKeys: ['2'], areaIds: [] };
    const out = ratesOf([GROUND, GROUND], withSecond(second({ by: 'share of K2O', share_pct: 50 }, { where })));
    expect(out.zones.map((zone) => zone.products[1]?.k2o_lbPerAc)).toEqual([0, 77.5]);
  });
  it('a typed rate is all of the first', () => {
    const zone = zoneRate(
      GROUND,
      withSecond(second({ by: 'share of K2O', share_pct: 50 }), {
        overrides: [{ zoneKey: '1', rate_lbPerAc: 300, who: 'Ann', when: '', why: 'history' }],
      }),
    );
    expect(zone.products.map((one) => one.rates_lbPerAc)).toEqual([
      [300, 0],
      [0, 0],
    ]);
    expect(lineOf(zone, 'override').how).toContain('all of it 0-0-60, no 0-0-50');
  });
  it('a fault of the second is told at its own setting', () => {
    const bad = second({ by: 'share of K2O', share_pct: 50 }, { product: listed('0-0-50', { k2o_pct: 55 }) });
    const zone = zoneRate(GROUND, withSecond(bad));
    expect(zone.withheld).toMatchObject({ code: 'rates-grade-over-limit', at: { setting: 'rates.second' } });
  });
  it('chloride is that of the products which hold it', () => {
    const potato = { crop: 'potato', yieldGoal: 20 } as const;
    const all = zoneRate(GROUND, withSecond(second({ by: 'share of K2O', share_pct: 100 }), potato));
    expect(codes(all)).not.toContain('rates-chloride');
    const half = zoneRate(GROUND, withSecond(second({ by: 'share of K2O', share_pct: 50 }), potato));
    expect(half.problems.find((one) => one.code === 'rates-chloride')?.message).toContain('0-0-60 puts on');
  });
  it('works each kind of limit on the mix: 30 lb Mg a light acre leave no K2O undone by the caps', () => {
    // 120 lb K2O: 272.7 lb of 0-0-22 give 60, 100 lb of 0-0-60 the other 60: a mix of 32.2 %, so 60 lb K2O are 186 lb, under the cap of 200 lb of product
    const zone = zoneRate(
      { k_ppm: 90, cec_meq: 5 },
      withSecond(second({ by: 'magnesium', mg_lbPerAc: 30 }, { product: listed('0-0-22') })),
    );
    expect(lineOf(zone, 'passes').carried).toBeCloseTo(0, 9);
    expect(lineOf(zone, 'passes').how).toContain('before the season 60.0, in season 60.0 lb K2O');
    expect(zone.k2o_lbPerAc).toBeGreaterThan(112);
  });
  it('rarely gives more K2O where less is asked for, and with small steps never', () => {
    for (const cec_meq of [5, 10, 20])
      for (const s_lbPerAc of [10, 20, 40]) {
        const rates = withSecond(second({ by: 'sulfur', s_lbPerAc }), {
          governs: 'ppm',
          machine: { least_lbPerAc: 5, most_lbPerAc: 800, step_lbPerAc: 5, distinctRates: null },
        });
        const given = [20, 40, 60, 80, 100, 120, 140].map(
          (k_ppm) => zoneRate({ k_ppm, cec_meq }, rates).k2o_lbPerAc ?? Number.NaN,
        );
        expect([...given].sort((a, b) => b - a)).toEqual(given);
      }
  });
  it('light ground: the second goes whole where its halves would round worse', () => {
    // 120 lb K2O a year at 60 a pass; 10 lb S are 58.8 lb of 0-0-50: halves of 29.4 would each be raised to 50
    const zone = zoneRate({ k_ppm: 70, cec_meq: 4.5 }, withSecond(second({ by: 'sulfur', s_lbPerAc: 10 })));
    const [, sulfate] = zone.products;
    expect(sulfate?.rates_lbPerAc.filter((rate) => rate > 0)).toEqual([60]);
  });
});

describe('laws of two products', () => {
  const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  const gives: fc.Arbitrary<SecondProduct['gives']> = fc.oneof(
    number(0, 100).map((share_pct) => ({ by: 'share of K2O' as const, share_pct })),
    number(1, 60).map((s_lbPerAc) => ({ by: 'sulfur' as const, s_lbPerAc })),
    number(1, 40).map((mg_lbPerAc) => ({ by: 'magnesium' as const, mg_lbPerAc })),
  );
  const plan = fc
    .record({
      gives,
      name: fc.constantFrom('0-0-50', '0-0-22', '13-0-44'),
      step: fc.constantFrom(1, 5, 10),
      least: fc.constantFrom(0, 20, 50),
      buildUp_years: fc.integer({ min: 1, max: 6 }),
    })
    .map(({ gives: by, name, step, least, buildUp_years }) =>
      withSecond(second(by, { product: listed(name) }), {
        buildUp_years,
        machine: { least_lbPerAc: least, most_lbPerAc: 800, step_lbPerAc: step, distinctRates: null },
      }),
    );
  it('each product in each pass is a machine rate; no cap of pass or year is passed; K2O adds up', () => {
    fc.assert(
      fc.property(plan, number(20, 400), number(3, 30), (rates, k_ppm, cec_meq) => {
        const zone = zoneRate({ k_ppm, cec_meq }, rates);
        const held = ratesSettingsSchema.parse(rates).holding[cec_meq < 8 ? 0 : cec_meq < 15 ? 1 : 2];
        for (const product of zone.products)
          for (const rate of product.rates_lbPerAc) expect(isMachineRate(rate, rates.machine)).toBe(true);
        zone.passes.forEach((pass, index) => {
          expect(pass.rate_lbPerAc).toBeLessThanOrEqual((rates.passes[index]?.most_lbPerAc ?? 0) + 1e-6);
          expect(pass.k2o_lbPerAc).toBeLessThanOrEqual((held?.perPass_lbK2OPerAc ?? Infinity) + 1e-6);
        });
        expect(zone.k2o_lbPerAc ?? 0).toBeLessThanOrEqual((held?.perYear_lbK2OPerAc ?? Infinity) + 1e-6);
        const k2o = zone.products.reduce((all, one) => all + one.k2o_lbPerAc, 0);
        expect(zone.k2o_lbPerAc).toBeCloseTo(k2o, 6);
        expect(zone.rate_lbPerAc).toBeCloseTo(
          zone.products.reduce((all, one) => all + one.rates_lbPerAc.reduce((sum, rate) => sum + rate, 0), 0),
          6,
        );
        const carried = zone.lines.reduce((all, line) => all + (line.carried ?? 0), 0);
        expect(lineOf(zone, 'product').working).toBeCloseTo(zone.exact_lbPerAc ?? Number.NaN, 9);
        // given within the steps and least rates of both products in both passes
        const slack = (rates.machine.least_lbPerAc + 2 * rates.machine.step_lbPerAc) * 2;
        expect(Math.abs((zone.k2o_lbPerAc ?? 0) - carried)).toBeLessThanOrEqual(slack * 0.6 * 2 + 1e-6);
      }),
      { numRuns: 120 },
    );
  });
  it('with nothing for the second the plan is that of one product', () => {
    fc.assert(
      fc.property(number(20, 400), number(3, 30), (k_ppm, cec_meq) => {
        const one = zoneRate({ k_ppm, cec_meq });
        const two = zoneRate({ k_ppm, cec_meq }, withSecond(second({ by: 'share of K2O', share_pct: 0 })));
        expect(two.passes).toEqual(one.passes);
        expect(two.products[0]).toEqual(one.products[0]);
      }),
      { numRuns: 30 },
    );
  });
});
