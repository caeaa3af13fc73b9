import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { area_m2 } from '../../../core/geo/area.ts';
import type { LngLat, MultiPolygon } from '../../../core/geo/types.ts';
import { longestEdgeHeading } from '../../../core/handoff/cells/make.ts';
import { cutCells, cutGround } from '../../../core/handoff/cells/outlines.ts';
import { deepFreeze } from '../../freeze.ts';
import { fields } from '../../geo/shapes.ts';
import { rim, whyInvalid } from '../../geo/valid.ts';
import { cells, rectangle, ringOf } from './ground.ts';

const AT: LngLat = [-93.5, 42];
const areas = (list: readonly MultiPolygon[]): number[] => list.map((one) => area_m2(one));

/** Degrees of the way round the polygons, each length taken in metres as at the latitude. */
function length_m(edges: readonly (readonly [LngLat, LngLat])[]): number {
  return edges.reduce((sum, [a, b]) => {
    const narrow = Math.cos((a[1] * Math.PI) / 180);
    return sum + Math.hypot((b[0] - a[0]) * narrow, b[1] - a[1]) * 111_000;
  }, 0);
}

describe('the heading of the longest edge', () => {
  it('is that of the long sides, whichever way the field is turned', () => {
    for (const turn of [0, 17, 90, 133.25, 179.5]) {
      const field: MultiPolygon = [[rectangle(AT, [-400, -100, 400, 100], turn)]];
      expect(longestEdgeHeading(deepFreeze(field))).toBeCloseTo((90 + turn) % 180, 2);
    }
  });
  it('counts a road-side cut into bent segments as one edge', () => {
    // South side of 300 m in three bent segments against an east side of 250 m and a west side of 240 m, 9 degrees apart.
    const field: MultiPolygon = [
      [
        ringOf(AT, [
          [0, 0],
          [100, 1],
          [200, -1],
          [300, 0],
          [280, 249],
          [20, 160],
        ]),
      ],
    ];
    expect(longestEdgeHeading(field)).toBeCloseTo(90, 0);
  });
  it('takes the lesser heading of a square’s two, and 0 without ground', () => {
    expect(longestEdgeHeading([[rectangle(AT, [-200, -200, 200, 200])]])).toBeCloseTo(0, 2);
    expect(longestEdgeHeading([])).toBe(0);
  });
});

