import { describe, expect, it } from 'vitest';
import { makeField } from '../../core/pipeline/field-stage.ts';
import { stageKeys } from '../../core/pipeline/keys.ts';
import { describeInput } from '../../core/plan/pack.ts';
import { emptyPlan, type Plan, type Setback } from '../../core/plan/schema.ts';
import { deepFreeze } from '../freeze.ts';

const bytesOf = (value: unknown): Uint8Array => new TextEncoder().encode(JSON.stringify(value));
const square = {
  type: 'Polygon',
  coordinates: [
    [
      [-93, 42],
      [-92.99, 42],
      [-92.99, 42.0075],
      [-93, 42.0075],
      [-93, 42],
    ],
  ],
};
const well: Setback = {
  id: 'well',
  name: 'Home well',
  kind: 'well',
  ground: { from: 'point', at: [-92.995, 42.003] },
  distance_m: 50,
};

function field(setbacks: readonly Setback[], files: Record<string, unknown> = {}) {
  const inputs = new Map<string, Uint8Array>();
  const plan: Plan = { ...emptyPlan('x') };
  const take = (name: string, value: unknown): string => {
    const entry = describeInput({ name, bytes: bytesOf(value) });
    inputs.set(entry.path, bytesOf(value));
    plan.inputs = [...plan.inputs, entry];
    return entry.path;
  };
  const boundary = take('boundary.geojson', square);
  const named = Object.fromEntries(Object.entries(files).map(([name, value]) => [name, take(name, value)]));
  plan.field = {
    ...plan.field,
    boundaryFiles: [boundary],
    setbacks: setbacks.map((one) =>
      one.ground.from === 'files'
        ? { ...one, ground: { from: 'files', files: one.ground.files.map((name) => named[name] ?? '') } }
        : one,
    ),
  };
  return { plan, made: makeField(deepFreeze({ plan, inputs })) };
}

describe('setbacks of the field', () => {
  it('are worked: 50 m about a well take pi r^2, and the note says that the code decides', () => {
    const { made } = field([well]);
    if (!made.ok) throw new Error(made.problems[0]?.message);
    const { boundary_ac, keepOut_ac, spreadable_ac, setbacks } = made.value;
    const disc_ac = (Math.PI * 50 ** 2) / 4046.8564224;
    expect(setbacks[0]?.acres).toBeGreaterThan(disc_ac * 0.999);
    expect(setbacks[0]?.acres).toBeLessThan(disc_ac * 1.003);
    expect(keepOut_ac).toBeCloseTo(setbacks[0]?.acres ?? 0, 9);
    expect(spreadable_ac + keepOut_ac).toBeCloseTo(boundary_ac, 6);
    expect(made.problems.map(({ code, severity }) => [code, severity])).toEqual([['setback-code', 'note']]);
  });

  it('come out of a file with points, lines and areas, overlap once, and may reach over the fence', () => {
    const creek = {
      type: 'FeatureCollection',
      features: [
        {
          type: 'Feature',
          properties: {},
          geometry: {
            type: 'LineString',
            coordinates: [
              [-93.001, 42.001],
              [-92.989, 42.002],
            ],
          },
        },
        { type: 'Feature', properties: {}, geometry: { type: 'Point', coordinates: [-92.995, 42.003] } },
      ],
    };
    const stream: Setback = {
      id: 'creek',
      name: 'Creek',
      kind: 'stream or ditch',
      ground: { from: 'files', files: ['creek.geojson'] },
      distance_m: 20,
    };
    const { made } = field([stream, { ...well, distance_m: 20 }], { 'creek.geojson': creek });
    if (!made.ok) throw new Error(made.problems[0]?.message);
    const [first, second] = made.value.setbacks;
    // The second lies wholly in the first, so together they take what the first does.
    expect(made.value.keepOut_ac).toBeCloseTo(first?.acres ?? 0, 6);
    expect(second?.acres).toBeGreaterThan(0.3);
    expect(first?.acres).toBeGreaterThan((830 * 40) / 4046.8564224);
  });

  it('that take nothing are told, and a file without places stops with its name', () => {
    const off: Setback = { ...well, ground: { from: 'point', at: [-92.9, 42.003] } };
    expect(field([off]).made.problems.map(({ code }) => code)).toEqual(['setback-outside', 'setback-code']);
    expect(field([{ ...well, distance_m: 0 }]).made.problems.map(({ code }) => code)).toEqual([
      'setback-zero',
      'setback-code',
    ]);
    const all = field([{ ...well, distance_m: 2000 }]).made;
    expect(all.problems.at(-1)?.code).toBe('field-empty');
    const crossed: Setback = {
      ...well,
      ground: {
        from: 'polygon',
        rings: [
          [
            [-93, 42],
            [-92.99, 42.005],
            [-92.99, 42],
            [-93, 42.005],
            [-93, 42],
          ],
        ],
      },
    };
    expect(field([crossed]).made.problems.map(({ code }) => code)).toContain('geo-self-crossing');
  });

  it('change the key of the field, and so of all that follows', () => {
    expect(stageKeys(field([well]).plan).handoff).not.toBe(
      stageKeys(field([{ ...well, distance_m: 51 }]).plan).handoff,
    );
  });
});
