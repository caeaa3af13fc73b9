import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sieveLabels } from '../../core/zones/sieve.kernel.ts';
import { statsByLabel } from '../../core/zones/stats.kernel.ts';
import { letterOf } from '../../core/zones/words.ts';

const rasters = fc
  .record({
    cols: fc.integer({ min: 1, max: 24 }),
    rows: fc.integer({ min: 1, max: 24 }),
    labels: fc.integer({ min: 1, max: 4 }),
    seed: fc.integer({ min: 1, max: 1_000_000 }),
  })
  .map(({ cols, rows, labels, seed }) => {
    let state = seed;
    const next = () => {
      state = (Math.imul(state, 1103515245) + 12345) >>> 0;
      return state >>> 8;
    };
    const grid = Int16Array.from({ length: cols * rows }, () => (next() % 12 === 0 ? 0 : 1 + (next() % labels)));
    const cover = Float64Array.from(grid, (label) => (label === 0 ? 0 : 10 + (next() % 90)));
    return { cols, rows, grid, cover };
  });

/** Parts by flood fill: label, area and labels beside, written anew to check the sieve against. */
function partsOf(grid: Int16Array, cols: number, cover: Float64Array) {
  const seen = new Set<number>();
  const parts: { label: number; area: number; beside: Set<number> }[] = [];
  const around = (cell: number) => [
    ...(cell % cols > 0 ? [cell - 1] : []),
    ...(cell % cols < cols - 1 ? [cell + 1] : []),
    ...(cell >= cols ? [cell - cols] : []),
    ...(cell < grid.length - cols ? [cell + cols] : []),
  ];
  grid.forEach((label, first) => {
    if (label === 0 || seen.has(first)) return;
    const part = { label, area: 0, beside: new Set<number>() };
    const stack = [first];
    seen.add(first);
    for (let cell = stack.pop(); cell !== undefined; cell = stack.pop()) {
      part.area += cover[cell] ?? 0;
      for (const other of around(cell)) {
        const beside = grid[other] ?? 0;
        if (beside !== label) part.beside.add(beside);
        else if (!seen.has(other)) {
          seen.add(other);
          stack.push(other);
        }
      }
    }
    parts.push(part);
  });
  return parts;
}

describe('the sieve', () => {
  it('is worked: the smallest goes first, to the longest border, and what it makes is weighed anew', () => {
    // 3 is one cell with borders 2 : 1 : 1 to label 1, 2 and 1 again; it joins 1, not the larger 2.
    const grid = Int16Array.from([1, 1, 1, 1, 1, 3, 2, 2, 1, 2, 2, 2]);
    const cover = new Float64Array(12).fill(10);
    const out = sieveLabels(grid, 4, cover, 15, 9);
    expect([...out.labels]).toEqual([1, 1, 1, 1, 1, 1, 2, 2, 1, 2, 2, 2]);
    expect(out).toMatchObject({ moved_m2: 10, lonely: 0 });
  });

  it('weighs what it joined anew: 1 joins 2, both join 3, and that is no longer small', () => {
    const grid = Int16Array.from([1, 2, 2, 3, 3, 3, 4, 4, 4, 4]);
    const out = sieveLabels(grid, 10, new Float64Array(10).fill(1), 4, 9);
    expect([...out.labels]).toEqual([3, 3, 3, 3, 3, 3, 4, 4, 4, 4]);
  });

  it('leaves no small part that has a neighbour, changes nothing else, and counts what moved', () => {
    fc.assert(
      fc.property(
        rasters,
        fc.integer({ min: 0, max: 2000 }),
        fc.integer({ min: 4, max: 6 }),
        (raster, least, still) => {
          const { grid, cols, cover } = raster;
          const out = sieveLabels(grid, cols, cover, least, still);
          for (const part of partsOf(out.labels, cols, cover)) {
            const hosts = [...part.beside].filter((label) => label !== 0 && label !== still);
            if (part.label !== still && part.area < least) expect(hosts).toEqual([]);
          }
          let moved = 0;
          grid.forEach((label, cell) => {
            if (label === 0 || label === still) expect(out.labels[cell]).toBe(label);
            else expect([0, still]).not.toContain(out.labels[cell]);
            if (label !== out.labels[cell]) moved += cover[cell] ?? 0;
          });
          expect(out.moved_m2).toBeCloseTo(moved, 6);
          if (partsOf(grid, cols, cover).every(({ area }) => area >= least)) expect(out.labels).toEqual(grid);
          expect(sieveLabels(out.labels, cols, cover, least, still).moved_m2).toBe(0);
        },
      ),
      { numRuns: 100 },
    );
  });
});

describe('the spread of a layer over a zone', () => {
  it('is worked: weights 1, 1, 2 on 10, 20, 40', () => {
    const [none, stat] = statsByLabel(
      Float64Array.from([10, 20, 40, Number.NaN, 99]),
      Int16Array.from([1, 1, 1, 1, 2]),
      Float64Array.from([1, 1, 2, 5, 0]),
      2,
    );
    expect(none).toBeNull();
    // mean (10 + 20 + 80) / 4; sd^2 = (17.5^2 + 7.5^2 + 2 * 12.5^2) / 4; half the ground ends with 20, so half way to 40.
    expect(stat).toMatchObject({ mean: 27.5, median: 30, p20: 10, min: 10, max: 40 });
    expect(stat?.sd).toBeCloseTo(Math.sqrt(168.75), 12);
    expect(stat?.known_ac).toBeCloseTo(4 / 4046.8564224, 15);
  });

  it('agrees with sorting all cells, and stays between least and largest', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            value: fc.oneof(fc.double({ min: -1e6, max: 1e6, noNaN: true }), fc.integer({ min: 0, max: 3 })),
            weight: fc.integer({ min: 1, max: 100 }),
          }),
          { minLength: 1, maxLength: 200 },
        ),
        (cells) => {
          const [, stat] = statsByLabel(
            Float64Array.from(cells, ({ value }) => value),
            new Int16Array(cells.length).fill(1),
            Float64Array.from(cells, ({ weight }) => weight),
            1,
          );
          // Each cell repeated by its whole weight: the common quantiles of that list.
          const all = cells.flatMap(({ value, weight }) => new Array<number>(weight).fill(value)).sort((a, b) => a - b);
          const quantile = (q: number) => {
            const at = q * all.length;
            const low = all[Math.ceil(at) - 1] ?? 0;
            return Number.isInteger(at) ? (low + (all[at] ?? low)) / 2 : low;
          };
          expect(stat?.median).toBeCloseTo(quantile(0.5), 6);
          if (!Number.isInteger(Number((0.2 * all.length).toFixed(9)))) expect(stat?.p20).toBeCloseTo(quantile(0.2), 6);
          expect(stat?.mean).toBeGreaterThanOrEqual(all[0] ?? 0);
          expect(stat?.mean).toBeLessThanOrEqual(all[all.length - 1] ?? 0);
        },
      ),
    );
  });
});

describe('letters', () => {
  it('go on after Z as AA', () => {
    expect([0, 25, 26, 51, 52, 701, 702].map(letterOf)).toEqual(['A', 'Z', 'AA', 'AZ', 'BA', 'ZZ', 'AAA']);
  });
});
