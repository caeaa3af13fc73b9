import { describe, expect, test } from 'vitest';
import { readDepth } from '../../core/soil/depth.ts';
import { guessColumns } from '../../core/soil/guess.ts';
import { table } from './tables.ts';

const guess = (depth: string, cell: string, k = 'K (lb/ac)') =>
  guessColumns(table('lab', [`ID;${depth};${k};CEC`, `a;${cell};478;23.8`, `b;${cell};440;23.1`]));

describe('units of depth', () => {
  test.each([
    ['Depth (mm)', '0-200', 'mm'],
    ['Depth (ft)', '0-0.67', 'ft'],
    ['Depth (m)', '0-0.2', 'm'],
    ['Depth_dm', '0-2', 'dm'],
    ['Sample depth, feet', '0-0.67', 'ft'],
    ['Depth', '0-200 mm', 'mm'],
    ['Depth', '0-0.2 m', 'm'],
    ['Depth', '0 mm - 200 mm', 'mm'],
    ['Depth', '0-0.67 ft', 'ft'],
  ] as const)('%s with %s', (heading, cell, unit) => {
    const [, depth, k] = guess(heading, cell);
    expect(depth).toMatchObject({ is: 'depth', unit });
    expect(k).toMatchObject({ is: 'k', unit: 'lb/ac' });
    // 200 mm / 25.4 is 7.87 in.; 0.67 ft x 12 is 8.04 in.
    const slice = readDepth(cell, '.', unit);
    expect(slice?.bottom_in).toBeCloseTo(unit === 'ft' ? 8.04 : 7.874, 2);
    expect(slice?.told).toBe(unit === 'ft' ? '0-8 in' : '0-20 cm');
  });

  test('what each unit of length is, to its exact inch', () => {
    const inches = [
      ['8 in', 8],
      ['20.32 cm', 8],
      ['203.2 mm', 8],
      ['2.032 dm', 8],
      ['0.2032 m', 8],
      ["1'", 12],
    ] as const;
    for (const [cell, bottom_in] of inches) expect(readDepth(cell, '.', 'in')?.bottom_in).toBeCloseTo(bottom_in, 9);
    expect(readDepth('200 mg', '.', 'in')).toBeNull();
    expect(readDepth('5 ft', '.', 'in')).toBeNull();
  });

  test.each([
    ['Depth', 'Topsoil'],
    ['Depth (chains)', '0-0.01'],
  ])('%s with %s is not understood: pounds an acre wait for it, ppm is read and it is said', (heading, cell) => {
    const [, , pounds] = guess(heading, cell);
    expect(pounds).toMatchObject({ is: 'unused', held: 'k', doubt: expect.stringContaining(`column "${heading}"`) });
    const [, depth, ppm] = guess(heading, cell, 'K ppm');
    expect(ppm).toMatchObject({ is: 'k', unit: 'ppm' });
    expect(depth).toMatchObject({ is: 'unused', doubt: expect.stringContaining('left unused') });
    const [, , own] = guess(heading, cell, 'K lb/ac 0-8 in');
    expect(own).toMatchObject({ is: 'k', unit: 'lb/ac', of_in: 8 });
  });
});
