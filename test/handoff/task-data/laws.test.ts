import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lbPerAc, lbPerAcToMgPerM2 } from '../../../core/base/units.ts';
import { area_m2 } from '../../../core/geo/area.ts';
import { makeFieldGrid } from '../../../core/geo/lattice.ts';
import { cutName, MOST_NAME, taskNames } from '../../../core/handoff/task-data/names.ts';
import { readTaskData } from '../../../core/handoff/task-data/read.ts';
import { validateTaskData } from '../../../core/handoff/task-data/validate.ts';
import { somePolygons } from '../../formats/arbitraries.ts';
import { deepFreeze } from '../../freeze.ts';
import { cellBox, passOf, pieceOf, SIX, six, written } from './helpers.ts';

const anyText = fc.string({ unit: 'binary', maxLength: 40 });
/** What XML 1.0 (2.2) can hold: the test's own list, not the program's. */
const holdable = (text: string): string =>
  [...text]
    .map((char) => {
      const code = char.codePointAt(0) ?? 0;
      const good = code === 9 || code === 10 || code === 13 || (code >= 0x20 && !(code >= 0xd800 && code <= 0xdfff));
      return good && code !== 0xfffe && code !== 0xffff ? char : '\uFFFD';
    })
    .join('');

const readBack = (bytes: Uint8Array) => {
  const read = readTaskData(bytes, 'x.zip');
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.value;
};

