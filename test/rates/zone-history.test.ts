import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coverCells } from '../../core/geo/cover.kernel.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';
import { makeRates, type RatesInput } from '../../core/rates/make.ts';
import { historyOfZones } from '../../core/rates/zone-history.ts';
import type { GroundHistory, GroundSettings } from '../../core/soil/history.ts';
import { codes, corn, deepFreeze, groundOf, lineOf, ofThePlan, soilPlan, told, zoneRate } from './ground.ts';

/** Ten cells in a row, five to each of two zones; the lattice is that of the test ground. */
const CELLS = 10;
const box = (fromCell: number, toCell: number): [number, number][][] => {
  const [w, e, s, n] = [-94 + fromCell * 1e-4, -94 + toCell * 1e-4, 42, 42.0001];
  return [
    [
      [w, s],
      [e, s],
      [e, n],
      [w, n],
      [w, s],
    ],
  ];
};
const area = (id: string, fromCell: number, toCell: number, history: Partial<GroundHistory> = {}) => ({
  id,
  name: id,
  polygons: [box(fromCell, toCell)],
  history: told(history).history,
});
function inputOf(ground: GroundSettings, rates = corn()): RatesInput {
  const cells = Array.from({ length: CELLS / 2 }, () => ({ k_ppm: 200, cec_meq: 10 }));
  const spec = { k_ppm: 200, cec_meq: 10, cells };
  const input = groundOf([spec, spec], soilPlan(), rates, [], { ground });
  const whole: MultiPolygon = [box(0, CELLS)];
  const cover_m2 = coverCells(input.surfaces.grid.lattice, whole).cover_m2;
  const grid = { ...input.surfaces.grid, cover_m2 };
  return { ...input, surfaces: { ...input.surfaces, grid } };
}
const historiesOf = (ground: GroundSettings) => {
  const { zones, surfaces } = inputOf(ground);
  return historyOfZones(zones, surfaces.grid, deepFreeze(ground));
};

describe('history of a zone', () => {
  it('is the field’s where no area is drawn', () => {
    const { byLabel, problems } = historiesOf(told({ manure: 'none', water: 'irrigated' }));
    expect(byLabel.get(1)?.history).toMatchObject({ manure: 'none', water: 'irrigated', texture: 'not told' });
    expect([byLabel.get(1)?.mixed, problems]).toEqual([[], []]);
  });
  it('is that of most of its acres, quantity by quantity, and says what is otherwise', () => {
    const ground = told({ water: 'rain-fed' }, [area('corner', 0, 3, { manure: 'most years' })]);
    const { byLabel } = historiesOf(ground);
    expect(byLabel.get(1)?.history).toMatchObject({ manure: 'most years', water: 'rain-fed' });
    expect(byLabel.get(1)?.mixed).toEqual([{ what: 'manure', ac: expect.closeTo((2 * 92) / 4046.9, 2) }]);
    expect(byLabel.get(2)?.history.manure).toBe('not told');
  });
  it('adds up areas that say the same', () => {
    const manured = { manure: 'most years' } as const;
    const ground = told({}, [area('a', 0, 2, manured), area('b', 3, 5, manured)]);
    expect(historiesOf(ground).byLabel.get(1)?.history.manure).toBe('most years');
  });
  it('of areas that overlap the later counts', () => {
    const ground = told({}, [area('a', 0, 5, { manure: 'none' }), area('b', 0, 5, { manure: 'most years' })]);
    expect(historiesOf(ground).byLabel.get(1)?.history.manure).toBe('most years');
  });
  it('shares are ground, not cells', () => {
    const { byLabel } = historiesOf(told({}, [area('strip', 0.25, 2.75)]));
    expect(byLabel.get(1)?.shares.get('strip')).toBeCloseTo(0.5, 6);
    expect(byLabel.get(2)?.shares.get('strip')).toBe(0);
  });
  it('an area that crosses itself is left out, and said', () => {
    const bow: [number, number][] = [
      [-94, 42],
      [-93.9995, 42.0001],
      [-93.9995, 42],
      [-94, 42.0001],
      [-94, 42],
    ];
    const bad = { ...area('bow', 0, 1, { manure: 'none' }), polygons: [[bow]] };
    const out = makeRates(inputOf(told({}, [bad])));
    expect(ofThePlan(out).map((one) => one.code)).toEqual(['rates-area-unusable']);
    expect(out.zones[0]?.history.manure).toBe('not told');
  });
  it('shares of areas side by side add up to the whole', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 4.99, noNaN: true }), (cut) => {
        const { byLabel } = historiesOf(told({}, [area('a', 0, cut), area('b', cut, 5)]));
        const shares = byLabel.get(1)?.shares;
        expect((shares?.get('a') ?? 0) + (shares?.get('b') ?? 0)).toBeCloseTo(1, 3);
        expect(shares?.get('a')).toBeCloseTo(cut / 5, 3);
      }),
      { numRuns: 40 },
    );
  });
  it('a credit on a part of a zone counts by that part', () => {
    const credit = {
      kind: 'fertilizer' as const,
      name: 'strip',
      k2o_lbPerAc: 20,
      on: '',
      afterSample: 'yes' as const,
      where: { zoneKeys: [], areaIds: ['strip'] },
    };
    const out = makeRates(inputOf(told({}, [area('strip', 0, 2.5)]), corn({ credits: [credit] })));
    const lines = out.zones.map((zone) => lineOf(zone, 'credits'));
    expect(lines[0]?.carried).toBeCloseTo(-10, 4);
    expect(lines[0]?.how).toContain('on 50 % of the zone = 10.0');
    expect(lines[1]?.carried).toBe(0);
  });
});

