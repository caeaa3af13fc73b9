import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { contains } from '../../core/geo/contains.ts';
import type { LngLat, MultiPolygon } from '../../core/geo/types.ts';
import { farFromBorders, NOWHERE, placesOf, recordsAt, SEVERAL, uniform } from '../../core/handoff/points.kernel.ts';
import { drawPlaces, plannedPoints, seedOf } from '../../core/handoff/points.ts';
import type { Prescription } from '../../core/handoff/types.ts';
import { deepFreeze } from '../freeze.ts';

const box = (x1: number, y1: number, x2: number, y2: number): MultiPolygon => [
  [
    [
      [x1, y1],
      [x2, y1],
      [x2, y2],
      [x1, y2],
      [x1, y1],
    ],
  ],
];
const hole: MultiPolygon = [
  [
    [
      [0, 0],
      [10, 0],
      [10, 10],
      [0, 10],
      [0, 0],
    ],
    [
      [4, 4],
      [4, 6],
      [6, 6],
      [6, 4],
      [4, 4],
    ],
  ],
];
const at = (...places: readonly LngLat[]) =>
  placesOf(
    Float64Array.from(places, ([x]) => x),
    Float64Array.from(places, ([, y]) => y),
  );

describe('numbers from a seed', () => {
  it('are those of the paper’s generator: x ^= x << 13, >> 17, << 5 from 1 gives 270369', () => {
    // Worked by hand: 1 -> 0x2001 -> 0x2001 -> 0x42021 = 270369.
    expect(uniform(1)() * 2 ** 32).toBe(270_369);
  });
  it('are even enough: a tenth of them in each tenth', () => {
    const next = uniform(seedOf('deadbeef00'));
    const tenths = new Array<number>(10).fill(0);
    for (let i = 0; i < 20_000; i++) {
      const tenth = Math.floor(next() * 10);
      tenths[tenth] = (tenths[tenth] ?? 0) + 1;
    }
    for (const count of tenths) expect(Math.abs(count - 2000)).toBeLessThan(200);
  });
  it('begin alike however many are drawn, and are another seed’s own', () => {
    const draw = (seed: number, drawn: number) =>
      drawPlaces({ seed, drawn, west_deg: 0, south_deg: 0, east_deg: 1, north_deg: 1 });
    expect([...draw(7, 50).lng]).toEqual([...draw(7, 200).lng.slice(0, 50)]);
    expect(draw(7, 1).lng[0]).not.toBe(draw(8, 1).lng[0]);
  });
});

describe('records at places', () => {
  it('are told apart, with holes, nothing and several', () => {
    const records = deepFreeze([hole, box(10, 0, 20, 10), box(18, 0, 22, 10)]);
    const found = recordsAt(at([2, 2], [5, 5], [15, 5], [19, 5], [21, 5], [30, 5], [5, -1]), records);
    expect([...found]).toEqual([0, NOWHERE, 1, SEVERAL, 2, NOWHERE, NOWHERE]);
  });
  it('agree with point in polygon by another library', () => {
    const shape: MultiPolygon = [
      [
        [
          [0, 0],
          [9, 1],
          [7, 5],
          [10, 10],
          [3, 7],
          [1, 9],
          [0, 0],
        ],
        [
          [2, 3],
          [3, 5],
          [5, 4],
          [2, 3],
        ],
      ],
      [
        [
          [12, 2],
          [14, 2],
          [13, 6],
          [12, 2],
        ],
      ],
    ];
    // Off the corners and edges, where the two have other rules.
    const figure = fc.integer({ min: -1000, max: 15_000 }).map((n) => n / 1000 + 0.000371);
    fc.assert(
      fc.property(
        fc.array(
          fc.tuple(
            figure,
            figure.map((y) => y + 0.00014),
          ),
          { minLength: 1, maxLength: 40 },
        ),
        (places) => {
          const found = recordsAt(at(...places), [shape]);
          expect(places.map((_, i) => found[i] === 0)).toEqual(places.map((place) => contains(shape, place)));
        },
      ),
    );
  });
});

describe('places far from borders', () => {
  const records = [box(0, 0, 10, 10), box(10, 0, 20, 10), box(20, 0, 30, 10)];
  const ground = box(0, 0, 30, 10);
  const rates = [100, 100, 200];
  const places = at([5, 5], [10.5, 5], [19.5, 5], [25, 5], [0.5, 5], [5, 9.5], [40, 5]);
  it('have no edge of another rate, nor of the ground, within the box about them', () => {
    const found = recordsAt(places, records);
    const far = farFromBorders(places, found, records, ground, { lng_deg: 1, lat_deg: 1 }, (place, record) => {
      return rates[found[place] ?? -1] !== rates[record];
    });
    // Beside the border between two records of one rate is far enough.
    expect([...far]).toEqual([1, 1, 0, 1, 0, 0, 0]);
  });
  it('count an edge that passes a corner of the box by its distance', () => {
    const slope: MultiPolygon = [
      [
        [
          [0, 0],
          [10, 0],
          [10, 10],
          [0, 0],
        ],
      ],
    ];
    const beside = at([5, 2.9], [5, 3.1]);
    const found = recordsAt(beside, [slope]);
    const far = farFromBorders(beside, found, [slope], slope, { lng_deg: 1, lat_deg: 1 }, () => true);
    expect([...far]).toEqual([1, 0]);
  });
});

it('points of a plan lie on its ground, 1,000 of them, as many as needed being drawn', () => {
  const piece = (polygons: MultiPolygon, rate_lbPerAc: number) => ({
    zoneKey: 'A',
    letter: 'A',
    polygons,
    acres: 1,
    rate_lbPerAc,
    second_lbPerAc: 0,
    k2o_lbPerAc: 0,
    k_ppm: 1,
    kSat_pct: 1,
    cec_meq: 1,
    note: '',
  });
  // Two squares far apart: a fiftieth of their box.
  const pieces = [piece(box(0, 0, 1, 1), 65), piece(box(9, 9, 10, 10), 80)];
  const totals = { acres: 2, product_lb: 0, product_tons: 0, cost: 0, byProduct: [] };
  const prescriptions: Prescription[] = [{ pass: 'p', pieces, totals }];
  const made = plannedPoints('00000007ff', prescriptions, 'lb/ac', null, []);
  expect(made.points.seed).toBe(7);
  expect(made.points.drawn).toBeLessThanOrEqual(20_000);
  expect(made.points.inside).toBeGreaterThan(300);
  const channel = {
    pass: 0,
    passName: 'p',
    product: 0,
    productName: '',
    column: 'RATE',
    property: 'rate',
    decimals: 2,
    planned_lb: 0,
  };
  const texts = made.textOf({ base: 'b', numbers: [0], passes: prescriptions, channels: [channel] }, 0).split(' ');
  expect(texts).toHaveLength(made.points.drawn);
  expect(texts.filter((text) => text === '65' || text === '80')).toHaveLength(made.points.inside);
  expect(new Set(texts)).toEqual(new Set(['65', '80', '-']));
});
