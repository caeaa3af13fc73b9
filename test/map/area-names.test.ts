import fc from 'fast-check';
import { expect, it } from 'vitest';
import type { LngLat } from '../../core/geo/types.ts';
import { placeAreaNames } from '../../renderer/map/area-names.ts';

/** Degrees that are pixels. */
const same = ([x, y]: LngLat): [number, number] => [x, y];
const area = (x: number, y: number, name = 'Old yard') => ({ at: [x, y] as LngLat, name, chosen: false });
const hides = (at: readonly [number, number], name: string, [x, y]: LngLat): boolean =>
  Math.abs(at[0] - x) < name.length * 3.3 + 6 && Math.abs(at[1] - y) < 13;

it('a name stands at the widest spot where it is free, and moves off a dot where it is not', () => {
  expect(placeAreaNames([area(100, 100)], [], same)[0]?.at).toEqual([100, 100]);
  const [moved] = placeAreaNames([area(100, 100)], [[100, 100]], same);
  expect(moved && hides(moved.at, moved.name, [100, 100])).toBe(false);
});

it('two names of one place stand apart', () => {
  const [a, b] = placeAreaNames([area(100, 100), area(100, 100, 'Barn')], [], same);
  expect(Math.abs((a?.at[1] ?? 0) - (b?.at[1] ?? 0))).toBeGreaterThanOrEqual(14);
});

it('law: a few dots never lie under a name, and every area has one', () => {
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.integer({ min: 60, max: 140 }), fc.integer({ min: 60, max: 140 })), { maxLength: 3 }),
      (dots) => {
        const [one, ...others] = placeAreaNames([area(100, 100)], dots, same);
        expect(others).toEqual([]);
        for (const dot of dots) expect(one && hides(one.at, one.name, dot)).toBe(false);
      },
    ),
  );
});
