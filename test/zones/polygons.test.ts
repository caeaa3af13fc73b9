import { describe, expect, it } from 'vitest';
import type { Dataset } from '../../core/formats/types.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';
import { makeZones } from '../../core/zones/make.ts';
import type { ZonesSettings } from '../../core/zones/settings.ts';
import { deepFreeze } from '../freeze.ts';
import { box } from '../geo/shapes.ts';
import { settingsOf, soilOf, surfacesOf, TARGETS } from './field.ts';

const square: MultiPolygon = [[box(-93, 42, -92.99, 42.0075)]];
const units: Dataset = {
  name: 'units',
  format: 'geojson',
  files: ['units.geojson'],
  columns: ['unit'],
  records: [
    { row: 1, geometry: { type: 'MultiPolygon', polygons: [[box(-93.01, 41.99, -92.996, 42.02)]] }, cells: ['138B'] },
    { row: 2, geometry: { type: 'MultiPolygon', polygons: [[box(-92.996, 42.004, -92.992, 42.02)]] }, cells: ['55'] },
    { row: 3, geometry: { type: 'MultiPolygon', polygons: [[box(-92.996, 41.99, -92.992, 42.002)]] }, cells: ['138B'] },
    { row: 4, geometry: { type: 'MultiPolygon', polygons: [[box(-91, 41.99, -90.99, 42)]] }, cells: ['elsewhere'] },
  ],
  geometry: 'polygon',
  crs: null,
  reading: [],
  decimal: '.',
};

function made(polygons: Partial<ZonesSettings['polygons']>, dataset: Dataset | null = units) {
  const surfaces = surfacesOf(square, 20, { k_ppm: (u) => 100 + 100 * u });
  const settings = settingsOf({
    method: 'polygons',
    polygons: { files: ['units.geojson'], column: 'unit', crs: null, bareTo: null, ...polygons },
  });
  return makeZones(
    deepFreeze({
      surfaces,
      soil: soilOf([]),
      ground: square,
      settings,
      far_m: 150,
      targets: TARGETS,
      polygons: dataset,
    }),
  );
}

describe('zones of a file', () => {
  it('are named by a column, records of one value are one zone, and bare ground is told and left without a class', () => {
    const out = made({});
    if (!out.ok) throw new Error(out.problems[0]?.message);
    expect(out.value.zones.map(({ key, name }) => [key, name])).toEqual([
      ['p138B', '138B'],
      ['p55', '55'],
      ['unknown', 'no polygon covers it'],
    ]);
    expect(out.value.zones.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 6);
    // West 40 % and a piece of 40 % x 27 %; the east 20 % and a middle piece are bare.
    expect(out.value.zones[0]?.share).toBeCloseTo(0.4 + 0.4 * (2 / 7.5), 1);
    expect(out.problems.map(({ code }) => code)).toEqual([
      'zones-polygons-outside',
      'zones-polygons-bare',
      'zones-unknown-ground',
    ]);
  });

  it('give bare ground to the zone that a person names', () => {
    const out = made({ bareTo: 'p55' });
    if (!out.ok) throw new Error(out.problems[0]?.message);
    expect(out.value.zones.map(({ key }) => key)).toEqual(['p138B', 'p55']);
    expect(made({ bareTo: 'p9' }).problems.map(({ code }) => code)).toContain('zones-polygons-bare-to');
  });

  it('are one a record without a column', () => {
    const out = made({ column: null });
    expect(out.ok && out.value.zones.map(({ key }) => key)).toEqual(['p1', 'p2', 'p3', 'unknown']);
  });

  it('are refused with the reason', () => {
    expect(made({ column: 'soil' }).problems[0]?.code).toBe('zones-polygons-column');
    expect(made({}, null).problems[0]?.code).toBe('zones-polygons-none');
    const points = { ...units, records: units.records.map((one) => ({ ...one, geometry: null })) };
    expect(made({}, points).problems[0]?.code).toBe('zones-polygons-none');
    const off = { ...units, records: units.records.slice(3) };
    expect(made({}, off).problems.at(-1)?.code).toBe('zones-polygons-none');
  });
});