describe('what history gives to mind', () => {
  const rich = { k_ppm: 480, cec_meq: 11 };
  const at = (history: Partial<GroundHistory>, spec = rich, changes = {}) =>
    zoneRate(spec, corn(changes), soilPlan(), { ground: told(history) });

  it('manured ground above the range is drawn down, and its history says why', () => {
    const zone = at({ manure: 'in earlier years' });
    expect(codes(zone)).toContain('rates-manured');
    expect(lineOf(zone, 'aboveRange').carried).toBeLessThan(0);
    expect(codes(at({ manure: 'none' }))).not.toContain('rates-manured');
  });
  it('light ground with a high share is not taken for manured: 100 ppm is 8.5 % at CEC 3', () => {
    const said = codes(at({}, { k_ppm: 100, cec_meq: 3 }));
    expect(said).not.toContain('rates-manure-not-told');
    expect(said).not.toContain('rates-manured');
  });
  it('much K and no word on manure asks for one', () => {
    expect(codes(at({}))).toContain('rates-manure-not-told');
    expect(codes(at({}, { k_ppm: 299, cec_meq: 20 }))).not.toContain('rates-manure-not-told');
    expect(codes(at({ manure: 'none' }))).not.toContain('rates-manure-not-told');
  });
  it('manured most years without a credit asks for one', () => {
    expect(codes(at({ manure: 'most years' }))).toContain('rates-manure-no-credit');
  });
  it('grazed ground above the range is cautioned of grass tetany, by the Manitoba figure', () => {
    const found = at({ grazed: 'yes' }).problems.find((one) => one.code === 'rates-tetany');
    expect(found?.remedy).toContain('above 2.2');
    expect(codes(at({ grazed: 'yes' }, { k_ppm: 200, cec_meq: 10 }))).not.toContain('rates-tetany');
    expect(codes(at({ grazed: 'no' }))).not.toContain('rates-tetany');
    expect(codes(at({}))).not.toContain('rates-tetany');
  });
  it('a crop cut for feed is told of it where nobody said whether stock eats it', () => {
    const hay = { crop: 'alfalfa', yieldGoal: 5 };
    const said = (history: Partial<GroundHistory>) =>
      at(history, rich, hay).problems.find((one) => one.code === 'rates-tetany')?.severity;
    expect([said({}), said({ grazed: 'yes' }), said({ grazed: 'no' })]).toEqual(['note', 'caution', undefined]);
  });
  it('in season no more than a note is given for saturation', () => {
    const season = corn().passes.filter((pass) => pass.inSeason);
    const said = (k_ppm: number) =>
      codes(at({}, { k_ppm, cec_meq: 11 }, { passes: season })).filter((code) => code.startsWith('rates-saturation'));
    expect(said(435)).toEqual(['rates-saturation-note']);
    expect(said(700)).toEqual(['rates-saturation-note']);
  });
  it('frozen ground is cautioned (Penn State 2018), and P gets no leniency', () => {
    const short = { k_ppm: 120, cec_meq: 18 };
    const frozen = { spreading: 'winter, frozen or snow-covered' } as const;
    const said = (changes = {}) => at(frozen, short, changes).problems.find((one) => one.code === 'rates-frozen');
    expect(said()?.message).toContain('Penn State Extension 2018');
    expect(said()?.message).not.toContain('holds P');
    const blend = { ...corn().product, name: '0-20-30', p2o5_pct: 20, k2o_pct: 30 };
    expect(said({ product: blend })?.message).toContain('0-20-30 holds P');
    expect(codes(at({ spreading: 'winter, ground open' }, short))).not.toContain('rates-frozen');
    expect(codes(at(frozen, { k_ppm: 520, cec_meq: 11 }))).not.toContain('rates-frozen'); // nothing is spread
  });
  it.each([
    [4.9, false],
    [5, true],
  ])('a slope of %s %% is cautioned: %s', (slope_pct, expected) => {
    expect(codes(at({ slope_pct }, { k_ppm: 120, cec_meq: 18 })).includes('rates-slope')).toBe(expected);
  });
});

