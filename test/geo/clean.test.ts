import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { area_m2 } from '../../core/geo/area.ts';
import { cleanPolygons } from '../../core/geo/clean.ts';
import { signedArea_deg2 } from '../../core/geo/ring.ts';
import type { LngLat, MultiPolygon, Ring } from '../../core/geo/types.ts';
import { deepFreeze } from '../freeze.ts';
import { box, fields, star } from './shapes.ts';
import { whyInvalid } from './valid.ts';

const AT = { file: 'field.geojson', feature: 1 };
type Rings = readonly (readonly (readonly LngLat[])[])[];

const clean = (polygons: Rings) => cleanPolygons(deepFreeze(polygons), AT);
const codes = (result: ReturnType<typeof clean>) => result.problems.map(({ code }) => code);
function cleaned(polygons: Rings): MultiPolygon {
  const result = clean(polygons);
  if (!result.ok) throw new Error(result.problems.map(({ message }) => message).join(' '));
  return result.value;
}

const field = box(-93, 42, -92.99, 42.01);
const pond = box(-92.996, 42.004, -92.994, 42.006);
const acresOf = (ring: Ring) => area_m2([[ring]]);

describe('polygons that are sound', () => {
  it('stay as they are, whatever their winding, start or closing', () => {
    fc.assert(
      fc.property(fields(60, 900), fc.boolean(), fc.boolean(), fc.nat(), (polygon, turned, open, start) => {
        const given = polygon.map((ring) => {
          const body = ring.slice(0, -1);
          const from = start % body.length;
          const ways = [...body.slice(from), ...body.slice(0, from)];
          const closed = open ? ways : [...ways, ways[0] as LngLat];
          return turned ? closed.toReversed() : closed;
        });
        const out = cleaned([given]);
        expect(whyInvalid(out)).toBe('');
        expect(area_m2(out)).toBeCloseTo(area_m2([polygon]), 6);
        expect(out[0]?.map((ring) => signedArea_deg2(ring) > 0)).toEqual(polygon.map((_, index) => index === 0));
        expect(out.flat(2).length).toBe(polygon.flat().length);
        expect(clean([given]).problems).toEqual([]);
      }),
    );
  });

  it('are snapped to 8 decimals and lose repeated places', () => {
    const rough: LngLat[] = [
      [-93.000000001, 42],
      [-93, 42.000000002],
      [-92.99, 42],
      [-92.99, 42.01],
      [-92.99, 42.01],
      [-93, 42.01],
    ];
    expect(cleaned([[rough]])).toEqual([[box(-93, 42, -92.99, 42.01)]]);
  });

  it('may touch their hole or one another at single corners', () => {
    const touching = [box(-93, 42, -92.99, 42.01), box(-92.99, 42.01, -92.98, 42.02)];
    expect(clean(touching.map((ring) => [ring])).problems).toEqual([]);
    const hole: LngLat[] = [
      [-93, 42.005],
      [-92.995, 42.004],
      [-92.995, 42.006],
      [-93, 42.005],
    ];
    const out = cleaned([[field, hole]]);
    expect(out[0]).toHaveLength(2);
    expect(whyInvalid(out)).toBe('');
  });
});

