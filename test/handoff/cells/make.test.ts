import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { M2_PER_ACRE } from '../../../core/base/units.ts';
import { area_m2 } from '../../../core/geo/area.ts';
import { difference, intersection } from '../../../core/geo/clip.ts';
import { toLocal } from '../../../core/geo/frame.ts';
import type { LngLat, LocalXY, MultiPolygon } from '../../../core/geo/types.ts';
import { middleFrame } from '../../../core/handoff/cells/heading.ts';
import { type CellsInput, cellPrescriptions } from '../../../core/handoff/cells/make.ts';
import { cutGround } from '../../../core/handoff/cells/outlines.ts';
import { meanUnder, sum_m2, zonesUnder } from '../../../core/handoff/cells/under.ts';
import type { CellSettings } from '../../../core/handoff/settings.ts';
import type { Piece, Prescription } from '../../../core/handoff/types.ts';
import { isMachineRate } from '../../../core/rates/machine.ts';
import { deepFreeze } from '../../freeze.ts';
import { fields } from '../../geo/shapes.ts';
import { rim } from '../../geo/valid.ts';
import { cells, LOADS, MACHINE, pass, piece, place, rectangle } from './ground.ts';

const AT: LngLat = [-93.5, 42];

const made = (
  prescriptions: readonly Prescription[],
  ground: MultiPolygon,
  settings: CellSettings,
  more: Partial<CellsInput> = {},
) => {
  const input = { ground, settings, alike: 'per pass', machine: MACHINE, loads: LOADS, ...more } as const;
  const out = cellPrescriptions(deepFreeze(prescriptions), input);
  if (!out.ok) throw new Error(out.problems.map(({ message }) => message).join());
  return { ...out.value, problems: out.problems };
};
const rates = (one: Prescription | undefined): number[] => (one?.pieces ?? []).map((p) => p.rate_lbPerAc);

/** 200 m by 40 m, west 110 m of it zone A, the rest zone B. */
const ground: MultiPolygon = [[rectangle(AT, [0, 0, 200, 40])]];
const west: MultiPolygon = [[rectangle(AT, [0, 0, 110, 40])]];
const east: MultiPolygon = [[rectangle(AT, [110, 0, 200, 40])]];
const settings = cells({ heading_deg: 90, swath_m: 40, length_m: 20 });

