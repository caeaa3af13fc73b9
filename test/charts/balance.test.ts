import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ratesSettingsSchema } from '../../core/rates/settings.ts';
import { ruleOf } from '../../renderer/charts/BalanceTable.tsx';
import { BALANCE_CLASSES, balanceClass, balanceSums } from '../../renderer/charts/balance.ts';
import { deepFreeze } from '../freeze.ts';

// Floors of 150 ppm and 4 %, range to 8 %, caution at 12 %: common practice, no source.
const limits = deepFreeze(ratesSettingsSchema.parse({}));
const reading = fc.record({
  k_ppm: fc.oneof(fc.double({ min: 0, max: 700, noNaN: true }), fc.constantFrom(150, Number.NaN)),
  kSat_pct: fc.oneof(fc.double({ min: 0, max: 25, noNaN: true }), fc.constantFrom(4, 8, 12, Number.NaN)),
});

describe('balance classes', () => {
  it.each([
    [149.9, 3.9, 'both'],
    [149.9, 4, 'pounds'],
    [120, 8, 'pounds'],
    [150, 3.9, 'share'],
    [150, 4, 'enough'],
    [300, 8, 'enough'],
    [300, 8.1, 'rich'],
    [300, 12, 'rich'],
    [300, 12.1, 'out'],
    // Light ground: 150 ppm would be 12.8 % at CEC 3, so few pounds above the range are no shortage.
    [120, 10.2, 'rich'],
  ] as const)('%s ppm at %s %% is "%s"', (k, sat, id) => {
    expect(balanceClass(k, sat, limits)).toBe(id);
  });

  it('knows no class without both readings', () => {
    expect(balanceClass(Number.NaN, 5, limits)).toBeNull();
    expect(balanceClass(100, Number.NaN, limits)).toBeNull();
  });

  it('says the rule in the figures of the plan', () => {
    expect(BALANCE_CLASSES.map((id) => ruleOf(id, { ...limits, floor_ppm: 130 }).replaceAll('\u00a0', ' '))).toEqual([
      'under 130 ppm and under 4 %',
      'under 130 ppm, 4–8 %',
      '130 ppm or more, under 4 %',
      '130 ppm or more, 4–8 %',
      '8–12 %',
      'over 12 %',
    ]);
  });

  it('counts every sample once and all of the ground', () => {
    fc.assert(
      fc.property(fc.array(reading), fc.array(fc.tuple(reading, fc.integer({ min: 0, max: 100 }))), (some, ground) => {
        const samples = deepFreeze(some.map((one, i) => ({ id: String(i), ...one })));
        const cells = {
          k_ppm: Float64Array.from(ground, ([one]) => one.k_ppm),
          kSat_pct: Float64Array.from(ground, ([one]) => one.kSat_pct),
          cover_m2: Float64Array.from(ground, ([, m2]) => m2),
        };
        const sums = balanceSums(samples, cells, limits);
        const all = [...sums.classes.flatMap((one) => one.samples), ...sums.unknown.samples];
        expect(all.sort()).toEqual(samples.map((one) => one.id).sort());
        const area = sums.classes.reduce((sum, one) => sum + one.area_m2, sums.unknown.area_m2);
        expect(area).toBe(ground.reduce((sum, [, m2]) => sum + m2, 0));
      }),
    );
  });

  it('raising a floor takes no place out of what is short of it', () => {
    fc.assert(
      fc.property(reading, fc.integer({ min: 1, max: 200 }), ({ k_ppm, kSat_pct }, more) => {
        const short = (floor_ppm: number): boolean =>
          ['both', 'pounds'].includes(balanceClass(k_ppm, kSat_pct, { ...limits, floor_ppm }) ?? '');
        if (short(150)) expect(short(150 + more)).toBe(true);
      }),
    );
  });
});
