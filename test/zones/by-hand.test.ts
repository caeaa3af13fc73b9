import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { area_m2 } from '../../core/geo/area.ts';
import { intersection } from '../../core/geo/clip.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';
import { makeZones } from '../../core/zones/make.ts';
import type { ZoneEdit, ZonesSettings } from '../../core/zones/settings.ts';
import { deepFreeze } from '../freeze.ts';
import { box, fields } from '../geo/shapes.ts';
import { whyInvalid } from '../geo/valid.ts';
import { settingsOf, soilOf, surfacesOf, TARGETS } from './field.ts';

const M2_PER_ACRE = 4046.8564224;
const square: MultiPolygon = [[box(-93, 42, -92.99, 42.0075)]];

/** West half short, east half not: zones `2` and `1`. */
function made(edits: readonly ZoneEdit[], changes: Partial<ZonesSettings> = {}, ground = square, cell_m = 20) {
  const surfaces = surfacesOf(ground, cell_m, {
    k2oNeed_lbPerAc: (u) => (u < 0.5 ? 250 : 0),
    k_ppm: (u) => 100 + 100 * u,
  });
  const result = makeZones(
    deepFreeze({
      surfaces,
      soil: soilOf([]),
      ground,
      settings: settingsOf({
        by: { layer: 'k2oNeed_lbPerAc', breaks: [1] },
        smooth: false,
        edits: [...edits],
        ...changes,
      }),
      far_m: 150,
      targets: TARGETS,
      polygons: null,
    }),
  );
  if (!result.ok) throw new Error(result.problems.map(({ message }) => message).join(' '));
  return { ...result.value, codes: result.problems.map(({ code }) => code) };
}
const acresOf = (out: ReturnType<typeof made>, key: string): number =>
  out.zones.find((zone) => zone.key === key)?.acres ?? 0;

describe('zones by hand', () => {
  it('are drawn: a polygon becomes a zone of its own, taken from those under it', () => {
    const before = made([]);
    const rings = [box(-92.997, 42.002, -92.993, 42.005)];
    const after = made([{ does: 'draw', id: 'a1', rings: rings as [number, number][][] }]);
    const drawn_ac = area_m2([rings]) / M2_PER_ACRE;
    expect(acresOf(after, 'ha1')).toBeGreaterThan(0.9 * drawn_ac);
    expect(acresOf(after, 'ha1')).toBeLessThan(1.1 * drawn_ac);
    expect(after.zones.reduce((sum, { acres }) => sum + acres, 0)).toBeCloseTo(
      before.zones.reduce((sum, { acres }) => sum + acres, 0),
      4,
    );
    expect(after.codes).toEqual([]);
  });

  it('are cut along a line: the smaller side becomes a zone, the larger keeps its key', () => {
    const line: [number, number][] = [
      [-92.998, 41.99],
      [-92.998, 42.02],
    ];
    const after = made([{ does: 'cut', id: 'c', zone: '2', line }]);
    const all = acresOf(made([]), '2');
    expect(acresOf(after, '2') + acresOf(after, 'hc')).toBeCloseTo(all, 4);
    expect(acresOf(after, 'hc') / all).toBeCloseTo(2 / 5, 1);
    expect(after.zones.map(({ key }) => key)).toEqual(['1', '2', 'hc']);
  });

  it('are not cut by a line that ends inside: a caution says so, and nothing is changed', () => {
    const line: [number, number][] = [
      [-92.998, 41.99],
      [-92.998, 42.004],
    ];
    const after = made([{ does: 'cut', id: 'c', zone: '2', line }]);
    expect(after.codes).toEqual(['zones-cut-short']);
    expect([...after.labels]).toEqual([...made([]).labels]);
  });

  it('are joined under the key of one', () => {
    const after = made([{ does: 'join', zones: ['1', '2'], into: '2' }]);
    expect(after.zones.map(({ key }) => key)).toEqual(['2']);
    expect(after.zones[0]?.share).toBeCloseTo(1, 9);
  });

  it('are painted: a brush of 100 m along 500 m takes about 12 acres', () => {
    const line: [number, number][] = [
      [-92.9945, 42.002],
      [-92.9945, 42.0065],
    ];
    const before = made([]);
    const after = made([{ does: 'paint', into: '2', line, width_m: 100 }], {}, square, 10);
    const length_m = 0.0045 * 111_070; // metres in a degree of latitude at 42 N
    const brushed_m2 = length_m * 100 + Math.PI * 50 ** 2;
    const inside = (acresOf(after, '2') - acresOf(before, '2')) * M2_PER_ACRE;
    // The line runs 41 m east of the old border, so some of the brush is in zone 2 already.
    expect(inside).toBeGreaterThan(0.8 * brushed_m2);
    expect(inside).toBeLessThan(brushed_m2 * 1.02);
  });

  it('leave no sliver: a tiny part that a drawn zone cuts off another goes to a neighbour, and is told', () => {
    // Zone 2 is the west half, 413 m by 833 m. The box leaves a strip 12 m wide and about 111 m long of it in the west.
    const rings = [box(-92.99985, 42.003, -92.9975, 42.004) as [number, number][]];
    const rim = [box(-93.001, 42.002, -92.997, 42.003), box(-93.001, 42.004, -92.997, 42.005)] as [number, number][][];
    const edits: ZoneEdit[] = [
      { does: 'draw', id: 'a', rings },
      { does: 'draw', id: 'b', rings: [rim[0] ?? []] },
      { does: 'draw', id: 'c', rings: [rim[1] ?? []] },
    ];
    const kept = made(edits, { least_ac: 0 }, square, 5);
    const swept = made(edits, {}, square, 5);
    const strip_ac = acresOf(kept, '2') - acresOf(swept, '2');
    expect(kept.codes).toEqual([]);
    expect(swept.codes).toEqual(['zones-edit-leftovers']);
    expect(strip_ac).toBeGreaterThan(0.2);
    expect(strip_ac).toBeLessThan(0.5);
    expect(swept.zones.reduce((sum, { acres }) => sum + acres, 0)).toBeCloseTo(swept.spreadable_ac, 4);
  });

  it('tell of an edit whose zone is not there, and go on with the others', () => {
    const after = made([
      { does: 'join', zones: ['7'], into: '1' },
      { does: 'paint', into: 'hx', line: [[-92.995, 42.003]], width_m: 50 },
      { does: 'join', zones: ['1'], into: '2' },
      { does: 'draw', id: 'off', rings: [box(-93.2, 42, -93.1, 42.01) as [number, number][]] },
    ]);
    expect(after.codes).toEqual(['zones-edit-lost', 'zones-edit-lost', 'zones-edit-nothing']);
    expect(after.zones).toHaveLength(1);
  });
});

