import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cellRates, limitChange } from '../../../core/handoff/cells/rates.ts';
import { meanUnder } from '../../../core/handoff/cells/under.ts';
import { isMachineRate, leastStep_lbPerAc, type Machine } from '../../../core/rates/machine.ts';
import { deepFreeze } from '../../freeze.ts';
import { MACHINE } from './ground.ts';

const half = [
  { zone: 0, m2: 200 },
  { zone: 1, m2: 200 },
];
const quarter = [
  { zone: 0, m2: 300 },
  { zone: 1, m2: 100 },
];

/** A row of cells, each followed by the next. */
const row = (count: number) => ({
  first: Int32Array.from({ length: count - 1 }, (_, i) => i),
  second: Int32Array.from({ length: count - 1 }, (_, i) => i + 1),
});

describe('a cell’s rate', () => {
  it('is the mean by area of its zones’ rates, on the machine’s step', () => {
    // (300 x 100 + 100 x 240) / 400 = 135; (200 x 100 + 200 x 240) / 400 = 170; (100 + 204) / 2 = 152, nearest step 150.
    expect(cellRates(deepFreeze([quarter, half]), [100, 240], MACHINE)).toEqual([135, 170]);
    expect(cellRates([half], [100, 204], MACHINE)).toEqual([150]);
  });
  it('is 0 or the least rate where the mean lies between: whichever is nearer', () => {
    // 3/4 of 0 and 1/4 of 80 is 20, under 25; half and half is 40.
    expect(cellRates([quarter, half], [0, 80], MACHINE)).toEqual([0, 50]);
  });
  it('is a zone’s very rate where no other lies under it, even one typed off the step', () => {
    const only = [[{ zone: 0, m2: 400 }], [{ zone: 1, m2: 400 }], half];
    expect(cellRates(only, [63, 63], MACHINE)).toEqual([63, 63, 63]);
  });
  it('is never rounded above the greatest of its zones', () => {
    // The mean of 61 and 63 is 62.9 with 95 % of the 63: the nearest step, 65, is above both.
    const mostly = [
      { zone: 1, m2: 380 },
      { zone: 0, m2: 20 },
    ];
    expect(cellRates([mostly], [61, 63], MACHINE)).toEqual([60]);
  });
  it('goes to one of the zones’ own rates where the controller takes no more different ones', () => {
    const two: Machine = { ...MACHINE, distinctRates: 2 };
    const under = [[{ zone: 0, m2: 400 }], [{ zone: 1, m2: 400 }], quarter];
    expect(cellRates(under, [100, 240], two)).toEqual([100, 240, 100]);
    expect(cellRates(under, [100, 240], { ...two, distinctRates: 3 })).toEqual([100, 240, 135]);
  });
  it('weighs readings only where they are known', () => {
    const figures = [Number.NaN, 120];
    expect(meanUnder(half, (zone) => figures[zone] ?? 0)).toBe(120);
    expect(meanUnder(half, () => Number.NaN)).toBeNaN();
    expect(meanUnder(quarter, (zone) => [100, 140][zone] ?? 0)).toBe(110);
  });
});

const shares = fc.array(fc.tuple(fc.nat(3), fc.integer({ min: 1, max: 400 })), { minLength: 1, maxLength: 4 });
const machines: fc.Arbitrary<Machine> = fc
  .record({
    step: fc.constantFrom(1, 2.5, 5, 10),
    least: fc.integer({ min: 0, max: 80 }),
    most: fc.integer({ min: 300, max: 800 }),
  })
  .map(({ step, least, most }) => ({
    step_lbPerAc: step,
    least_lbPerAc: least,
    most_lbPerAc: most,
    distinctRates: null,
  }));

/** Rates that a machine can set, some of them 0. */
const settable = (machine: Machine, count: number): fc.Arbitrary<number[]> =>
  fc.array(
    fc.nat(60).map((steps) => {
      const rate = steps < 8 ? 0 : leastStep_lbPerAc(machine) + (steps - 8) * machine.step_lbPerAc;
      return rate > machine.most_lbPerAc ? 0 : rate;
    }),
    { minLength: count, maxLength: count },
  );

