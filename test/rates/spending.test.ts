import { describe, expect, it } from 'vitest';
import type { RatesSettings } from '../../core/rates/settings.ts';
import type { RatesOut, SpendingPath } from '../../core/rates/types.ts';
import { corn, ratesOf } from './ground.ts';

const path = (out: RatesOut, key: SpendingPath['key']): SpendingPath => {
  const found = out.spending?.find((one) => one.key === key);
  if (!found) throw new Error(`no path ${key}`);
  return found;
};
const FIELD = [{ k_ppm: 172, cec_meq: 18, acres: 20 }] as const;
const over = (land_years: number, changes: Partial<RatesSettings> = {}) => corn({ land_years, ...changes });

describe('all at once and then skip, against the same dollars every year', () => {
  // Target 281.5 ppm by 4 % of CEC 18. At once: 263.8 + 40 = 303.8 lb K2O, 505 lb as the machine spreads it in two passes (303 lb):
  // 505 / 2000 x 430 + 18 = 126.575 $/ac. K then moves by (303 - 40) / 2.4092 = 109.2 ppm to 281.2; each later year takes 16.6 ppm.
  const out = ratesOf(FIELD, over(4));
  const once = path(out, 'at once, then skip');
  const yearly = path(out, 'the same every year');

  it('spends it all in year 1, or in equal parts: the same dollars', () => {
    expect(once.years.map((year) => year.cost)).toEqual([expect.closeTo(20 * 126.575, 6), 0, 0, 0]);
    for (const year of yearly.years) expect(year.cost).toBeCloseTo((20 * 126.575) / 4, 6);
    expect(yearly.cost).toBeCloseTo(once.cost, 6);
  });
  it('moves the test by what is put on less what leaves', () => {
    expect(once.years.map((year) => Math.round(year.k_ppm))).toEqual([281, 265, 248, 231]);
    // 126.575 / 4 = 31.64 a year, 22.64 after the pass: 105.3 lb, 63.2 lb K2O: +9.6 ppm a year
    expect(yearly.years.map((year) => Number(year.k_ppm.toFixed(1)))).toEqual([181.6, 191.3, 200.9, 210.5]);
  });
  it('counts the acres then short of their target', () => {
    expect(once.years.map((year) => year.short_ac)).toEqual([0, 20, 20, 20]);
    expect(yearly.years.map((year) => year.short_ac)).toEqual([20, 20, 20, 20]);
  });
  it('says no return without a curve and a price; with them, as a band over ground never fertilized', () => {
    expect(once.years.every((year) => year.returns === null)).toBe(true);
    const response = {
      model: 'linear plateau',
      atZero_pct: 50,
      reachedLow_ppm: 200,
      reachedHigh_ppm: 250,
      source: 'x',
    } as const;
    const priced = ratesOf(FIELD, over(4, { response, cropPrice_perUnit: 4 }));
    const [first] = path(priced, 'at once, then skip').years;
    // low end 200 ppm: 172 -> the top gains 7 %; high end 250: 78 / 250 x 50 = 15.6 %, of 200 bu x $4 x 20 ac
    expect(first?.returns?.low).toBeCloseTo(0.07 * 800 * 20, 6);
    expect(first?.returns?.high).toBeCloseTo(0.156 * 800 * 20, 6);
    const later = path(priced, 'at once, then skip').years[3]?.returns;
    expect(later?.high).toBeGreaterThan(first?.returns?.high ?? Infinity); // the ground never fertilized has fallen further
  });
  it('over one year both are the same', () => {
    const one = ratesOf(FIELD, over(1));
    expect(path(one, 'at once, then skip').years).toEqual(path(one, 'the same every year').years);
  });
  it('a part that does not pay for the pass spreads nothing', () => {
    const dear = path(
      ratesOf([{ k_ppm: 200, cec_meq: 10, acres: 10 }], over(10, { charge_perAcPerPass: 40 })),
      'the same every year',
    );
    expect(dear.cost).toBe(0);
  });
  it('goes by the rotation, and knows no return in years of another crop', () => {
    const response = {
      model: 'linear plateau',
      atZero_pct: 50,
      reachedLow_ppm: 200,
      reachedHigh_ppm: 250,
      source: 'x',
    } as const;
    const soybean = {
      crop: 'soybean',
      yieldGoal: 60,
      harvest: 'grain',
      residueShare_pct: 100,
      removal_lbK2OPerUnit: null,
      uptake_lbK2OPerUnit: null,
    } as const;
    const turned = path(
      ratesOf(FIELD, over(3, { response, cropPrice_perUnit: 4, thenCrops: [soybean] })),
      'at once, then skip',
    );
    expect(turned.years.map((year) => year.returns === null)).toEqual([false, true, false]);
    // soybean takes 60 x 1.2 = 72 lb K2O, 29.9 ppm
    expect((turned.years[0]?.k_ppm ?? 0) - (turned.years[1]?.k_ppm ?? 0)).toBeCloseTo(72 / 2.4092, 2);
  });
  it('is not compared where no zone has a rate, and says why', () => {
    const none = ratesOf(FIELD, over(4, { yieldGoal: null }));
    expect(none.spending).toBeNull();
    expect(none.problems.map((one) => one.code)).toContain('rates-spending-missing');
  });
});
