import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { area_m2 } from '../../core/geo/area.ts';
import type { LngLat, MultiPolygon } from '../../core/geo/types.ts';
import { type CheckInput, checkHandoff } from '../../core/handoff/checks.ts';
import { placeChecks } from '../../core/handoff/checks-place.ts';
import { loadLines } from '../../core/handoff/loads.ts';
import { fileNames } from '../../core/handoff/names.ts';
import { partitionOf } from '../../core/handoff/partition.kernel.ts';
import { totalsOf } from '../../core/handoff/pieces.ts';
import { fileSets } from '../../core/handoff/sets.ts';
import { handoffSettingsSchema } from '../../core/handoff/settings.ts';
import type { Piece, Prescription } from '../../core/handoff/types.ts';
import { faultOf } from '../../core/handoff/valid.kernel.ts';
import { deepFreeze } from '../freeze.ts';

const [WEST, SOUTH, STEP] = [-93.6, 42, 0.001];
const deg = (n: number): number => Math.round(n * 1e9) / 1e9;
/** A rectangle in steps from the south-west corner. */
const box = (x1: number, y1: number, x2: number, y2: number): MultiPolygon => {
  const at = (x: number, y: number): LngLat => [deg(WEST + x * STEP), deg(SOUTH + y * STEP)];
  return [[[at(x1, y1), at(x2, y1), at(x2, y2), at(x1, y2), at(x1, y1)]]];
};

describe('how records cover the ground', () => {
  const ground = box(0, 0, 4, 2);
  it('is once and wholly where they share their edges, and where a corner lies on another’s edge', () => {
    for (const records of [
      [box(0, 0, 2, 2), box(2, 0, 4, 2)],
      [box(0, 0, 2, 2), box(2, 0, 4, 1), box(2, 1, 4, 2)],
    ])
      expect(partitionOf(deepFreeze(records), ground)).toEqual({ over_m2: 0, gap_m2: 0 });
  });
  it('tells ground that lies in two records, and in none, by its area', () => {
    const over = partitionOf([box(0, 0, 2.5, 2), box(2, 0, 4, 2)], ground);
    expect(over.over_m2 / area_m2(box(2, 0, 2.5, 2))).toBeCloseTo(1, 9);
    expect(over.gap_m2).toBe(0);
    const gap = partitionOf([box(0, 0, 2, 2), box(2.5, 0, 4, 2)], ground);
    expect(gap.gap_m2 / area_m2(box(2, 0, 2.5, 2))).toBeCloseTo(1, 9);
    expect(gap.over_m2).toBe(0);
  });
  it('tells both where they balance, a record that is there twice, and one that lies inside another', () => {
    const shifted = partitionOf([box(0, 0, 1.5, 2), box(2, 0, 4.5, 2)], ground);
    expect(shifted.over_m2 / area_m2(box(4, 0, 4.5, 2))).toBeCloseTo(1, 9);
    expect(shifted.gap_m2 / area_m2(box(1.5, 0, 2, 2))).toBeCloseTo(1, 9);
    const twice = partitionOf([box(0, 0, 2, 2), box(0, 0, 2, 2), box(2, 0, 4, 2)], ground);
    expect(twice.over_m2 / area_m2(box(0, 0, 2, 2))).toBeCloseTo(1, 9);
    const inside = partitionOf([box(0, 0, 4, 2), box(1, 0.5, 2, 1.5)], ground);
    expect(inside.over_m2 / area_m2(box(1, 0.5, 2, 1.5))).toBeCloseTo(1, 9);
  });
  it('is never short: over less gap is what the areas say', () => {
    const place = fc.integer({ min: 0, max: 8 });
    const any = fc.tuple(place, place, place, place).filter(([x1, y1, x2, y2]) => x1 < x2 && y1 < y2);
    fc.assert(
      fc.property(fc.array(any, { maxLength: 6 }), (boxes) => {
        const records = boxes.map(([x1, y1, x2, y2]) => box(x1 / 2, y1 / 4, x2 / 2, y2 / 4));
        const { over_m2, gap_m2 } = partitionOf(records, ground);
        const sum = records.reduce((all, one) => all + area_m2(one), 0);
        expect(over_m2 - gap_m2).toBeCloseTo(sum - area_m2(ground), 3);
      }),
      { numRuns: 60 },
    );
  });
  it('names the records that lie beside one another', () => {
    const pairs = new Set<string>();
    partitionOf([box(0, 0, 2, 2), box(2, 0, 4, 1), box(2, 1, 4, 2)], ground, (a, b) => pairs.add([a, b].sort().join()));
    expect([...pairs].sort()).toEqual(['0,1', '0,2', '1,2']);
  });
  it('is found in 100,000 records in seconds', () => {
    const [cols, rows] = [400, 250];
    const records = Array.from({ length: cols * rows }, (_, i) => {
      const [x, y] = [(i % cols) / 100, Math.floor(i / cols) / 125];
      return box(x, y, x + 1 / 100, y + 1 / 125);
    });
    const start = performance.now();
    const { over_m2, gap_m2 } = partitionOf(records, ground);
    expect(over_m2 + gap_m2).toBeLessThan(1e-3);
    expect(performance.now() - start).toBeLessThan(20_000);
  });
});