describe('laws of rates', () => {
  it('every rate is one the machine can set, between the least and the greatest of its zones but for what rounding does', () => {
    fc.assert(
      fc.property(
        machines.chain((machine) => fc.tuple(fc.constant(machine), settable(machine, 4))),
        fc.array(shares, { minLength: 1, maxLength: 10 }),
        ([machine, zoneRates], list) => {
          const under = list.map((one) => one.map(([zone, m2]) => ({ zone, m2 })));
          cellRates(under, zoneRates, machine).forEach((rate, cell) => {
            const own = (under[cell] ?? []).map(({ zone }) => zoneRates[zone] ?? 0);
            expect(isMachineRate(rate, machine)).toBe(true);
            expect(rate).toBeLessThanOrEqual(Math.max(...own));
            expect(rate === 0 || rate >= Math.min(...own)).toBe(true);
            const mean = meanUnder(under[cell] ?? [], (zone) => zoneRates[zone] ?? 0);
            expect(Math.abs(rate - mean)).toBeLessThanOrEqual(
              Math.max(machine.step_lbPerAc / 2, leastStep_lbPerAc(machine) - machine.least_lbPerAc / 2) + 1e-9,
            );
          });
        },
      ),
    );
  });
});

describe('the limit on change along a row', () => {
  it('steps down to the lower rate by the limit, from both sides, and never raises', () => {
    const { rates, moved } = limitChange(deepFreeze([300, 300, 300, 100, 260, 260, 260]), row(7), 60, MACHINE);
    expect(rates).toEqual([280, 220, 160, 100, 160, 220, 260]);
    expect(moved).toEqual([true, true, true, false, true, true, false]);
  });
  it('leaves ground at 0 there, and starts beside it at the least rate where that is more than the limit', () => {
    expect(limitChange([0, 200, 200, 200], row(4), 20, MACHINE).rates).toEqual([0, 50, 70, 90]);
    expect(limitChange([0, 200, 200, 200], row(4), 80, MACHINE).rates).toEqual([0, 80, 160, 200]);
  });
  it('goes down to whole steps where the limit or a typed rate is none', () => {
    expect(limitChange([100, 200, 200], row(3), 33, MACHINE).rates).toEqual([100, 130, 160]);
    expect(limitChange([103, 200, 200], row(3), 20, MACHINE).rates).toEqual([103, 120, 140]);
  });
  it('holds on both arms about a hole, and not between cells that do not follow each other', () => {
    // 0 - 1 - 3 and 0 - 2 - 3; 4 stands alone.
    const arms = { first: Int32Array.of(0, 0, 1, 2), second: Int32Array.of(1, 2, 3, 3) };
    expect(limitChange([200, 100, 200, 200, 400], arms, 50, MACHINE).rates).toEqual([150, 100, 200, 150, 400]);
  });

  it('gives the largest rates of all that hold it: compared with every series there is', () => {
    const machine: Machine = { least_lbPerAc: 20, most_lbPerAc: 80, step_lbPerAc: 10, distinctRates: null };
    const all = [0, 20, 30, 40, 50, 60, 70, 80];
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom(...all), { minLength: 2, maxLength: 5 }),
        fc.constantFrom(10, 15, 20, 30),
        (given, ramp) => {
          const holds = (series: readonly number[]): boolean =>
            series.slice(1).every((b, i) => {
              const a = series[i] ?? 0;
              const [low, high] = [Math.min(a, b), Math.max(a, b)];
              return high - low <= ramp || (low === 0 && high <= Math.max(ramp, 20));
            });
          let series: number[][] = [[]];
          for (const rate of given)
            series = series.flatMap((one) => all.filter((r) => r <= rate).map((r) => [...one, r]));
          const best = given.map((_, i) => Math.max(...series.filter(holds).map((one) => one[i] ?? 0)));
          const { rates } = limitChange(given, row(given.length), ramp, machine);
          expect(rates).toEqual(best);
          expect(holds(rates)).toBe(true);
        },
      ),
      { numRuns: 40 },
    );
  });
});
