import { beforeAll, describe, expect, it } from 'vitest';
import { squareMetres, toAcres } from '../../core/base/units.ts';
import { area_m2 } from '../../core/geo/area.ts';
import { contains } from '../../core/geo/contains.ts';
import { localFrame, toLocal } from '../../core/geo/frame.ts';
import { cellCentre, makeFieldGrid } from '../../core/geo/lattice.ts';
import { widestSpot } from '../../core/geo/spot.ts';
import { runPlan } from '../../core/pipeline/run.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import { previewSurface } from '../../core/surfaces/preview.ts';
import { zoneArcs } from '../../renderer/map/arcs.ts';
import { layerMethod, layerTitle, zonesText } from '../../renderer/map/captions.ts';
import { rateShapes, sampleAt, sampleShapes, setAsideShapes } from '../../renderer/map/marks-on-ground.ts';
import { paintDraft, paintLayer } from '../../renderer/map/painted.ts';
import { readingAt } from '../../renderer/map/reading.ts';
import { doubtShapes, groundShapes } from '../../renderer/map/shapes.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';

let out: PlanOut;
const need = <T>(value: T | null | undefined): T => {
  if (value === null || value === undefined) throw new Error('the sample field has it');
  return value;
};
beforeAll(async () => {
  const { plan, inputs } = samplePlan();
  out = await runPlan({ plan, inputs });
});

describe('spot reading', () => {
  it('reads every layer of the cell under the place, its zone and its rate', () => {
    const { grid, layers } = need(out.surfaces);
    const { labels, zones } = need(out.zones);
    let seen = 0;
    for (let cell = 0; cell < labels.length; cell += 37) {
      const at = cellCentre(grid.lattice, cell);
      const reading = readingAt(out, at);
      expect(reading !== null).toBe(contains(need(out.field).spreadable, at));
      if (!reading) continue;
      seen++;
      expect(reading.cell).toBe(cell);
      expect(reading.values.k_ppm).toBe(layers.k_ppm?.[cell]);
      expect(reading.values.kSat_pct).toBe(layers.kSat_pct?.[cell]);
      const zone = zones.find((one) => one.label === labels[cell]);
      expect([reading.zoneKey, reading.zoneLetter]).toEqual([zone?.key ?? null, zone?.letter ?? null]);
      const rate = need(out.rates).zones.find((one) => one.key === zone?.key);
      expect(reading.rate_lbPerAc).toBe(rate?.rate_lbPerAc ?? null);
      expect(reading.nearestSample?.distance_m).toBeCloseTo(need(out.surfaces).nearest_m[cell] ?? Number.NaN, -1);
    }
    expect(seen).toBeGreaterThan(100);
  });

  it('names the nearest sample: itself at a sample', () => {
    for (const sample of need(out.soil).samples.slice(0, 10)) {
      if (!contains(need(out.field).spreadable, sample.at)) continue;
      expect(readingAt(out, sample.at)?.nearestSample).toEqual({ id: sample.id, distance_m: 0 });
    }
  });

  it('is nothing outside the field and on a keep-out', () => {
    const { box, keepOut } = groundShapes(need(out.field));
    expect(readingAt(out, [box.west - 0.001, box.south])).toBeNull();
    expect(keepOut.length).toBeGreaterThan(0);
    for (const part of keepOut) expect(readingAt(out, widestSpot([part]))).toBeNull();
  });

  it('knows the nearest sample before there are surfaces, and nothing before there is a field', () => {
    const early: PlanOut = { ...out, surfaces: null, zones: null, rates: null };
    const at = need(out.zones).zones[0]?.spot ?? [0, 0];
    expect(readingAt(early, at)).toMatchObject({ cell: -1, values: {}, zoneKey: null, rate_lbPerAc: null });
    expect(readingAt(early, at)?.nearestSample).not.toBeNull();
    expect(readingAt({ ...early, field: null }, at)).toBeNull();
  });
});