describe('holding power by texture and water', () => {
  const at = (history: Partial<GroundHistory>, cec_meq: number, changes = {}) =>
    zoneRate({ k_ppm: 60, cec_meq }, corn(changes), soilPlan(), { ground: told(history) });

  it('sand is light whatever its CEC, and that is said', () => {
    const sand = at({ texture: 'sand or loamy sand' }, 12);
    expect(lineOf(sand, 'cap').working).toBe(120);
    expect(lineOf(sand, 'cap').how).toContain('light ground by its texture');
    expect(codes(sand)).toContain('rates-sand');
    expect(sand.passes.every((pass) => pass.k2o_lbPerAc <= 60 && pass.rate_lbPerAc > 0)).toBe(true);
    expect(sand.removalYearsAboveFloor).toBe(0);
  });
  it('a sandy loam and any other go by their CEC', () => {
    expect(lineOf(at({ texture: 'sandy loam' }, 12), 'cap').working).toBe(240);
    expect(lineOf(at({ texture: 'clay' }, 6), 'cap').working).toBe(120);
    expect(codes(at({ texture: 'sand or loamy sand' }, 5))).not.toContain('rates-sand');
  });
  it('irrigated ground has its own caps where they are told', () => {
    const [light, ...rest] = corn().holding;
    const holding = [
      { ...(light ?? { name: '', under_meq: 8, light: true, perYear_lbK2OPerAc: 1, perPass_lbK2OPerAc: 1 }) },
      ...rest,
    ].map((one) =>
      one.name === 'light' ? { ...one, irrigatedPerYear_lbK2OPerAc: 90, irrigatedPerPass_lbK2OPerAc: 45 } : one,
    );
    const wet = at({ water: 'irrigated' }, 5, { holding });
    expect(lineOf(wet, 'cap')).toMatchObject({ working: 90 });
    expect(wet.passes.map((pass) => pass.k2o_lbPerAc)).toEqual([45, 45]);
    expect(lineOf(at({ water: 'rain-fed' }, 5, { holding }), 'cap').working).toBe(120);
    expect(lineOf(at({ water: 'irrigated' }, 5), 'cap').how).toContain('no other caps are told');
  });
});
