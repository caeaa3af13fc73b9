import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { equalAreaBreaks, naturalBreaks } from '../../core/zones/breaks.ts';
import { makeZones } from '../../core/zones/make.ts';
import { deepFreeze } from '../freeze.ts';
import { box } from '../geo/shapes.ts';
import { settingsOf, soilOf, surfacesOf, TARGETS } from './field.ts';

const square = [[box(-93, 42, -92.99, 42.0075)]];
const ones = (n: number): Float64Array => new Float64Array(n).fill(1);

/** Sum of squared deviations within the classes that rising limits make; a value on a limit is in the class above it. */
function within(values: readonly number[], breaks: readonly number[]): number {
  const groups = Array.from({ length: breaks.length + 1 }, (): number[] => []);
  for (const value of values) groups[breaks.filter((limit) => value >= limit).length]?.push(value);
  return groups.reduce((sum, group) => {
    const mean = group.reduce((a, b) => a + b, 0) / group.length;
    return sum + group.reduce((all, value) => all + (value - mean) ** 2, 0);
  }, 0);
}

describe('natural breaks', () => {
  it('are worked: three heaps part where the gaps are', () => {
    expect(naturalBreaks(Float64Array.of(1, 2, 2, 10, 11, 12, 30, 31), 3)).toEqual([6, 21]);
  });

  it('leave no less deviation than every other way of cutting does (brute force)', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 60 }), { minLength: 4, maxLength: 12 }),
        fc.integer({ min: 2, max: 3 }),
        (values, classes) => {
          const kinds = [...new Set(values)].sort((a, b) => a - b);
          fc.pre(kinds.length >= classes);
          const found = within(values, naturalBreaks(Float64Array.from(values), classes));
          const cuts = kinds.slice(1);
          const ways =
            classes === 2
              ? cuts.map((cut) => [cut])
              : cuts.flatMap((low, i) => cuts.slice(i + 1).map((high) => [low, high]));
          const best = Math.min(...ways.map((way) => within(values, way)));
          expect(found).toBeCloseTo(best, 6);
        },
      ),
    );
  });

  it('of one value are none', () => {
    expect(naturalBreaks(ones(10), 4)).toEqual([]);
  });
});

describe('equal area', () => {
  it('is worked: 10 acres at 1, 10 at 2, 20 at 3 part in the middle between 2 and 3', () => {
    expect(equalAreaBreaks(Float64Array.of(1, 2, 3), Float64Array.of(10, 10, 20), 2)).toEqual([2.5]);
  });

  it('gives each class its share to within one cell', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 0, max: 1_000_000 }), fc.integer({ min: 1, max: 9 })), {
          minLength: 20,
          maxLength: 80,
        }),
        fc.integer({ min: 2, max: 6 }),
        (cells, classes) => {
          const kinds = new Map(cells); // values all different
          const values = Float64Array.from(kinds.keys());
          const cover = Float64Array.from(kinds.values());
          const breaks = equalAreaBreaks(values, cover, classes);
          const total = cover.reduce((a, b) => a + b, 0);
          expect(breaks).toHaveLength(classes - 1);
          breaks.forEach((limit, i) => {
            const below = cover.reduce((sum, area, at) => sum + ((values[at] ?? 0) < limit ? area : 0), 0);
            const asked = ((i + 1) / classes) * total;
            expect(below).toBeGreaterThanOrEqual(asked - 1e-9);
            expect(below).toBeLessThanOrEqual(asked + 9);
          });
        },
      ),
    );
  });
});

describe('limits worked out from the layer', () => {
  const surfaces = surfacesOf(square, 20, { k_ppm: (u) => 80 + 200 * u, kSat_pct: (u) => 14 * u, ph: () => 6.5 });
  const make = (changes: Parameters<typeof settingsOf>[0]) =>
    makeZones(
      deepFreeze({
        surfaces,
        soil: soilOf([]),
        ground: square,
        settings: settingsOf({ least_ac: 0, ...changes }),
        far_m: 150,
        targets: TARGETS,
        polygons: null,
      }),
    );

  it('by equal area share the field out evenly', () => {
    const made = make({ by: { layer: 'k_ppm', breaks: [1] }, limits: 'equal area', classes: 4 });
    if (!made.ok) throw new Error(made.problems[0]?.message);
    expect(made.value.zones).toHaveLength(4);
    for (const zone of made.value.zones) expect(zone.share).toBeCloseTo(0.25, 1);
    expect(made.value.breaks).toHaveLength(3);
  });

  it('by the floors and the range are those of the plan', () => {
    const made = make({ by: { layer: 'kSat_pct', breaks: [1] }, limits: 'floors and range' });
    expect(made.ok && made.value.breaks).toEqual([4, 8, 12]);
    expect(made.ok && made.value.zones).toHaveLength(4);
    const k = make({ by: { layer: 'k_ppm', breaks: [1] }, limits: 'floors and range' });
    expect(k.ok && k.value.breaks).toEqual([150]);
  });

  it('are refused where the plan has no floor for the layer, or it has one value', () => {
    expect(make({ by: { layer: 'ph', breaks: [1] }, limits: 'floors and range' }).problems[0]?.code).toBe(
      'zones-no-floors',
    );
    expect(make({ by: { layer: 'ph', breaks: [1] }, limits: 'natural breaks' }).problems[0]?.code).toBe(
      'zones-one-value',
    );
  });
});
