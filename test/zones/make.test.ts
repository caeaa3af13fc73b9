import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { area_m2 } from '../../core/geo/area.ts';
import { intersection } from '../../core/geo/clip.ts';
import { contains } from '../../core/geo/contains.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';
import { makeZones, type ZonesInput } from '../../core/zones/make.ts';
import type { ZonesOut } from '../../core/zones/types.ts';
import { deepFreeze } from '../freeze.ts';
import { box, clockwise, fields } from '../geo/shapes.ts';
import { whyInvalid } from '../geo/valid.ts';
import { sampleAt, settingsOf, soilOf, surfacesOf, TARGETS } from './field.ts';

const M2_PER_ACRE = 4046.8564224;
const square: MultiPolygon = [[box(-93, 42, -92.99, 42.0075)]];

function made(input: Partial<ZonesInput> & Pick<ZonesInput, 'surfaces'>): ZonesOut & { codes: string[] } {
  const result = makeZones(
    deepFreeze({
      soil: soilOf([]),
      ground: square,
      settings: settingsOf(),
      far_m: 150,
      targets: TARGETS,
      polygons: null,
      ...input,
    }),
  );
  if (!result.ok) throw new Error(result.problems.map(({ message }) => message).join(' '));
  return { ...result.value, codes: result.problems.map(({ code }) => code) };
}

