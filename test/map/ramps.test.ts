import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  BALANCE_GROUND,
  classAreas,
  classOf,
  colourOf,
  ON_GROUND,
  ownRamp,
  RAMPS,
  type Ramp,
  UNKNOWN,
  ZERO,
} from '../../renderer/map/ramps.ts';

const css = readFileSync(new URL('../../renderer/ui/tokens.css', import.meta.url), 'utf8');
const light = css.slice(css.indexOf(':root'), css.indexOf('[data-theme'));
const token = (name: string): string | undefined =>
  new RegExp(`--${name}:\\s*(#[0-9a-fA-F]{6})`).exec(light)?.[1]?.toLowerCase();
const ramps: [string, Ramp][] = Object.entries(RAMPS);

describe('colours and class limits of the layers', () => {
  it.each(ramps)('%s has the colours of tokens.css, in their order', (_, ramp) => {
    expect(ramp.colours.map((colour) => colour.toLowerCase())).toEqual(
      ramp.colours.map((_colour, i) => token(`${ramp.token}-${i + 1}`)),
    );
    expect(token(`${ramp.token}-${ramp.colours.length + 1}`)).toBeUndefined();
  });

  it.each([
    ['setAside', 'stop'],
    ['both', 'b-both'],
    ['pounds', 'b-pounds'],
    ['share', 'b-share'],
    ['enough', 'ink-3'],
    ['rich', 'b-rich'],
    ['out', 'b-out'],
  ] as const)('%s on the ground is the light --%s', (name, variable) => {
    expect(ON_GROUND[name].toLowerCase()).toBe(token(variable));
  });

  it.each(Object.entries(BALANCE_GROUND))('ground %s is %s in the tokens', (name, colour) => {
    expect(token(`b-ground-${name}`)).toBe(colour);
  });

  it('paper is the zero of rates', () => {
    expect(RAMPS.rate.zero.toLowerCase()).toBe(token('rate-0'));
  });

  it.each(ramps)('%s has ascending limits, one fewer than colours', (_, ramp) => {
    expect(ramp.limits.length).toBe(ramp.colours.length - 1);
    expect([...ramp.limits].sort((a, b) => a - b)).toEqual(ramp.limits);
    expect(new Set(ramp.limits).size).toBe(ramp.limits.length);
  });

  it('puts a value on a limit into the class above it: 150 ppm is not short', () => {
    expect(classOf(RAMPS.k_ppm, 149.999)).toBe(4);
    expect(classOf(RAMPS.k_ppm, 150)).toBe(5);
    expect(colourOf(RAMPS.k_ppm, 150)).toBe('#1d91c0');
  });

  it('keeps 0 apart on rates, and knows what is not known', () => {
    expect(classOf(RAMPS.rate, 0)).toBe(ZERO);
    expect(classOf(RAMPS.rate, 0.5)).toBe(0);
    expect(classOf(RAMPS.k_ppm, 0)).toBe(0);
    expect(classOf(RAMPS.k_ppm, Number.NaN)).toBe(UNKNOWN);
    expect(colourOf(RAMPS.k_ppm, Number.NaN)).toBeNull();
  });

  it('never lets a larger value fall into a lower class', () => {
    const value = fc.double({ min: 0, max: 1e5, noNaN: true });
    fc.assert(
      fc.property(fc.constantFrom(...ramps), value, value, ([, ramp], a, b) => {
        expect(classOf(ramp, Math.min(a, b))).toBeLessThanOrEqual(classOf(ramp, Math.max(a, b)));
      }),
    );
  });

  it('shares all of the ground among classes, zero and the unknown', () => {
    const cell = fc.record({
      value: fc.oneof(fc.double({ min: 0, max: 800, noNaN: true }), fc.constant(Number.NaN)),
      ground: fc.integer({ min: 0, max: 100 }),
    });
    fc.assert(
      fc.property(fc.constantFrom(...ramps), fc.array(cell), ([, ramp], cells) => {
        const areas = classAreas(
          ramp,
          cells.map((one) => one.value),
          cells.map((one) => one.ground),
        );
        const sum = areas.classes.reduce((all, one) => all + one, areas.zero + areas.unknown);
        expect(sum).toBe(cells.reduce((all, one) => all + one.ground, 0));
      }),
    );
  });
});

describe('the ramp of a layer that the user brought', () => {
  const even = Float64Array.from({ length: 7000 }, (_, i) => 300 + i / 100);
  const ground = even.map(() => 1);

  it('has the colours of tokens.css and gives each about as much ground', () => {
    const ramp = ownRamp(even, ground);
    expect(ramp.colours).toEqual(ramp.colours.map((_colour, i) => token(`own-${i + 1}`)));
    const { classes } = classAreas(ramp, even, ground);
    for (const area of classes) expect(Math.abs(area / 1000 - 1)).toBeLessThan(0.1);
  });

  it('says limits that a legend can say', () => {
    for (const limit of ownRamp(even, ground).limits) expect(String(limit).length).toBeLessThanOrEqual(5);
  });

  it('is one colour where the layer does not vary, and sound where nothing is known', () => {
    for (const value of [5, Number.NaN]) {
      const ramp = ownRamp(new Float64Array(50).fill(value), new Float64Array(50).fill(1));
      expect(ramp.limits).toEqual([]);
      expect(ramp.colours).toHaveLength(1);
    }
  });

  it('rises with fewer colours where few values are all there is', () => {
    const values = Float64Array.from({ length: 100 }, (_, i) => (i < 50 ? 0 : 1));
    const ramp = ownRamp(
      values,
      values.map(() => 1),
    );
    expect(ramp.colours).toHaveLength(ramp.limits.length + 1);
    expect(classOf(ramp, 1)).toBeGreaterThan(classOf(ramp, 0));
    expect(ramp.colours[0]).not.toBe(ramp.colours[ramp.colours.length - 1]);
  });
});