describe('what keeps a polygon from being sound', () => {
  const ring = (...places: readonly (readonly [number, number])[]): MultiPolygon => [
    [places.map(([x, y]): LngLat => [deg(WEST + x * STEP), deg(SOUTH + y * STEP)])],
  ];
  it.each([
    ['nothing', box(0, 0, 1, 1), null],
    ['an open ring', ring([0, 0], [1, 0], [1, 1], [0, 1]), 'unclosed'],
    ['no area', ring([0, 0], [1, 0], [2, 0], [0, 0]), 'no area'],
    ['clockwise', ring([0, 0], [0, 1], [1, 1], [1, 0], [0, 0]), 'wound wrong'],
    ['a bow', ring([0, 0], [3, 0], [1, 2], [2, 2], [0, 0.5], [0, 0]), 'crosses itself'],
    ['a kink', ring([0, 0], [2, 0], [2, 2], [1, 0], [0, 2], [0, 0]), 'crosses itself'],
    ['parts that overlap', [...box(0, 0, 2, 2), ...box(1, 1, 3, 3)], 'parts meet'],
    ['parts that share an edge', [...box(0, 0, 1, 1), ...box(1, 0, 2, 1)], 'parts meet'],
    ['parts that share a corner', [...box(0, 0, 1, 1), ...box(1, 1, 2, 2)], null],
  ] satisfies readonly (readonly [string, MultiPolygon, ReturnType<typeof faultOf>])[])('%s', (_, polygons, fault) => {
    expect(faultOf(deepFreeze(polygons))).toBe(fault);
  });
});

const piece = (letter: string, polygons: MultiPolygon, rate_lbPerAc: number): Piece => ({
  zoneKey: letter,
  letter,
  polygons,
  acres: area_m2(polygons) / 4046.8564224,
  rate_lbPerAc,
  second_lbPerAc: 0,
  k2o_lbPerAc: 0,
  k_ppm: 100,
  kSat_pct: 3,
  cec_meq: 10,
  note: '',
});
const loads = { products: [{ name: '0-0-60', price_perTon: 400, density_lbPerFt3: null }], charge_perAc: 0 };
const prescription = (pieces: readonly Piece[], pass = 'before planting'): Prescription => ({
  pass,
  pieces,
  totals: totalsOf(pieces, loads),
});

/** What the checks say of some records over 4 x 2 steps of ground. */
function checked(pieces: readonly Piece[], patch: Partial<CheckInput> = {}, settings: object = {}) {
  const prescriptions = [prescription(pieces)];
  const all = handoffSettingsSchema.parse(settings);
  const names = fileNames('Field', all, { passes: 1, products: 1 });
  return checkHandoff({
    planName: 'Field',
    prescriptions,
    sets: fileSets(prescriptions, ['0-0-60'], names, all),
    cells: null,
    loads: loadLines(prescriptions, all.hopper_tons),
    ground: box(0, 0, 4, 2),
    leftOut: [],
    samples: [],
    planned_lb: prescriptions[0]?.totals.product_lb ?? 0,
    machine: { least_lbPerAc: 50, most_lbPerAc: 500, step_lbPerAc: 5, distinctRates: null },
    settings: all,
    ...patch,
  });
}
const sound = [piece('A', box(0, 0, 2, 2), 100), piece('B', box(2, 0, 4, 2), 260)];
const codes = (checks: ReturnType<typeof checked>): string[] => checks.problems.map(({ code }) => code);