describe('the ground cut into cells', () => {
  it('of 200 m by 100 m is ten rows of five at 20 m by 20 m and heading north, each 400 m²', () => {
    const field: MultiPolygon = deepFreeze([[rectangle(AT, [-100, -50, 100, 50])]]);
    const out = cutCells(field, cells({ heading_deg: 0, swath_m: 20, length_m: 20 }));
    expect(out.problems).toEqual([]);
    expect(out.cells).toHaveLength(50);
    // The flat frame is true to some parts in 100,000 this near to its middle.
    for (const area of areas(out.cells)) expect(area).toBeCloseTo(400, 1);
  });

  it('begins rows at the longest edge: the swath that is cut short lies on the other side', () => {
    // 50 m across, cut by 20 m swaths along the south side, which is longer than the north one.
    const field: MultiPolygon = [
      [
        ringOf(AT, [
          [0, 0],
          [400, 0],
          [380, 50],
          [20, 50],
        ]),
      ],
    ];
    for (const heading_deg of [90, 270]) {
      const { cut } = cutGround(field, cells({ heading_deg, swath_m: 20, length_m: 400, least_share: 0 }));
      const sizes = areas(cut?.cells ?? []);
      expect(sizes).toHaveLength(3);
      const inOrder = heading_deg === 90 ? sizes : sizes.toReversed();
      // Widths at the middles of the rows: 400 - 0.8 x height, that is 392, 376 and 364 m.
      expect(inOrder[0]).toBeCloseTo(20 * 392, -1);
      expect(inOrder[1]).toBeCloseTo(20 * 376, -1);
      expect(inOrder[2]).toBeCloseTo(10 * 364, -1);
    }
  });

  it('joins slivers to the cell behind them in the row, and counts them', () => {
    // 104 m along: the sixth cell of each of the two rows would be 4 m of 20, a fifth.
    const field: MultiPolygon = [[rectangle(AT, [0, 0, 104, 40])]];
    const settings = cells({ heading_deg: 90, swath_m: 20, length_m: 20, least_share: 0.25 });
    const { cut } = cutGround(field, settings);
    expect(cut?.slivers).toBe(2);
    expect(areas(cut?.cells ?? []).map(Math.round)).toEqual([400, 400, 400, 400, 480, 400, 400, 400, 400, 480]);
    const kept = cutGround(field, { ...settings, least_share: 0.1 }).cut;
    expect(kept?.slivers).toBe(0);
    expect(areas(kept?.cells ?? []).map(Math.round)).toEqual([
      400, 400, 400, 400, 400, 80, 400, 400, 400, 400, 400, 80,
    ]);
  });

  it('joins a thin row of slivers across, not to one another, and keeps one that touches nothing', () => {
    const field: MultiPolygon = [[rectangle(AT, [0, 0, 100, 22])], [rectangle(AT, [300, 0, 303, 3])]];
    const { cut } = cutGround(field, cells({ heading_deg: 90, swath_m: 20, length_m: 20 }));
    expect(areas(cut?.cells ?? []).map(Math.round)).toEqual([440, 440, 440, 440, 440, 9]);
  });

  it('makes two cells of one that a ditch cuts apart, each a polygon, and they follow nothing across it', () => {
    const ditch = [...rectangle(AT, [-5, 4, 45, 6])].toReversed();
    const field: MultiPolygon = [[rectangle(AT, [-10, 0, 50, 10]), ditch]];
    const { cut } = cutGround(field, cells({ heading_deg: 90, swath_m: 10, length_m: 20, least_share: 0.05 }));
    const sizes = areas(cut?.cells ?? []).map(Math.round);
    // Columns begin at -10: the middle one lies wholly along the ditch and falls in two of 20 m by 4 m.
    expect(sizes).toEqual([170, 80, 80, 170]);
    expect(Array.from(cut?.first ?? [], (a, i) => [a, cut?.second[i]]).sort()).toEqual([
      [0, 1],
      [0, 2],
      [1, 3],
      [2, 3],
    ]);
  });

  it('is a partition: sound polygons, the ground’s area, and neighbours that share every position', () => {
    fc.assert(
      fc.property(
        fields(60, 300),
        fc.integer({ min: 0, max: 3590 }),
        fc.integer({ min: 100, max: 400 }),
        fc.integer({ min: 100, max: 600 }),
        fc.constantFrom(0, 0.25, 0.6),
        (field, heading, swath, length, least_share) => {
          const ground = deepFreeze([field]);
          const settings = cells({
            heading_deg: heading / 10,
            swath_m: swath / 10,
            length_m: length / 10,
            least_share,
          });
          const { cells: cut } = cutCells(ground, settings);
          const ground_m2 = area_m2(ground);
          const sum = areas(cut).reduce((all, one) => all + one, 0);
          expect(Math.abs(sum - ground_m2)).toBeLessThan(1e-6 * ground_m2);
          for (const cell of cut) {
            expect(cell).toHaveLength(1);
            // Only those that something cut can be unsound.
            if (cell.flat(2).length !== 5) expect(whyInvalid(cell)).toBe('');
          }
          // What stands once is the ground's own way round: a gap, an overlap or a corner on a neighbour's edge would add to it.
          const own = length_m(rim([ground]));
          expect(Math.abs(length_m(rim(cut)) - own)).toBeLessThan(1e-5 * own);
        },
      ),
      { numRuns: 10 },
    );
  });

  it('is refused past 200,000 cells with what to change, and a cell wider than the field is told', () => {
    const field: MultiPolygon = [[rectangle(AT, [-1500, -1500, 1500, 1500])]];
    const many = cutCells(field, cells({ swath_m: 2, length_m: 2 }));
    expect(many.cells).toEqual([]);
    expect(many.problems.map(({ code, severity }) => [code, severity])).toEqual([['handoff-cells-many', 'stop']]);
    const narrow: MultiPolygon = [[rectangle(AT, [-100, -5, 100, 5])]];
    const wide = cutCells(narrow, cells({ heading_deg: 90, swath_m: 30, length_m: 20 }));
    expect(wide.problems.map(({ code, severity }) => [code, severity])).toEqual([['handoff-cells-wide', 'caution']]);
    expect(wide.cells).toHaveLength(10);
    expect(cutCells([], cells({})).problems.map(({ code }) => code)).toEqual(['handoff-cells-ground']);
  });

  it('does not fill the memory for parts that lie far apart', () => {
    const field: MultiPolygon = [[rectangle(AT, [0, 0, 50, 50])], [rectangle([-90, 42], [0, 0, 50, 50])]];
    const out = cutCells(field, cells({ heading_deg: 45, swath_m: 2, length_m: 2 }));
    expect(out.problems.map(({ code }) => code)).toEqual(['handoff-cells-many']);
  });
});