const place = fc.tuple(
  fc.double({ min: -0.2, max: 1.2, noNaN: true }),
  fc.double({ min: -0.2, max: 1.2, noNaN: true }),
);
const keys = fc.constantFrom('1', '2', 'ha', 'hb', 'hc', 'unknown');
/** Edits in shares of the field's box, so that they meet any field. */
const edit = fc.oneof(
  fc.record({
    does: fc.constant('draw' as const),
    id: fc.constantFrom('a', 'b'),
    at: place,
    size: fc.double({ min: 0.05, max: 0.6, noNaN: true }),
  }),
  fc.record({
    does: fc.constant('cut' as const),
    id: fc.constant('c'),
    zone: keys,
    line: fc.array(place, { minLength: 2, maxLength: 5 }),
  }),
  fc.record({ does: fc.constant('join' as const), zones: fc.array(keys, { minLength: 1, maxLength: 3 }), into: keys }),
  fc.record({
    does: fc.constant('paint' as const),
    into: keys,
    line: fc.array(place, { minLength: 1, maxLength: 6 }),
    width_m: fc.integer({ min: 5, max: 120 }),
  }),
);

describe('zones after any edits', () => {
  it('are valid, disjoint, and share out the spreadable ground to 1e-6', () => {
    fc.assert(
      fc.property(
        fields(150, 400).map((polygon): MultiPolygon => [polygon]),
        fc.array(edit, { maxLength: 12 }),
        fc.boolean(),
        (ground, steps, smooth) => {
          const lngs = ground.flat(2).map(([lng]) => lng);
          const lats = ground.flat(2).map(([, lat]) => lat);
          const [west, south] = [Math.min(...lngs), Math.min(...lats)];
          const [wide, high] = [Math.max(...lngs) - west, Math.max(...lats) - south];
          const at = ([u, v]: readonly [number, number]): [number, number] => [west + u * wide, south + v * high];
          const edits = steps.map((step): ZoneEdit => {
            if (step.does === 'draw') {
              const [u, v] = step.at;
              const ring = [
                [u, v],
                [u + step.size, v],
                [u + step.size, v + step.size],
                [u, v + step.size],
                [u, v],
              ] as const;
              return { does: 'draw', id: step.id, rings: [ring.map(at)] };
            }
            return step.does === 'join' ? step : { ...step, line: step.line.map(at) };
          });
          const out = made(edits, { smooth, least_ac: 0 }, ground, Math.max(10, (high * 111_000) / 30));
          for (const { polygons } of out.zones) expect(whyInvalid(polygons)).toBe('');
          const ground_ac = area_m2(ground) / M2_PER_ACRE;
          const sum = out.zones.reduce((all, { acres }) => all + acres, 0);
          expect(Math.abs(sum - ground_ac)).toBeLessThan(1e-6 * ground_ac + 1e-6);
          out.zones.forEach((zone, i) => {
            for (const other of out.zones.slice(i + 1))
              expect(area_m2(intersection(zone.polygons, other.polygons))).toBeLessThan(1e-3);
          });
          expect(out.zones.reduce((all, { share }) => all + share, 0)).toBeCloseTo(1, 5);
        },
      ),
      { numRuns: 350 },
    );
  }, 60_000);

  it('come back as they were when the edits are taken away: nothing is kept beside the plan', () => {
    const once = made([]);
    made([{ does: 'draw', id: 'a', rings: [box(-92.997, 42.002, -92.993, 42.005) as [number, number][]] }]);
    expect(made([]).zones.map(({ acres }) => acres)).toEqual(once.zones.map(({ acres }) => acres));
  });
});