describe('zones by classes', () => {
  it('are worked: three classes of need in bands, lettered in class order', () => {
    const surfaces = surfacesOf(square, 10, { k2oNeed_lbPerAc: (u) => (u < 0.5 ? 250 : u < 0.75 ? 0 : 100) });
    const out = made({ surfaces, settings: settingsOf() });
    expect(out.zones.map(({ key, letter, label, what }) => [key, letter, label, what])).toEqual([
      ['1', 'A', 1, 'K₂O to reach the target under 1 lb/ac'],
      ['3', 'B', 2, 'K₂O to reach the target 100-200 lb/ac'],
      ['4', 'C', 3, 'K₂O to reach the target 200-300 lb/ac'],
    ]);
    const [a, b, c] = out.zones.map(({ acres }) => acres);
    const whole = area_m2(square) / M2_PER_ACRE;
    // The limit of 0.5 runs through the field's middle, to half a cell: 5 m of 833 m, 1.03 ac.
    expect(Math.abs((c ?? 0) - whole / 2)).toBeLessThan(1.04);
    expect((a ?? 0) + (b ?? 0) + (c ?? 0)).toBeCloseTo(whole, 6);
    expect(out.codes).toEqual([]);
  });

  it('put a value on a limit into the class above it', () => {
    const surfaces = surfacesOf(square, 20, { k_ppm: (u) => (u < 0.5 ? 149.999 : 150) });
    const settings = settingsOf({ by: { layer: 'k_ppm', breaks: [150] } });
    const out = made({ surfaces, settings });
    expect(out.zones.map(({ what, stats }) => [what, stats.k_ppm?.max])).toEqual([
      ['Potassium under 150 ppm', 149.999],
      ['Potassium 150 ppm and above', 150],
    ]);
  });

  it('keep ground apart by a second layer, and say so', () => {
    const surfaces = surfacesOf(square, 10, {
      k2oNeed_lbPerAc: (u) => (u < 0.5 ? 50 : 150),
      cec_meq: (_, v) => (v < 0.5 ? 5 : 20),
    });
    const apart = [{ layer: 'cec_meq' as const, breaks: [8] }];
    const out = made({ surfaces, settings: settingsOf({ apart }) });
    expect(out.zones.map(({ key }) => key)).toEqual(['2.1', '2.2', '3.1', '3.2']);
    expect(out.zones[0]?.what).toBe('K₂O to reach the target 1-100 lb/ac, CEC under 8 meq/100 g');
  });

  it('name zones as the plan does, else by their class', () => {
    const surfaces = surfacesOf(square, 20, { k2oNeed_lbPerAc: (u) => (u < 0.5 ? 50 : 150) });
    const out = made({ surfaces, settings: settingsOf({ names: { '2': 'West flat' } }) });
    expect(out.zones.map(({ name }) => name)).toEqual(['West flat', 'K₂O to reach the target 100-200 lb/ac']);
  });

  it('give ground without a reading a zone of its own that is never sieved away, and say how much', () => {
    const surfaces = surfacesOf(square, 10, {
      k2oNeed_lbPerAc: (u, v) => (u > 0.48 && u < 0.52 && v > 0.48 && v < 0.52 ? Number.NaN : 150),
    });
    const out = made({ surfaces, settings: settingsOf({ least_ac: 10 }) });
    expect(out.zones.map(({ key, name }) => [key, name])).toEqual([
      ['3', 'K₂O to reach the target 100-200 lb/ac'],
      ['unknown', 'no reading'],
    ]);
    expect(out.zones[1]?.stats.k2oNeed_lbPerAc).toBeUndefined();
    expect(out.codes).toEqual(['zones-unknown-ground']);
  });

  it('say that the target is what is missing where K and CEC are read', () => {
    const read = { k_ppm: () => 120, cec_meq: () => 20 };
    const some = surfacesOf(square, 20, { ...read, k2oNeed_lbPerAc: (u) => (u < 0.5 ? Number.NaN : 150) });
    const input = deepFreeze({
      soil: soilOf([]),
      ground: square,
      settings: settingsOf(),
      far_m: 150,
      targets: TARGETS,
      polygons: null,
    });
    const part = makeZones({ ...input, surfaces: some });
    expect(part.ok && part.value.zones.map(({ key, name }) => [key, name])).toContainEqual(['unknown', 'no target']);
    expect(part.problems[0]?.message).toContain('no target');
    expect(part.problems[0]?.remedy).not.toContain('Add samples');
    const none = makeZones({
      ...input,
      surfaces: surfacesOf(square, 20, { ...read, k2oNeed_lbPerAc: () => Number.NaN }),
    });
    expect(none.problems).toMatchObject([{ code: 'zones-no-target', severity: 'stop' }]);
    const bare = makeZones({ ...input, surfaces: surfacesOf(square, 20, { k2oNeed_lbPerAc: () => Number.NaN }) });
    expect(bare.problems).toMatchObject([{ code: 'zones-nothing-known' }]);
  });

  it('do not let small parts join ground without a reading, and tell of those that stay', () => {
    const surfaces = surfacesOf(square, 10, {
      k2oNeed_lbPerAc: (u) => (u < 0.1 ? 150 : u < 0.5 ? Number.NaN : 250),
    });
    const out = made({ surfaces, settings: settingsOf({ least_ac: 20 }) });
    expect(out.zones.map(({ key }) => key)).toEqual(['3', '4', 'unknown']);
    expect(out.codes).toEqual(['zones-small-part', 'zones-unknown-ground']);
  });

  it('share out the ground: valid, no overlap, acres to 1e-6, letters and labels in step', () => {
    const waves = fc.tuple(fc.double({ min: 1, max: 30, noNaN: true }), fc.double({ min: 1, max: 30, noNaN: true }));
    fc.assert(
      fc.property(
        fields(120, 300),
        waves,
        fc.boolean(),
        fc.constantFrom(0, 0.1, 1),
        (field, [p, q], smooth, least_ac) => {
          const ground = [field];
          const surfaces = surfacesOf(ground, 10, {
            k2oNeed_lbPerAc: (u, v) => 200 + 200 * Math.sin(p * u + 1) * Math.cos(q * v),
            cec_meq: (u, v) => 8 + 5 * Math.sin(q * u + p * v),
          });
          const out = made({
            surfaces,
            ground,
            settings: settingsOf({ smooth, least_ac, apart: [{ layer: 'cec_meq', breaks: [8] }] }),
          });
          const acres = out.zones.reduce((sum, zone) => sum + zone.acres, 0);
          expect(Math.abs(acres / (area_m2(ground) / M2_PER_ACRE) - 1)).toBeLessThan(1e-6);
          expect(Math.abs(acres / out.spreadable_ac - 1)).toBeLessThan(1e-6);
          for (const [index, zone] of out.zones.entries()) {
            expect(whyInvalid(zone.polygons)).toBe('');
            expect(zone.label).toBe(index + 1);
            expect(contains(zone.polygons, zone.spot)).toBe(true);
            for (const other of out.zones.slice(index + 1)) {
              expect(area_m2(intersection(zone.polygons, other.polygons))).toBeLessThan(1e-3);
            }
          }
          const labels = new Set(out.labels);
          labels.delete(0);
          expect([...labels].sort((a, b) => a - b)).toEqual(out.zones.map(({ label }) => label));
          const { cover_m2 } = surfaces.grid;
          expect(out.labels.every((label, cell) => label > 0 === (cover_m2[cell] ?? 0) > 0)).toBe(true);
        },
      ),
      { numRuns: 10 },
    );
  });

  it('count each sample once and the ground far from any', () => {
    const base = surfacesOf(square, 10, { k2oNeed_lbPerAc: (u) => (u < 0.5 ? 50 : 150) });
    const { cols } = base.grid.lattice;
    const nearest_m = Float32Array.from(base.nearest_m, (_, cell) => (cell % cols < cols / 4 ? 200 : 100));
    const samples = [
      sampleAt('1', [-92.998, 42.001]),
      sampleAt('2', [-92.997, 42.005]),
      sampleAt('3', [-92.992, 42.003]),
      sampleAt('on the rim', [-93, 42.003]),
      sampleAt('outside', [-92.9, 42]),
    ];
    const surfaces = { ...base, nearest_m };
    const out = made({ surfaces, soil: soilOf(samples), settings: settingsOf() });
    expect(out.zones.map((zone) => zone.samples)).toEqual([3, 1]);
    expect(out.zones[0]?.far_ac).toBeCloseTo(out.spreadable_ac / 4, 0);
    expect(out.zones[1]?.far_ac).toBe(0);
  });
});