describe('holes', () => {
  it('go to the part that contains them, by shape and not by box', () => {
    // The hole of the C's hollow lies in the box of the C, and in the block that stands in the hollow.
    const c: Ring = [
      [-93, 42],
      [-92.99, 42],
      [-92.99, 42.002],
      [-92.998, 42.002],
      [-92.998, 42.008],
      [-92.99, 42.008],
      [-92.99, 42.01],
      [-93, 42.01],
      [-93, 42],
    ];
    const block = box(-92.996, 42.003, -92.992, 42.007);
    const hole = box(-92.995, 42.004, -92.993, 42.006);
    const out = clean([[c, hole], [block]]);
    expect(codes(out)).toEqual(['geo-hole-moved']);
    expect(out.ok && out.value.map((polygon) => polygon.length)).toEqual([1, 2]);
  });

  it('stay with an island inside a hole', () => {
    const island = box(-92.9955, 42.0045, -92.9945, 42.0055);
    const well = box(-92.9952, 42.0048, -92.9948, 42.0052);
    const out = clean([
      [field, pond],
      [island, well],
    ]);
    expect(out.problems).toEqual([]);
    expect(out.ok && out.value.map((polygon) => polygon.length)).toEqual([2, 2]);
  });

  it('outside every part, or inside another hole, are left out and told', () => {
    const far = clean([[field, box(-92.95, 42, -92.94, 42.01)]]);
    expect(far).toMatchObject({
      ok: true,
      value: [[field]],
      problems: [{ code: 'geo-hole-outside', severity: 'caution', at: { lngLat: [-92.95, 42] } }],
    });
    const inner = box(-92.9955, 42.0045, -92.9945, 42.0055);
    expect(codes(clean([[field, pond, inner]]))).toEqual(['geo-hole-in-hole']);
  });

  it('that meet the edge or one another are cut out as far as they reach', () => {
    const across = box(-92.995, 41.995, -92.994, 42.005);
    const out = clean([[field, across]]);
    expect(codes(out)).toEqual(['geo-hole-crosses-edge']);
    const cut = acresOf(field) - acresOf(box(-92.995, 42, -92.994, 42.005));
    expect(out.ok && Math.abs(area_m2(out.value) / cut - 1)).toBeLessThan(1e-7);

    const beside = box(-92.995, 42.005, -92.993, 42.008);
    const two = clean([[field, pond, beside]]);
    expect(codes(two)).toEqual(['geo-holes-overlap']);
    expect(two.ok && two.value[0]).toHaveLength(2);
    expect(two.ok && whyInvalid(two.value)).toBe('');
  });
});

describe('parts', () => {
  it('that overlap are counted once, with the acres told', () => {
    const out = clean([[field], [box(-92.995, 42, -92.985, 42.01)]]);
    expect(out).toMatchObject({ ok: true, problems: [{ code: 'geo-parts-overlap', severity: 'caution' }] });
    const whole = acresOf(box(-93, 42, -92.985, 42.01));
    expect(out.ok && Math.abs(area_m2(out.value) / whole - 1)).toBeLessThan(1e-7);
  });

  it('that stand twice, or lie inside another, are counted once', () => {
    for (const again of [field, pond]) {
      const out = clean([[field], [again]]);
      expect(codes(out)).toEqual(['geo-parts-overlap']);
      expect(out.ok && Math.abs(area_m2(out.value) / acresOf(field) - 1)).toBeLessThan(1e-9);
    }
  });

  it('that adjoin are joined, and an island that meets the edge of its hole keeps its ground', () => {
    const out = clean([[field], [box(-92.99, 42, -92.98, 42.01)]]);
    expect(codes(out)).toEqual(['geo-parts-joined']);
    expect(out.ok && out.value).toHaveLength(1);

    const island = box(-92.996, 42.004, -92.995, 42.005);
    const kept = cleaned([[field, pond], [island]]);
    const ground = acresOf(field) - acresOf(pond) + acresOf(island);
    expect(Math.abs(area_m2(kept) / ground - 1)).toBeLessThan(1e-7);
    expect(whyInvalid(kept)).toBe('');
  });
});

describe('outlines that touch themselves', () => {
  it('by a cut to the hole (a keyhole) become a part with a hole', () => {
    const keyhole: LngLat[] = [
      [-93, 42],
      [-92.99, 42],
      [-92.99, 42.01],
      [-93, 42.01],
      [-93, 42.005],
      [-92.997, 42.005],
      [-92.997, 42.007],
      [-92.995, 42.007],
      [-92.995, 42.005],
      [-92.997, 42.005],
      [-93, 42.005],
    ];
    const out = clean([[keyhole]]);
    expect(out).toMatchObject({ ok: true, problems: [{ code: 'geo-ring-touches-itself', severity: 'caution' }] });
    const ground = acresOf(field) - acresOf(box(-92.997, 42.005, -92.995, 42.007));
    expect(out.ok && Math.abs(area_m2(out.value) / ground - 1)).toBeLessThan(1e-7);
    expect(out.ok && whyInvalid(out.value)).toBe('');
  });

  it('at a corner become two parts', () => {
    const twice: LngLat[] = [
      [-93, 42],
      [-92.995, 42.005],
      [-92.99, 42],
      [-92.99, 42.01],
      [-92.995, 42.005],
      [-93, 42.01],
    ];
    const out = clean([[twice]]);
    expect(codes(out)).toEqual(['geo-ring-touches-itself']);
    expect(out.ok && out.value).toHaveLength(2);
    expect(out.ok && whyInvalid(out.value)).toBe('');
  });

  it('twice along a hole fall apart into two parts', () => {
    const across: LngLat[] = [
      [-93, 42.005],
      [-92.995, 42.004],
      [-92.99, 42.005],
      [-92.995, 42.006],
      [-93, 42.005],
    ];
    const out = cleaned([[field, across]]);
    expect(out.map((polygon) => polygon.length)).toEqual([1, 1]);
    expect(whyInvalid(out)).toBe('');
    expect(Math.abs(area_m2(out) / (acresOf(field) - acresOf(across)) - 1)).toBeLessThan(1e-7);
  });

  it('in a spike lose it', () => {
    const spiked: LngLat[] = [...field.slice(0, 2), [-92.98, 42], ...field.slice(1)];
    const out = clean([[spiked]]);
    expect(out).toMatchObject({
      ok: true,
      value: [[field]],
      problems: [{ code: 'geo-spike', at: { lngLat: [-92.98, 42] } }],
    });
  });
});