describe('the checks before writing', () => {
  it('hold for sound records, and name the largest step at a border', () => {
    const { lines, problems } = checked(sound);
    expect(problems).toEqual([]);
    expect(lines.every(({ holds }) => holds)).toBe(true);
    expect(lines.find(({ what }) => what.startsWith('Largest step'))?.figure).toBe('160 lb/ac, A beside B');
    expect(lines.find(({ what }) => what === 'The field lies at')?.figure).toBe('42.0010° N, 93.5980° W');
  });
  it.each([
    [
      'a gap',
      [piece('A', box(0, 0, 2, 2), 100), piece('B', box(2.1, 0, 4, 2), 260)],
      {},
      {},
      ['handoff-cover', 'handoff-gap'],
    ],
    [
      'an overlap',
      [piece('A', box(0, 0, 2.1, 2), 100), piece('B', box(2, 0, 4, 2), 260)],
      {},
      {},
      ['handoff-cover', 'handoff-overlap'],
    ],
    [
      'an overlap as large as a gap',
      [piece('A', box(0, 0, 1.9, 2), 100), piece('B', box(2, 0, 4.1, 2), 260)],
      {},
      {},
      ['handoff-overlap', 'handoff-gap'],
    ],
    [
      'a rate out of range',
      [piece('A', box(0, 0, 2, 2), 40), piece('B', box(2, 0, 4, 2), 260)],
      {},
      {},
      ['handoff-range'],
    ],
    [
      'no rate',
      [piece('A', box(0, 0, 2, 2), Number.NaN), piece('B', box(2, 0, 4, 2), 260)],
      { planned_lb: Number.NaN },
      {},
      ['handoff-missing', 'handoff-tons'],
    ],
    ['other pounds than planned', sound, { planned_lb: 12_345 }, {}, ['handoff-tons']],
    ['too many records', sound, {}, { limits: { mostRecords: 1 } }, ['handoff-records']],
    ['too many rates', sound, {}, { limits: { mostRates: 1 } }, ['handoff-rates']],
    ['a small record', sound, {}, { limits: { least_ac: 10_000 } }, ['handoff-small']],
    ['letters of other alphabets', sound, { planName: 'Südfeld' }, {}, ['handoff-names']],
  ] as const)('find %s', (_, pieces, patch, settings, found) => {
    const checks = checked(pieces, patch, settings);
    expect(codes(checks)).toEqual(found);
    for (const { message, remedy } of checks.problems) {
      expect(message).not.toBe('');
      expect(remedy).not.toBe('');
    }
  });
  it('find a polygon that is wound wrong', () => {
    const back = box(0, 0, 2, 2).map((polygon) => polygon.map((ring) => ring.toReversed()));
    expect(codes(checked([piece('A', back, 100), piece('B', box(2, 0, 4, 2), 260)]))).toContain('handoff-invalid');
  });
  it('leave ground out that zones leave out', () => {
    const [a] = sound;
    expect(codes(checked(a ? [a] : [], { leftOut: box(2, 0, 4, 2) }))).toEqual([]);
  });
});

describe('the field’s place', () => {
  const at = (lng: number, lat: number): MultiPolygon => [
    [
      [
        [lng, lat],
        [lng + 0.01, lat],
        [lng + 0.01, lat + 0.01],
        [lng, lat + 0.01],
        [lng, lat],
      ],
    ],
  ];
  const found = (ground: MultiPolygon, samples: readonly LngLat[] = [], rateUnit: 'lb/ac' | 'kg/ha' = 'lb/ac') =>
    placeChecks({ ground, samples, settings: { rateUnit } }).problems.map(
      ({ code, severity }) => `${severity} ${code}`,
    );
  it.each([
    ['Iowa', at(-93.6, 42), [[-93.595, 42.005]], []],
    ['Iowa with its sign lost', at(93.6, 42), [], ['caution handoff-hemisphere']],
    ['Iowa upside down', at(-93.6, -42), [], ['caution handoff-hemisphere']],
    ['near the pole', at(42, -83), [], ['stop handoff-place']],
    ['where both are 0', at(0, 0), [], ['stop handoff-place']],
    ['samples with another sign', at(-93.6, 42), [[93.595, 42.005]], ['stop handoff-place']],
    ['samples swapped', at(10, 50), [[50.005, 10.005]], ['stop handoff-place']],
    ['samples elsewhere', at(10, 50), [[20, 20]], []],
  ] as const)('%s', (_, ground, samples, problems) => {
    expect(found(ground, samples)).toEqual(problems);
  });
  it('is no matter of signs in kg/ha', () => expect(found(at(93.6, 42), [], 'kg/ha')).toEqual([]));
});

describe('the load plan', () => {
  it('is whole loads, the rest, and the acres of a full one', () => {
    // 10 acres at 500 lb/ac are 2.5 tons: two loads of 1 ton, half a ton left, 4 acres a load.
    const ten = { ...piece('A', box(0, 0, 1, 1), 500), acres: 10 };
    expect(loadLines([prescription([ten])], 1)).toEqual([
      {
        pass: 'before planting',
        product: '0-0-60',
        tons: 2.5,
        hopper_tons: 1,
        full: 2,
        last_tons: 0.5,
        acresPerLoad: 4,
      },
    ]);
    expect(loadLines([prescription([ten])], 1.25)[0]).toMatchObject({ full: 2, last_tons: 0, acresPerLoad: 5 });
    expect(loadLines([prescription([ten])], 5)[0]).toMatchObject({ full: 0, last_tons: 2.5 });
    expect(loadLines([prescription([ten])], null)).toEqual([]);
    expect(loadLines([prescription([{ ...ten, rate_lbPerAc: 0 }])], 1)).toEqual([]);
  });
  it('carries what there is to carry', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 30, noNaN: true }), fc.integer({ min: 5, max: 500 }), (hopper, rate) => {
        const [line] = loadLines([prescription([piece('A', box(0, 0, 4, 2), rate)])], hopper);
        const carried = (line?.full ?? 0) * hopper + (line?.last_tons ?? 0);
        expect(Math.abs(carried - (line?.tons ?? Number.NaN))).toBeLessThanOrEqual(0.001 + 1e-9);
        expect(line?.last_tons).toBeLessThan(hopper);
      }),
    );
  });
});