describe('a field of two zones in cells of 20 m along the way', () => {
  const zones = [
    piece('A', west, 100, { k_ppm: 90, cec_meq: Number.NaN }),
    piece('B', east, 240, { k_ppm: 150, note: '240 lb/ac by hand: agreed' }),
  ];
  it('has one cell over both, whose rate is their mean, and as much product', () => {
    const { prescriptions, cells: out } = made([pass('before', zones)], ground, settings);
    // The sixth cell lies half on A and half on B: (100 + 240) / 2 = 170.
    expect(rates(prescriptions[0])).toEqual([100, 100, 100, 100, 100, 170, 240, 240, 240, 240]);
    expect(out).toMatchObject({ heading_deg: 90, from: 'told', cells: 10, slivers: 0, mixed: 1, ramped: 0 });
    // 70 lb/ac more on 10 m by 40 m of A, as much less on B.
    expect(out.over_ac).toBeCloseTo(400 / M2_PER_ACRE, 4);
    expect(out.under_ac).toBeCloseTo(400 / M2_PER_ACRE, 4);
    expect(out.change_lb).toBeCloseTo(0, 2);
    const product_lb = (4400 * 100 + 3600 * 240) / M2_PER_ACRE;
    expect(prescriptions[0]?.totals.product_lb).toBeCloseTo(product_lb, 1);
    expect(prescriptions[0]?.totals.acres).toBeCloseTo(8000 / M2_PER_ACRE, 3);
  });
  it('has its readings by area where they are known, K2O as the product holds, and both letters', () => {
    const { prescriptions } = made([pass('before', zones)], ground, settings);
    const mixed = prescriptions[0]?.pieces[5];
    expect(mixed?.k_ppm).toBeCloseTo(120, 2);
    expect(mixed?.cec_meq).toBe(15);
    expect(mixed?.k2o_lbPerAc).toBeCloseTo(102, 9);
    expect(['A+B', 'B+A']).toContain(mixed?.letter);
    expect(prescriptions[0]?.pieces.map(({ letter }) => letter).filter((_, i) => i !== 5)).toEqual([...'AAAAABBBB']);
    expect(prescriptions[0]?.pieces[9]).toMatchObject({ zoneKey: 'b', note: '240 lb/ac by hand: agreed' });
  });
  it('says whose note it is where the cell is not the zone’s alone, and names a zone from 5 % on', () => {
    const shifted = cells({ heading_deg: 90, swath_m: 40, length_m: 24 });
    // Columns of 24 m: the fifth lies from 96 to 120 m, 14 m of it on A; columns of 22.9 m: 0.5 m of the fifth is on B.
    const five = made([pass('before', zones)], ground, shifted).prescriptions[0]?.pieces[4];
    expect(five?.letter).toBe('A+B');
    const hardly = made([pass('before', zones)], ground, { ...shifted, length_m: 22.1 }).prescriptions[0]?.pieces[4];
    expect(hardly?.letter).toBe('A');
    const noted = zones.map((zone) => (zone.letter === 'A' ? { ...zone, note: 'by hand' } : zone));
    const cell = made([pass('before', noted)], ground, shifted).prescriptions[0]?.pieces[4];
    expect(cell?.note).toBe('zone A: by hand');
  });
  it('steps from the lower rate to the higher one within the limit, and says what that costs', () => {
    const { prescriptions, cells: out } = made([pass('before', zones)], ground, { ...settings, ramp_lbPerAc: 50 });
    expect(rates(prescriptions[0])).toEqual([100, 100, 100, 100, 100, 150, 200, 240, 240, 240]);
    expect(out.ramped).toBe(2);
    expect(out.change_lb).toBeCloseTo((-60 * 800) / M2_PER_ACRE, 1);
    expect(prescriptions[0]?.pieces[6]?.k2o_lbPerAc).toBeCloseTo(120, 9);
  });
  it('melts equal neighbours, by themselves in each pass or alike in all', () => {
    const flat = zones.map((zone) => ({ ...zone, rate_lbPerAc: 80, k2o_lbPerAc: 48 }));
    const two = [pass('before', zones), pass('in season', flat)];
    const joined: CellSettings = { ...settings, joinEqual: true };
    const apart = made(two, ground, joined).prescriptions;
    expect(apart.map(rates)).toEqual([[100, 170, 240], [80]]);
    expect(apart[1]?.pieces[0]).toMatchObject({ letter: 'A+B', zoneKey: 'a' });
    expect(apart[1]?.pieces[0]?.k_ppm).toBeCloseTo(90 * 0.55 + 150 * 0.45, 2);
    expect(apart[1]?.pieces[0]?.acres).toBeCloseTo(8000 / M2_PER_ACRE, 3);
    const alike = made(two, ground, joined, { alike: 'over all passes' }).prescriptions;
    expect(alike.map(rates)).toEqual([
      [100, 170, 240],
      [80, 80, 80],
    ]);
    expect(alike[0]?.pieces.map((p) => p.polygons)).toEqual(alike[1]?.pieces.map((p) => p.polygons));
  });
  it('counts ground written as 0 as 0, and keeps a cell of it alone at 0 under a limit', () => {
    const none = [piece('A', west, 0, { note: 'hold back' }), piece('B', east, 240)];
    const { prescriptions } = made([pass('before', none)], ground, { ...settings, ramp_lbPerAc: 60 });
    expect(rates(prescriptions[0])).toEqual([0, 0, 0, 0, 0, 60, 120, 180, 240, 240]);
    expect(prescriptions[0]?.pieces[0]?.note).toBe('hold back');
  });
  it('holds two products apart, and the K2O of each', () => {
    // 0.6 lb of K2O in a pound of the first and 0.22 in one of the second.
    const both = [
      piece('A', west, 100, { second_lbPerAc: 50, k2o_lbPerAc: 71 }),
      piece('B', east, 240, { second_lbPerAc: 0, k2o_lbPerAc: 144 }),
    ];
    const loads = {
      ...LOADS,
      products: [...LOADS.products, { name: 'K-Mag', price_perTon: 500, density_lbPerFt3: null }],
    };
    const { prescriptions } = made([pass('before', both)], ground, settings, { loads });
    // The mean of 50 and 0 is 25, half the least rate: 50.
    const mixed = prescriptions[0]?.pieces[5];
    expect(mixed?.rate_lbPerAc).toBe(170);
    expect([0, 50]).toContain(mixed?.second_lbPerAc);
    expect(mixed?.k2o_lbPerAc).toBeCloseTo(170 * 0.6 + (mixed?.second_lbPerAc ?? 0) * 0.22, 6);
    expect(prescriptions[0]?.totals.byProduct.map(({ product }) => product)).toEqual(['0-0-60', 'K-Mag']);
  });
  it('does not count the parts of one zone as several', () => {
    const parts = [piece('A', west, 100), piece('A', east, 100)];
    const { prescriptions, cells: out } = made([pass('before', parts)], ground, settings);
    expect(out.mixed).toBe(0);
    expect(new Set(prescriptions[0]?.pieces.map(({ letter }) => letter))).toEqual(new Set(['A']));
  });
  it('is refused with a limit under a step, with ground under no zone, and cautioned past the controller’s rates', () => {
    const input: CellsInput = { ground, settings, alike: 'per pass', machine: MACHINE, loads: LOADS };
    const codes = (of: readonly Piece[], some: Partial<CellsInput>): string[] =>
      cellPrescriptions([pass('before', of)], { ...input, ...some }).problems.map(({ code }) => code);
    expect(codes(zones, { settings: { ...settings, ramp_lbPerAc: 4 } })).toEqual(['handoff-cells-ramp']);
    expect(codes(zones.slice(0, 1), {})).toEqual(['handoff-cells-bare']);
    const few = { ...MACHINE, distinctRates: 2 };
    expect(codes(zones, { machine: few })).toEqual([]);
    expect(codes(zones, { machine: few, settings: { ...settings, ramp_lbPerAc: 50 } })).toEqual([
      'handoff-cells-rates',
    ]);
    expect(() => cellPrescriptions([pass('a', zones), pass('b', zones.slice(1))], input)).toThrow();
  });
});

