import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Alternative, RatesOut } from '../../core/rates/types.ts';
import { corn, type GroundSpec, ratesOf } from './ground.ts';

const way = (out: RatesOut, key: Alternative['key']): Alternative => {
  const found = out.alternatives.find((one) => one.key === key);
  if (!found) throw new Error(`no ${key}`);
  return found;
};

describe('other ways to treat the field', () => {
  // A: 172 ppm at CEC 18 asks for 156 lb K2O, 260 lb; B: 200 ppm at CEC 10 asks for removal, 40 lb K2O, 65 lb. 30 and 10 ac.
  const FIELD: readonly GroundSpec[] = [
    { k_ppm: 172, cec_meq: 18, acres: 30 },
    { k_ppm: 200, cec_meq: 10, acres: 10 },
  ];
  const out = ratesOf(FIELD, corn());
  it('names all four, the plan first', () => {
    expect(out.alternatives.map((one) => one.key)).toEqual([
      'plan',
      'flat, same tons',
      'flat, field average',
      'removal only',
    ]);
  });
  it('the plan is its own totals, and off its targets by less than a step', () => {
    expect(way(out, 'plan')).toMatchObject({ over_ac: 0, under_ac: 0, over_lbK2O: 0, under_lbK2O: 0 });
    expect(way(out, 'plan').tons).toBeCloseTo(out.totals.product_tons, 9);
    expect(way(out, 'plan').cost).toBeCloseTo(out.totals.cost, 9);
  });
  it('the same tons laid evenly: too little on A, too much on B', () => {
    // (30 x 260 + 10 x 65) / 40 = 211.25 lb = 126.75 lb K2O: A lacks 29.25, B has 86.75 too much
    const flat = way(out, 'flat, same tons');
    expect(flat.what).toBe('211.3 lb/ac everywhere');
    expect(flat.tons).toBeCloseTo(out.totals.product_tons, 9);
    expect(flat.cost).toBeCloseTo((40 * 211.25 * 430) / 2000 + 40 * 9, 6);
    expect([flat.under_ac, flat.over_ac]).toEqual([expect.closeTo(30, 6), expect.closeTo(10, 6)]);
    expect(flat.under_lbK2O).toBeCloseTo(30 * 29.25, 6);
    expect(flat.over_lbK2O).toBeCloseTo(10 * 86.75, 6);
  });
  it('by the field’s average: one ledger on the means', () => {
    // 179 ppm at CEC 16: 4 % asks for 250 ppm, so the uptake of 156 lb stands: 260 lb everywhere, 116 lb K2O too much on B
    const average = way(out, 'flat, field average');
    expect(average.what).toBe("260 lb/ac everywhere, by the field's mean of 179 ppm");
    expect(average.tons).toBeCloseTo((40 * 260) / 2000, 9);
    expect(average.over_ac).toBeCloseTo(10, 6);
    expect(average.over_lbK2O).toBeCloseTo(10 * 116, 6);
    expect(average.under_ac).toBe(0);
  });
  it('removal alone: 40 lb K2O each, 65 lb, and A lacks 117', () => {
    const removal = way(out, 'removal only');
    expect(removal.tons).toBeCloseTo((40 * 65) / 2000, 9);
    expect(removal.under_lbK2O).toBeCloseTo(30 * (156 - 39), 6);
    expect(removal.over_ac).toBe(0);
  });
  it('judges cell by cell: a mean over an uneven zone is over on some of it and under on the rest', () => {
    const uneven = ratesOf(
      [
        {
          k_ppm: 200,
          cec_meq: 10,
          acres: 10,
          cells: [
            { k_ppm: 100, cec_meq: 10 },
            { k_ppm: 300, cec_meq: 10 },
          ],
        },
      ],
      corn(),
    );
    expect(way(uneven, 'plan').under_ac).toBeCloseTo(5, 6);
    expect(way(uneven, 'plan').under_lbK2O).toBeCloseTo(5 * (156 - 39), 6); // the cell at 100 ppm asks for the uptake
  });
  it('counts the cap of the year in what is asked: light ground that got its cap is not under', () => {
    expect(way(ratesOf([{ k_ppm: 70, cec_meq: 4.5 }]), 'plan').under_ac).toBe(0);
  });
  it('counts ground above the range as given too much by removal', () => {
    const out2 = ratesOf([{ k_ppm: 520, cec_meq: 11, acres: 8 }]);
    expect(way(out2, 'removal only')).toMatchObject({
      over_ac: expect.closeTo(8, 6),
      over_lbK2O: expect.closeTo(8 * 39, 6),
    });
  });
  it('leaves out zones without a rate, and is empty where none has one', () => {
    const some = ratesOf([...FIELD, { k_ppm: 100, cec_meq: 10, acres: 50, far_ac: 40 }]);
    expect(way(some, 'plan').tons).toBeCloseTo(out.totals.product_tons, 9);
    expect(way(some, 'flat, same tons').cost).toBeCloseTo(way(out, 'flat, same tons').cost, 9);
    expect(ratesOf(FIELD, corn({ yieldGoal: null })).alternatives).toEqual([]);
  });
  it('keeps over + under within the acres, the same tons the same, and adds up over any field', () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(number(20, 500), number(3, 30), number(1, 60)), { minLength: 1, maxLength: 5 }),
        (grounds) => {
          const any = ratesOf(grounds.map(([k_ppm, cec_meq, acres]) => ({ k_ppm, cec_meq, acres })));
          const acres = any.totals.acres;
          for (const one of any.alternatives) {
            expect(one.over_ac + one.under_ac).toBeLessThanOrEqual(acres + 1e-6);
            expect(one.over_lbK2O).toBeGreaterThanOrEqual(0);
            expect(one.under_lbK2O).toBeGreaterThanOrEqual(0);
          }
          expect(way(any, 'flat, same tons').tons).toBeCloseTo(any.totals.product_tons, 9);
        },
      ),
      { numRuns: 40 },
    );
  });
});