describe('shapes on the ground', () => {
  it('keep-outs and spreadable ground make the whole, and the mask leaves just the whole free', () => {
    const field = need(out.field);
    const { whole, keepOut, mask } = groundShapes(field);
    expect(area_m2(keepOut) + area_m2(field.spreadable)).toBeCloseTo(area_m2(whole), 0);
    const [around, ...holes] = need(mask[0]);
    expect(holes).toHaveLength(whole.length);
    expect(area_m2([[need(around)]]) - area_m2(mask)).toBeCloseTo(area_m2(whole), 0);
  });

  it('every zone has its lines: what runs between zones is drawn once and borders just two of them', () => {
    const { whole, spreadable } = groundShapes(need(out.field));
    const { zones } = need(out.zones);
    const { shared, ofZone } = zoneArcs(zones, spreadable, whole);
    const frame = localFrame(need(shared[0]?.[0]));
    const length = (lines: readonly (readonly (readonly [number, number])[])[]): number =>
      lines.reduce((sum, line) => {
        const local = line.map((p) => toLocal(frame, p));
        return local.reduce((all, [x, y], i) => {
          const [x0, y0] = local[i - 1] ?? [x, y];
          return all + Math.hypot(x - x0, y - y0);
        }, sum);
      }, 0);
    const inner = zones.reduce((sum, zone) => sum + length(ofZone.get(zone.key)?.inner ?? []), 0);
    expect(inner / 2).toBeCloseTo(length(shared), 3);
    const outer = zones.reduce((sum, zone) => {
      const edge = ofZone.get(zone.key);
      return sum + length(edge?.boundary ?? []) + length(edge?.keepOut ?? []);
    }, 0);
    expect(outer).toBeCloseTo(length(spreadable.flat()), 0);
  });

  it('far ground is where the nearest sample is farther, and none where none is', () => {
    const surfaces = need(out.surfaces);
    const { spreadable } = need(out.field);
    expect(doubtShapes(surfaces, spreadable, 1e4).far).toEqual([]);
    let far_m2 = 0;
    surfaces.nearest_m.forEach((metres, cell) => {
      if (metres > 70) far_m2 += surfaces.grid.cover_m2[cell] ?? 0;
    });
    // Outlines are smoothed by less than a cell, to and fro: within a tenth.
    expect(area_m2(doubtShapes(surfaces, spreadable, 70).far) / far_m2).toBeCloseTo(1, 1);
  });

  it('ground outside the samples’ hull is outlined, and none of the samples lies on it', () => {
    const surfaces = need(out.surfaces);
    const { outside } = doubtShapes(surfaces, need(out.field).spreadable, 150);
    expect(toAcres(squareMetres(area_m2(outside))) / surfaces.outsideHull_ac).toBeCloseTo(1, 1);
    const within = need(out.soil).samples.filter((sample) => contains(outside, sample.at));
    // Samples on the hull itself may lie in a cell whose centre is outside it.
    expect(within.length).toBeLessThan(need(out.soil).samples.length / 4);
  });

  it('zones are coloured by rate, and a withheld one has no colour', () => {
    const rates = need(out.rates);
    const first = need(rates.zones[0]);
    const withheld = { ...rates, zones: [{ ...first, rate_lbPerAc: null }, ...rates.zones.slice(1)] };
    const shapes = rateShapes({ rates: withheld, zones: out.zones });
    expect(shapes.withheld.features).toHaveLength(1);
    expect(shapes.rates.features).toHaveLength(rates.zones.length - 1);
    for (const feature of shapes.rates.features) expect(feature.properties?.colour).toMatch(/^#[0-9a-fA-F]{6}$/);
  });

  it('samples kept are drawn once each; a place set aside only where no kept sample stands', () => {
    const soil = need(out.soil);
    const { plan } = samplePlan();
    expect(sampleShapes(soil, false, plan.rates).features).toHaveLength(soil.kept);
    const kept = new Set(soil.samples.map((sample) => sample.at.join()));
    const aside = setAsideShapes(soil).features.map((one) =>
      one.geometry.type === 'Point' ? one.geometry.coordinates.join() : '',
    );
    expect(aside.length).toBeGreaterThan(0);
    for (const place of aside) expect(kept.has(place)).toBe(false);
  });

  it('a pointer finds the sample under it, and none past its reach', () => {
    const soil = need(out.soil);
    const sample = need(soil.samples[5]);
    const camera = { centre: sample.at, zoom: 15, width: 800, height: 600 };
    expect(sampleAt(soil, camera, [403, 296])).toBe(sample.id);
    expect(sampleAt(soil, camera, [400, 311])).toBeNull();
  });
});

describe('layers as pictures', () => {
  it('cover the surfaces’ lattice, and their classes make up the ground', () => {
    const surfaces = need(out.surfaces);
    const ground = surfaces.grid.cover_m2.reduce((sum, one) => sum + one, 0);
    for (const layer of ['k_ppm', 'caMgShare_pct', 'kMg_ratio'] as const) {
      const { areas, lattice, ramp, rgba, width, height } = need(paintLayer(surfaces, layer));
      expect(lattice).toBe(surfaces.grid.lattice);
      expect(rgba).toHaveLength(width * height * 4);
      expect(areas.classes).toHaveLength(ramp.colours.length);
      expect(areas.classes.reduce((sum, one) => sum + one, areas.zero + areas.unknown) / ground).toBeCloseTo(1, 9);
    }
    expect(paintLayer(surfaces, 'own.none')).toBeNull();
  });

  it('a draft lies on a grid of its own, in the colours of the layer it is tried for', () => {
    const surfaces = need(out.surfaces);
    const made = makeFieldGrid(need(out.field).spreadable, 40);
    if (!made.ok) throw new Error('a coarse grid can be made');
    const { plan } = samplePlan();
    const layer = 'kSat_pct';
    const values = previewSurface({ soil: need(out.soil), grid: made.value, settings: plan.surfaces, layer });
    const draft = need(paintDraft(surfaces, layer, need(values), made.value));
    const fine = need(paintLayer(surfaces, layer));
    expect(draft.lattice).toBe(made.value.lattice);
    expect(draft.ramp).toBe(fine.ramp);
    // The same settings: the same ground in each class, as far as cells of 40 m can tell.
    fine.areas.classes.forEach((area, i) => {
      expect(Math.abs((draft.areas.classes[i] ?? 0) - area) / 4046.86).toBeLessThan(6);
    });
  });
});

describe('captions', () => {
  it('name the layer with its unit, in the units asked for', () => {
    expect(layerTitle('k_ppm', out, '0-0-60', 'US')).toBe('Potassium, ppm');
    expect(layerTitle('rate', out, '0-0-60', 'metric')).toBe('Rate, kg/ha of 0-0-60');
    expect(layerTitle('samples', { ...out, soil: null }, '', 'US')).toBe('Boundary');
    expect(layerTitle('ph', out, '', 'US')).toBe('Soil pH');
  });

  it('say how it was made', () => {
    expect(layerMethod('samples', out, 'US')).toBe(`${out.soil?.kept} kept, ${out.soil?.setAside} set aside (×)`);
    expect(layerMethod('rate', out, 'US')).toBe('Before the season and in season together');
    expect(layerMethod('k_ppm', out, 'US')).toMatch(/^Inverse distance/);
    expect(zonesText(['A', 'B', 'C'])).toBe('zones A–C outlined');
    expect(zonesText(['A'])).toBe('zone A outlined');
  });
});