describe('outlines that cannot be right', () => {
  it('cross themselves: refused with the place', () => {
    // Two edges of a bow tie, worked: they cross in the middle.
    const bow: LngLat[] = [
      [-93, 42],
      [-92.99, 42.01],
      [-92.99, 42],
      [-93, 42.01],
    ];
    expect(clean([[bow]])).toMatchObject({
      ok: false,
      problems: [{ code: 'geo-self-crossing', severity: 'stop', at: { ...AT, lngLat: [-92.995, 42.005] } }],
    });
  });

  it('cross themselves right at a corner: refused too', () => {
    const knot: LngLat[] = [
      [-93, 42],
      [-92.995, 42.005],
      [-92.99, 42.01],
      [-92.99, 42],
      [-92.995, 42.005],
      [-93, 42.01],
    ];
    expect(clean([[knot]])).toMatchObject({ ok: false, problems: [{ code: 'geo-self-crossing' }] });
  });

  it('are found crossing wherever two corners of a ring change places', () => {
    fc.assert(
      fc.property(fields(100, 100), fc.nat(), ([ring], pick) => {
        const corners = (ring ?? []).slice(0, -1);
        fc.pre(corners.length >= 7);
        const i = pick % (corners.length - 3);
        const swapped = corners.with(i + 1, corners[i + 2] as LngLat).with(i + 2, corners[i + 1] as LngLat);
        // On a circle the swap always makes the edges on both sides cross.
        expect(codes(clean([[swapped]]))).toEqual(['geo-self-crossing']);
      }),
    );
  });

  it('have longitude and latitude swapped, lie outside degrees, or are no numbers', () => {
    const swapped = field.map(([lng, lat]): LngLat => [lat, lng]);
    expect(clean([[swapped]])).toMatchObject({
      ok: false,
      problems: [{ code: 'geo-outside-degrees', message: expect.stringContaining('swapped'), at: AT }],
    });
    const metres = field.map(([lng, lat]): LngLat => [lng * 5000, lat * 100_000]);
    expect(clean([[metres]])).toMatchObject({ problems: [{ remedy: expect.stringContaining('CRS') }] });
    expect(
      codes(
        clean([
          [
            [
              [Number.NaN, 42],
              [-93, 42],
              [-93, 43],
            ],
          ],
        ]),
      ),
    ).toEqual(['geo-not-a-number']);
    expect(codes(clean([]))).toEqual(['geo-no-position']);
    expect(codes(clean([[[]]]))).toEqual(['geo-no-position']);
  });

  it('enclose nothing: left out beside other parts, refused alone', () => {
    const line: LngLat[] = [
      [-93, 42],
      [-92.99, 42.01],
      [-92.98, 42.02],
      [-93, 42],
    ];
    expect(codes(clean([[line], [field]]))).toEqual(['geo-ring-no-area']);
    expect(codes(clean([[line]]))).toEqual(['geo-ring-no-area', 'geo-no-area']);
    expect(
      codes(
        clean([
          [
            [
              [-93, 42],
              [-92.99, 42],
            ],
          ],
        ]),
      ),
    ).toEqual(['geo-ring-no-area', 'geo-no-area']);
  });

  it('are looked through quickly at 20,000 corners', () => {
    const ring = star(
      [-93, 42],
      Array.from({ length: 20_000 }, (_, i) => 800 + 40 * Math.sin(i / 50) + (i % 2) * 0.3),
    );
    const started = performance.now();
    const out = cleaned([[ring]]);
    // A search of all pairs takes some seconds here.
    expect(performance.now() - started).toBeLessThan(1500);
    expect(out[0]?.[0]).toHaveLength(20_001);
  });
});