describe('laws of task data', () => {
  it('names of any text survive, cut at 32 between whole characters', () => {
    fc.assert(
      fc.property(anyText, anyText, anyText, (planName, product, version) => {
        const { bytes } = written(six([1, 2, 3, 4, 5, 6], { planName, products: [product], version }));
        expect(validateTaskData(bytes)).toEqual([]);
        const read = readBack(bytes);
        const same = (found: string | undefined, given: string): void => {
          const whole = holdable(given);
          if (whole.length <= MOST_NAME) expect(found).toBe(whole);
          else expect(whole.startsWith(found ?? '-')).toBe(true);
        };
        same(read.partfields[0]?.name, planName);
        same(read.tasks[0]?.name, planName);
        same(read.tasks[0]?.products[0], product);
        same(read.softwareVersion, version);
      }),
      { numRuns: 60 },
    );
  });

  it('any rates the format can hold read back within half a mg/m2, each at its place', () => {
    // 2147483647 mg/m2.
    const rate = fc.oneof(
      fc.double({ min: 0, max: 1000, noNaN: true }),
      fc.double({ min: 0, max: 19_159_270, noNaN: true }),
    );
    fc.assert(
      fc.property(
        fc.array(fc.tuple(rate, rate), { minLength: 6, maxLength: 6 }),
        rate,
        rate,
        (rates, outside, lost) => {
          const pieces = rates.map(([first, second], cell) =>
            pieceOf(cellBox(SIX, cell % 3, Math.floor(cell / 3)), first, second),
          );
          const { bytes, out } = written(
            deepFreeze(
              six([], {
                prescriptions: [passOf(pieces)],
                products: ['a', 'b'],
                outside_lbPerAc: outside,
                noPosition_lbPerAc: lost,
              }),
            ),
          );
          const [task] = readBack(bytes).tasks;
          const off = (found: number | undefined, given: number): void =>
            expect(Math.abs(lbPerAcToMgPerM2(lbPerAc((found ?? Number.NaN) - given)))).toBeLessThanOrEqual(0.5 + 1e-4);
          rates.forEach((given, cell) => {
            const at = [-94 + 0.002 * ((cell % 3) + 0.5), 42 + 0.001 * (Math.floor(cell / 3) + 0.5)] as const;
            given.forEach((one, product) => {
              off(task?.values_lbPerAc[product]?.[cell], one);
              expect(task?.rateAt(...at)[product]).toBe(task?.values_lbPerAc[product]?.[cell]);
            });
          });
          off(task?.rateAt(-95, 42)[0], outside);
          expect(task?.rateAt(-95, 42)[1]).toBe(0);
          off(task?.zones.find(({ code }) => code === task.codes.positionLost)?.rates_lbPerAc[0], lost);
          for (const { planned_lb, grid_lb } of out.tasks)
            expect(Math.abs(grid_lb - planned_lb)).toBeLessThan(0.0045 * 27.3);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('any boundary survives, parts and holes, in either edition', () => {
    fc.assert(
      fc.property(somePolygons, fc.constantFrom('4.3' as const, '3.3' as const), (ground, taskFile) => {
        const grid = makeFieldGrid(ground, 150);
        if (!grid.ok) throw new Error('no grid');
        const { lattice } = grid.value;
        const { bytes } = written(
          six([], { ground, lattice, taskFile, prescriptions: [passOf([pieceOf(ground, 150)])] }),
        );
        expect(validateTaskData(bytes)).toEqual([]);
        expect(readBack(bytes).partfields[0]?.boundary).toEqual(ground);
      }),
      { numRuns: 40 },
    );
  });

  it('pieces cut anyhow keep their pounds in the grid, with rounding to the mg', () => {
    const cuts = fc.uniqueArray(fc.integer({ min: 1, max: 5_999_999 }), { minLength: 0, maxLength: 12 });
    fc.assert(
      fc.property(cuts, fc.array(fc.integer({ min: 0, max: 600 }), { minLength: 13, maxLength: 13 }), (at, rates) => {
        // Slanted bands from west to east, each with a rate.
        const edges = [0, ...at.toSorted((a, b) => a - b), 6_000_000];
        const x = (units: number, shift: number): number =>
          units === 0 || units === 6_000_000
            ? -94 + units / 1e9
            : Math.round(-94e9 + Math.min(6e6, Math.max(0, units * (1 - shift)))) / 1e9;
        const pieces = edges.slice(1).map((east, index) => {
          const west = edges[index] ?? 0;
          const ring = [
            [x(west, 0), 42],
            [x(east, 0), 42],
            [x(east, 0.2), 42.002],
            [x(west, 0.2), 42.002],
            [x(west, 0), 42],
          ] as const;
          return pieceOf([[ring]], rates[index] ?? 0);
        });
        const { out } = written(six([], { prescriptions: [passOf(pieces)] }));
        expect(pieces.reduce((sum, { polygons }) => sum + area_m2(polygons), 0)).toBeCloseTo(110_428.364, 2);
        for (const { planned_lb, grid_lb } of out.tasks)
          expect(Math.abs(grid_lb - planned_lb)).toBeLessThan(0.0045 * 27.3);
      }),
      { numRuns: 60 },
    );
  });
});

describe('names', () => {
  it('keep a letter with its marks, an emoji with its parts, and are never over 32', () => {
    expect(cutName(`${'a'.repeat(31)}e\u0301x`)).toBe('a'.repeat(31));
    expect(cutName(`${'a'.repeat(31)}🌽`)).toBe('a'.repeat(31));
    expect(cutName(`${'a'.repeat(30)}🌽x`)).toBe(`${'a'.repeat(30)}🌽`);
    expect(cutName(`${'a'.repeat(28)}👩\u200D🌾`)).toBe('a'.repeat(28));
    expect(cutName('x'.repeat(33))).toBe('x'.repeat(32));
    expect(cutName('\uD83Cx\u0000')).toBe('\uFFFDx\uFFFD');
    fc.assert(fc.property(fc.string({ unit: 'grapheme', maxLength: 60 }), (text) => cutName(text).length <= 32));
  });

  it('tell the passes apart', () => {
    expect(taskNames('Home', ['only'])).toEqual(['Home']);
    expect(taskNames('A quarter with a long name, east', ['before the season', 'in season'])).toEqual([
      'A quarter with a long, pass 1',
      'A quarter with a long, pass 2',
    ]);
    expect(taskNames('Home', ['a pass with a name to be cut, 1', 'a pass with a name to be cut, 2'])).toEqual([
      'Home, pass 1',
      'Home, pass 2',
    ]);
  });
});
