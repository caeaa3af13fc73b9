import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { makeRates } from '../../core/rates/make.ts';
import { needPerCell } from '../../core/rates/need.ts';
import { corn, groundOf, lineOf, ratesOf, soilPlan, zoneRate } from './ground.ts';

const needOf = (cells: readonly { k_ppm: number; cec_meq: number }[], rates = corn(), soil = soilPlan(), ph = 6.5) => {
  const input = groundOf([{ k_ppm: 0, cells, ph }], soil, rates);
  return [...needPerCell(input.surfaces, soil, rates)];
};

describe('K2O that a cell takes to the governing target', () => {
  const cells = [
    { k_ppm: 172, cec_meq: 18 }, // (281.5 - 172) x 2.4092
    { k_ppm: 120, cec_meq: 9 }, // (150 - 120) x 2.4092: 4 % is 140.8
    { k_ppm: 70, cec_meq: 4.5 }, // (140.75 - 70) x 2.4092: cut
    { k_ppm: 480, cec_meq: 11 },
    { k_ppm: 120, cec_meq: Number.NaN },
    { k_ppm: Number.NaN, cec_meq: 12 },
  ];
  it('by the larger, worked by hand', () => {
    const need = needOf(cells);
    expect(need.slice(0, 4).map((one) => Number(one.toFixed(1)))).toEqual([263.8, 72.3, 170.5, 0]);
    expect(need.slice(4)).toEqual([Number.NaN, Number.NaN]);
  });
  it('by ppm alone needs no CEC', () => {
    const need = needOf(cells, corn({ governs: 'ppm' }));
    expect(need[0]).toBe(0);
    expect(need[4]).toBeCloseTo(72.3, 1);
  });
  it('by saturation alone is not known on limy ground without a reason', () => {
    const mehlich = soilPlan({ extractant: 'Mehlich-3' });
    expect(needOf(cells, corn({ governs: 'saturation' }), mehlich, 7.8)[0]).toBeNaN();
    expect(needOf(cells, corn(), mehlich, 7.8)[0]).toBe(0);
  });
  it('scales with the depth that was sampled', () => {
    const input = groundOf([{ k_ppm: 172, cec_meq: 18 }], soilPlan(), corn());
    expect(needPerCell(input.surfaces, soilPlan(), corn(), 9)[0]).toBeCloseTo(1.5 * 263.8, 1);
  });
  it('is what line 4 of the ledger says, for a zone of one cell', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 5, max: 700, noNaN: true }),
        fc.double({ min: 2, max: 40, noNaN: true }),
        fc.constantFrom('larger' as const, 'ppm' as const, 'saturation' as const),
        (k_ppm, cec_meq, governs) => {
          const rates = corn({ governs });
          expect(needOf([{ k_ppm, cec_meq }], rates)[0]).toBe(
            lineOf(zoneRate({ k_ppm, cec_meq }, rates), 'governs').working,
          );
        },
      ),
    );
  });
  it('is not known anywhere without a K surface', () => {
    const input = groundOf([{ k_ppm: 100, cec_meq: 12 }], soilPlan(), corn());
    const bare = { ...input.surfaces, layers: {} };
    expect([...needPerCell(bare, soilPlan(), corn())]).toEqual([Number.NaN]);
  });
});

describe('the reading of a zone, and the acres it leaves short', () => {
  // four cells of 2.5 ac at CEC 10, all under the 156.4 ppm that 4 % is
  const cells = [100, 110, 130, 140].map((k_ppm) => ({ k_ppm, cec_meq: 10 }));
  const zone = { k_ppm: 0, cells, acres: 10 };

  it('a mean leaves the cells below it short', () => {
    expect(zoneRate(zone).reading.k_ppm).toBe(120);
    expect(zoneRate(zone).short_ac).toBeCloseTo(5, 9);
  });
  it('a low percentile leaves fewer, and asks for more', () => {
    const low = zoneRate(zone, corn({ reading: '20th percentile' }));
    expect(low.reading.k_ppm).toBe(100);
    expect(low.reading.kSat_pct).toBeCloseTo(2.558, 3);
    expect(low.short_ac).toBe(0);
    expect(lineOf(low, 'governs').working ?? 0).toBeGreaterThan(lineOf(zoneRate(zone), 'governs').working ?? 0);
  });
  it('a median stands for every layer', () => {
    const skewed = [
      { k_ppm: 100, cec_meq: 10 },
      { k_ppm: 110, cec_meq: 12 },
      { k_ppm: 400, cec_meq: 30 },
    ];
    const read = (reading: 'median' | 'mean') => zoneRate({ k_ppm: 0, cells: skewed }, corn({ reading })).reading;
    expect(read('median')).toMatchObject({ k_ppm: 110, cec_meq: 12 });
    expect(read('mean').cec_meq).toBeCloseTo(17.33, 2);
  });
  it('even ground leaves nothing short', () => {
    expect(zoneRate({ k_ppm: 90, cec_meq: 10 }).short_ac).toBe(0);
  });
  it('short acres within a zone that is not short by its mean are counted', () => {
    const mixed = [100, 300, 300, 300].map((k_ppm) => ({ k_ppm, cec_meq: 10 }));
    const rated = zoneRate({ k_ppm: 0, cells: mixed, acres: 10 });
    expect(rated.governing).toBe('none');
    expect(rated.short_ac).toBeCloseTo(2.5, 9);
  });
});

describe('depth', () => {
  it('is the samples’ own where they tell it', () => {
    const rates = corn();
    const soil = soilPlan({ depth_in: 6 });
    const out = makeRates(groundOf([{ k_ppm: 100, cec_meq: 15 }], soil, rates, [8, 8, 8]));
    expect(out.zones[0]?.reading.depth_in).toBe(8);
    expect(out.zones[0]?.lines[0]?.how).toContain('100 ppm x 2.67 = 267 lb K');
    expect(out.problems.map((one) => one.code)).toEqual(['rates-corn-over-120']);
  });
  it('that differs among samples is said', () => {
    const out = makeRates(groundOf([{ k_ppm: 100, cec_meq: 15 }], soilPlan(), corn(), [6, 8, 6]));
    expect(out.problems.map((one) => one.code)).toEqual(['rates-depths-differ', 'rates-corn-over-120']);
    expect(out.zones[0]?.reading.depth_in).toBe(6);
  });
});

describe('the same ground twice', () => {
  it('gives the same account to the letter', () => {
    const specs = [
      { k_ppm: 70, cec_meq: 4.5 },
      { k_ppm: 172, cec_meq: 18 },
    ];
    expect(JSON.stringify(ratesOf(specs))).toBe(JSON.stringify(ratesOf(specs)));
  });
});
