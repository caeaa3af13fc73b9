import { describe, expect, it } from 'vitest';
import { describeInput } from '../../core/plan/pack.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { NO_INTAKE } from '../../renderer/store/intake.ts';
import { usedInputs, withoutUnused } from '../../renderer/store/plan-inputs.ts';
import { withFiles } from '../../renderer/store/with-files.ts';
import { sampleFile, samplePlan } from '../fields/hollow-quarter.ts';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const [wells, units, dem, keepOut] = ['wells.geojson', 'units.geojson', 'dem.tif', 'barn.geojson'].map((name) =>
  describeInput({ name, bytes: bytes(name) }),
) as ReturnType<typeof describeInput>[] & { length: 4 }; // four names, four entries

/** The sample field with a setback from a file, zone polygons and a raster. */
function fullPlan(): Plan {
  const { plan } = samplePlan();
  if (!wells || !units || !dem) throw new Error('entries were made');
  return {
    ...plan,
    inputs: [...plan.inputs, wells, units, dem],
    field: {
      ...plan.field,
      setbacks: [
        { id: 's1', name: 'Wells', kind: 'well', distance_m: 30, ground: { from: 'files', files: [wells.path] } },
      ],
    },
    zones: { ...plan.zones, polygons: { ...plan.zones.polygons, files: [units.path] } },
    rasters: [{ id: 'dem', name: 'Elevation', unit: 'm', file: dem.path, band: 1, crs: null, fill: 'unsaid' }],
  };
}
const paths = (plan: Plan): string[] => plan.inputs.map(({ path }) => path).sort();

describe('files added to an open plan', () => {
  it('leave the inputs of setbacks, zones and rasters alone', () => {
    const plan = fullPlan();
    if (!keepOut) throw new Error('entries were made');
    // What reading boundary, samples and the new keep-out anew gives: it knows nothing of the others.
    const { plan: bare } = samplePlan();
    const read: Plan = {
      ...bare,
      inputs: [...bare.inputs, keepOut],
      field: { ...bare.field, keepOutFiles: [...bare.field.keepOutFiles, keepOut.path] },
    };
    const after = withFiles(plan, read, {
      ...NO_INTAKE,
      adding: true,
      files: [{ name: keepOut.name, bytes: bytes('barn.geojson') }],
      roles: { [keepOut.name]: 'keepOut' },
    });
    expect(paths(after)).toEqual([...paths(plan), keepOut.path].sort());
    expect(after.field.setbacks).toEqual(plan.field.setbacks);
    expect([...usedInputs(after)].filter((path) => !paths(after).includes(path))).toEqual([]);
  });
});

describe('inputs that nothing is made from any more', () => {
  it('go with the last that named them, and no sooner', () => {
    const plan = fullPlan();
    const file = wells?.path ?? '';
    expect(paths(withoutUnused(plan, [file]))).toContain(file);
    const without = { ...plan, field: { ...plan.field, setbacks: [] } };
    expect(paths(withoutUnused(without, [file]))).toEqual(paths(plan).filter((path) => path !== file));
    expect(paths(withoutUnused(without, []))).toEqual(paths(plan));
  });

  it('count the sample field’s own files as used', () => {
    const { plan } = samplePlan();
    expect([...usedInputs(plan)].sort()).toEqual(paths(plan));
    expect(sampleFile(plan.inputs[0]?.path ?? '').bytes.length).toBeGreaterThan(0);
  });
});
