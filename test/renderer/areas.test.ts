import { describe, expect, it } from 'vitest';
import { encodeUtf8 } from '../../core/base/text.ts';
import { readAreas } from '../../renderer/compute/areas.ts';
import { deepFreeze } from '../freeze.ts';
import { box } from '../soil/tables.ts';

const FIELD = deepFreeze(box(-94.25, 42.69, -94.22, 42.71));

interface Shape {
  readonly properties: Record<string, string | number>;
  readonly ring: readonly (readonly [number, number])[];
}
const file = (shapes: readonly Shape[]) => ({
  name: 'soils.geojson',
  bytes: encodeUtf8(
    JSON.stringify({
      type: 'FeatureCollection',
      features: shapes.map(({ properties, ring }) => ({
        type: 'Feature',
        properties,
        geometry: { type: 'Polygon', coordinates: [ring] },
      })),
    }),
  ),
});
const ringOf = (west: number): Shape['ring'] => {
  const polygon = box(west, 42.695, west + 0.005, 42.7)[0];
  return (polygon?.[0] ?? []).map(([lng, lat]) => [lng, lat] as const);
};

describe('areas from a file', () => {
  it('carry the names that the file gives them, and numbers where it gives none', () => {
    const read = readAreas(
      [
        file([
          { properties: { CODE: 7, Name: 'Old feedlot' }, ring: ringOf(-94.245) },
          { properties: { CODE: 8, Name: '' }, ring: ringOf(-94.235) },
        ]),
      ],
      null,
      FIELD,
    );
    expect(read.ok && read.value.map(({ name }) => name)).toEqual(['Old feedlot', 'soils 2']);
  });

  it('are those that lie in the field; the others are counted', () => {
    const read = readAreas(
      [
        file([
          { properties: { Name: 'In' }, ring: ringOf(-94.245) },
          { properties: { Name: 'Out' }, ring: ringOf(-93) },
        ]),
      ],
      null,
      FIELD,
    );
    expect(read.ok && read.value.map(({ name }) => name)).toEqual(['In']);
    expect(read.problems.map(({ code }) => code)).toEqual(['areas-outside']);
  });

  it('leave out an outline that crosses itself, with its place', () => {
    const bow: Shape['ring'] = [
      [-94.245, 42.695],
      [-94.24, 42.7],
      [-94.24, 42.695],
      [-94.245, 42.7],
      [-94.245, 42.695],
    ];
    const read = readAreas([file([{ properties: {}, ring: bow }])], null, FIELD);
    expect(read.ok).toBe(false);
    expect(read.problems.map(({ code }) => code)).toEqual(['geo-self-crossing', 'areas-none']);
    expect(read.problems[0]?.at?.lngLat?.[1]).toBeCloseTo(42.6975, 6);
  });

  it('are none in a table', () => {
    const read = readAreas([{ name: 'lab.csv', bytes: encodeUtf8('Sample,K\nA,120\nB,130\n') }], null, FIELD);
    expect(read.ok).toBe(false);
    expect(read.problems.at(-1)).toMatchObject({ code: 'areas-none', severity: 'stop' });
  });
});