/** A field in two zones along a straight line, some metres west or east of its first corner. */
const twoZones = fc
  .record({
    field: fields(60, 250),
    shift_m: fc.integer({ min: -400, max: 100 }),
    rateA: fc.integer({ min: 10, max: 100 }),
  })
  .map(({ field, shift_m, rateA }) => {
    const at: LngLat = field[0]?.[0] ?? [0, 0];
    const half: MultiPolygon = [[rectangle(at, [shift_m + 0.137, -900, shift_m + 900, 900])]];
    const whole: MultiPolygon = [field];
    const [a, b] = [intersection(whole, half), difference(whole, half)];
    const zones = [piece('A', a, rateA * 5), piece('B', b, 260)].filter(({ polygons }) => polygons.length > 0);
    return { whole, zones };
  });
const drives = fc.record({
  heading_deg: fc.integer({ min: 0, max: 3599 }).map((n) => n / 10),
  swath_m: fc.integer({ min: 81, max: 300 }).map((n) => n / 10),
  length_m: fc.integer({ min: 81, max: 400 }).map((n) => n / 10),
});

describe('laws of cells', () => {
  it('acres are the ground’s, neighbours share every position, rates are the machine’s and the limit holds', () => {
    fc.assert(
      fc.property(
        twoZones,
        drives,
        fc.constantFrom(null, 40),
        fc.boolean(),
        ({ whole, zones }, drive, ramp, joinEqual) => {
          const set = cells({ ...drive, ramp_lbPerAc: ramp, joinEqual });
          const { prescriptions } = made([pass('before', zones)], whole, set);
          const pieces = prescriptions[0]?.pieces ?? [];
          const ground_ac = area_m2(whole) / M2_PER_ACRE;
          expect(Math.abs((prescriptions[0]?.totals.acres ?? 0) - ground_ac)).toBeLessThan(1e-6 * ground_ac);
          const most = Math.max(...zones.map((zone) => zone.rate_lbPerAc));
          for (const { rate_lbPerAc } of pieces) {
            expect(isMachineRate(rate_lbPerAc, MACHINE)).toBe(true);
            expect(rate_lbPerAc).toBeLessThanOrEqual(most);
          }
          if (joinEqual) return;
          const { cut } = cutGround(whole, set);
          expect(cut?.cells).toEqual(pieces.map(({ polygons }) => polygons));
          if (ramp === null) return;
          cut?.first.forEach((a, pair) => {
            const change = (pieces[a]?.rate_lbPerAc ?? 0) - (pieces[cut.second[pair] ?? -1]?.rate_lbPerAc ?? 0);
            expect(Math.abs(change)).toBeLessThanOrEqual(ramp);
          });
        },
      ),
      { numRuns: 10 },
    );
  });

  it('means times the areas under them are the zones’ rates times theirs, before rounding', () => {
    fc.assert(
      fc.property(twoZones, drives, ({ whole, zones }, drive) => {
        const { cut } = cutGround(whole, cells(drive));
        const under = cut
          ? zonesUnder(
              cut,
              zones.map(({ polygons }) => polygons),
            )
          : [];
        const cells_lb = under.reduce(
          (sum, shares) => sum + meanUnder(shares, (zone) => zones[zone]?.rate_lbPerAc ?? 0) * sum_m2(shares),
          0,
        );
        // Cells are bent to positions on 9 decimals where their lines meet the field's edge: up to 0.1 mm along it.
        const zones_lb = zones.reduce((sum, zone) => sum + zone.rate_lbPerAc * area_m2(zone.polygons), 0);
        const edge_m = rim([whole]).reduce((sum, [a, b]) => sum + Math.hypot(b[0] - a[0], b[1] - a[1]) * 111_000, 0);
        expect(Math.abs(cells_lb - zones_lb)).toBeLessThan(1e-4 * edge_m * 500);
        const inner = zones.map((_, index) =>
          under.reduce((sum, shares) => sum + (shares.find(({ zone }) => zone === index)?.m2 ?? 0), 0),
        );
        const inner_lb = zones.reduce((sum, zone, index) => sum + zone.rate_lbPerAc * (inner[index] ?? 0), 0);
        expect(Math.abs(cells_lb - inner_lb)).toBeLessThan(1e-9 * zones_lb);
      }),
      { numRuns: 10 },
    );
  });

  it('moving or turning field and heading together changes no rate', () => {
    fc.assert(
      fc.property(twoZones, drives, fc.integer({ min: 1, max: 359 }), ({ whole, zones }, drive, turn) => {
        const frame = middleFrame(whole);
        const at: LngLat = [frame.lng0_deg, frame.lat0_deg];
        // East or west, so that metres of a degree stay what they are.
        const to: LngLat = [at[0] > 0 ? at[0] - 1.25 : at[0] + 1.25, at[1]];
        const turned = (polygons: MultiPolygon): MultiPolygon =>
          polygons.map((polygon) =>
            polygon.map((ring) => ring.map((p): LngLat => place(to, toLocal(frame, p) satisfies LocalXY, turn))),
          );
        const set = cells(drive);
        const one = made([pass('before', zones)], whole, set).prescriptions[0];
        const other = made(
          [
            pass(
              'before',
              zones.map((zone) => ({ ...zone, polygons: turned(zone.polygons) })),
            ),
          ],
          turned(whole),
          { ...set, heading_deg: ((set.heading_deg ?? 0) + turn) % 360 },
        ).prescriptions[0];
        expect(rates(other)).toEqual(rates(one));
      }),
      { numRuns: 8 },
    );
  });

  it('melting keeps the ground and the product, and melts all that touch', () => {
    fc.assert(
      fc.property(twoZones, drives, ({ whole, zones }, drive) => {
        const apart = made([pass('before', zones)], whole, cells(drive)).prescriptions[0];
        const joined = made([pass('before', zones)], whole, cells({ ...drive, joinEqual: true })).prescriptions[0];
        expect(joined?.totals.acres).toBeCloseTo(apart?.totals.acres ?? 0, 9);
        expect(joined?.totals.product_lb).toBeCloseTo(apart?.totals.product_lb ?? 0, 6);
        // Edges with the same rate on both sides are gone: melting again finds nothing.
        const byRate = new Map<number, MultiPolygon[]>();
        for (const { rate_lbPerAc, polygons } of joined?.pieces ?? [])
          byRate.set(rate_lbPerAc, [...(byRate.get(rate_lbPerAc) ?? []), polygons]);
        for (const list of byRate.values()) {
          const edges = list.flat(2).reduce((sum, ring) => sum + ring.length - 1, 0);
          expect(rim(list)).toHaveLength(edges);
        }
      }),
      { numRuns: 6 },
    );
  });
});