describe('settings that give no zones', () => {
  const surfaces = surfacesOf(square, 50, { k_ppm: () => 100, cec_meq: () => Number.NaN });
  const problemsOf = (changes: Parameters<typeof settingsOf>[0]) => {
    const input = {
      surfaces,
      soil: soilOf([]),
      ground: square,
      settings: settingsOf(changes),
      far_m: 150,
      targets: TARGETS,
      polygons: null,
    };
    return makeZones(input).problems.map(({ code, severity, at }) => [code, severity, at?.setting]);
  };

  it('are told with the setting', () => {
    expect(problemsOf({})).toEqual([['zones-no-layer', 'stop', 'zones.by.layer']]);
    expect(problemsOf({ by: { layer: 'cec_meq', breaks: [8] } })).toEqual([
      ['zones-nothing-known', 'stop', 'zones.by.layer'],
    ]);
    expect(problemsOf({ by: { layer: 'k_ppm', breaks: [8, 8] } })).toEqual([
      ['zones-limits-order', 'stop', 'zones.by.breaks'],
    ]);
    expect(problemsOf({ method: 'composites' })).toEqual([['zones-no-composites', 'stop', 'zones.method']]);
  });

  it('leave out a second layer that is not known, with a caution', () => {
    const apart = [
      { layer: 'cec_meq' as const, breaks: [8] },
      { layer: 'ph' as const, breaks: [6] },
    ];
    expect(problemsOf({ by: { layer: 'k_ppm', breaks: [120] }, apart })).toEqual([
      ['zones-no-second-layer', 'caution', 'zones.apart.0'],
      ['zones-no-second-layer', 'caution', 'zones.apart.1'],
    ]);
  });
});

describe('composites that leave a gap of less than a cell', () => {
  it('tell the acres planned and the acres drawn', () => {
    const west = [[box(-93, 42, -92.9951, 42.0075)]];
    const east = [[box(-92.9949, 42, -92.99, 42.0075)]];
    const soil = soilOf([sampleAt('W', [-92.998, 42.003], west), sampleAt('E', [-92.992, 42.003], east)]);
    const surfaces = surfacesOf(square, 30, { k_ppm: () => 120 });
    const input = deepFreeze({ soil, surfaces, ground: square, far_m: 150, targets: TARGETS, polygons: null });
    const told = makeZones({ ...input, settings: settingsOf({ method: 'composites', smooth: false }) });
    const notes = told.problems.filter(({ code }) => code === 'zones-composite-acres');
    const drawn = (area_m2(west) / M2_PER_ACRE).toFixed(2);
    expect(notes[0]?.message).toContain(`drawn, ${drawn} ac`);
    expect(told.ok && told.value.zones.every(({ acres }) => acres > 0)).toBe(true);
  });
});

describe('zones as the composites were taken', () => {
  const west = [[box(-93, 42, -92.996, 42.0075)]];
  const east = [[box(-92.996, 42, -92.993, 42.0075), clockwise(box(-92.995, 42.002, -92.994, 42.003))]];
  const far = [[box(-92.9, 42, -92.89, 42.0075)]];
  const surfaces = surfacesOf(square, 10, { k_ppm: (u) => (u < 0.4 ? 90 : 180) });
  const soil = soilOf([
    sampleAt('Z 1', [-92.998, 42.003], west),
    sampleAt('Z 2', [-92.9955, 42.001], east),
    sampleAt('Z 3', [-92.895, 42.003], far),
  ]);
  const out = made({ surfaces, soil, settings: settingsOf({ method: 'composites', smooth: false }) });

  it('have the samples as names, and ground under none is unknown', () => {
    expect(out.zones.map(({ key, name, samples }) => [key, name, samples])).toEqual([
      ['sZ_1', 'Z 1', 1],
      ['sZ_2', 'Z 2', 1],
      ['unknown', 'no composite covers it', 0],
    ]);
    expect(out.codes).toContain('zones-composite-outside');
    expect(out.codes).toContain('zones-unknown-ground');
  });

  it('are as large as the composites, to a quarter of a cell along their edges', () => {
    for (const [zone, polygons] of [
      [out.zones[0], west],
      [out.zones[1], east],
    ] as const) {
      expect(Math.abs((zone?.acres ?? 0) - area_m2(polygons) / M2_PER_ACRE)).toBeLessThan((2.5 * 1700) / M2_PER_ACRE);
    }
  });

  it('tell of ground that took the reading of a composite beside it', () => {
    const short = [[box(-92.99996, 42.00004, -92.99004, 42.00746)]];
    const short_soil = soilOf([sampleAt('all', [-92.995, 42.003], short)]);
    const one = made({ surfaces, soil: short_soil, settings: settingsOf({ method: 'composites' }) });
    expect(one.zones).toHaveLength(1);
    expect(one.codes).toEqual(['zones-composite-gap', 'zones-composite-acres']);
  });

  it('give unlike keys to ids that are alike once made safe', () => {
    const twins = soilOf([sampleAt('a b', [-92.998, 42.003], west), sampleAt('a_b', [-92.9955, 42.001], east)]);
    const { zones } = made({ surfaces, soil: twins, settings: settingsOf({ method: 'composites' }) });
    expect(zones.map(({ key }) => key)).toEqual(['sa_b', 'sa_b~2', 'unknown']);
  });
});
