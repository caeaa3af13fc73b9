import { describe, expect, it } from 'vitest';
import type { Problem } from '../../core/base/problem.ts';
import { readableOutliers } from '../../core/pipeline/outliers.ts';
import { readSoil } from '../../core/soil/read.ts';
import { soilSettingsSchema } from '../../core/soil/settings.ts';
import { makeSurfaces } from '../../core/surfaces/make.ts';
import { surfacesSettingsSchema } from '../../core/surfaces/settings.ts';
import { box, table } from '../soil/tables.ts';

const FIELD = box(-94.24, 42.7, -94.23, 42.708);
const COLS = 8;
/** A grid of 64 samples; `k` gives the cell of one, by its column and row. */
async function surfaces(k: (col: number, row: number) => string) {
  const lines = Array.from({ length: COLS * COLS }, (_none, i) => {
    const [col, row] = [i % COLS, Math.floor(i / COLS)];
    return `S${i};${(-94.2395 + col * 0.0012).toFixed(5)};${(42.7005 + row * 0.00095).toFixed(5)};${k(col, row)}`;
  });
  const soil = readSoil({
    points: null,
    samples: table('lab', ['Sample ID;Longitude;Latitude;K ppm', ...lines]),
    boundary: FIELD,
    settings: soilSettingsSchema.parse({}),
  });
  if (!soil.ok) throw new Error(soil.problems.map((one) => one.message).join('\n'));
  const settings = surfacesSettingsSchema.parse({ cell_m: 30 });
  const made = await makeSurfaces({ soil: soil.value, ground: FIELD, settings }, {});
  const out = readableOutliers(made, soil.value);
  if (!out.ok || !made.ok) throw new Error('no surfaces');
  return { before: made.problems, out, soil: soil.value };
}
const of = (problems: readonly Problem[], code: string) => problems.filter((one) => one.code === code);
const even = (col: number, row: number): number => 200 + col + row + ((col * 7 + row * 3) % 5);

describe('outliers as a person reads them', () => {
  it('a value put in for a limit is none; a measured one in its place stays one', async () => {
    const limit = await surfaces((col, row) => (col === 4 && row === 4 ? '<10' : String(even(col, row))));
    expect(limit.soil.samples[36]).toMatchObject({ k_ppm: 5, byRule: ['k_ppm'] });
    expect(of(limit.before, 'surfaces-outlier')).toHaveLength(1);
    expect(of(limit.out.problems, 'surfaces-outlier')).toEqual([]);
    expect(limit.out.value.residuals.k_ppm?.some((one) => one.outlier)).toBe(false);
    const measured = await surfaces((col, row) => (col === 4 && row === 4 ? '5' : String(even(col, row))));
    expect(of(measured.out.problems, 'surfaces-outlier')).toHaveLength(1);
    expect(measured.soil.samples[36]?.byRule).toBeUndefined();
  });

  it('a patch of neighbours is said once, and all of it stays marked', async () => {
    const patch = (col: number, row: number): boolean => col >= 3 && col <= 4 && row >= 3 && row <= 4;
    const { before, out } = await surfaces((col, row) => String(even(col, row) + (patch(col, row) ? 400 : 0)));
    expect(of(before, 'surfaces-outlier').length).toBeGreaterThanOrEqual(3);
    expect(of(out.problems, 'surfaces-outlier')).toEqual([]);
    const [group, ...others] = of(out.problems, 'surfaces-outlier-group');
    expect(others).toEqual([]);
    expect(group?.message).toMatch(/^Potassium of samples S27, .* lie beside each other, is higher than/);
    expect(out.value.residuals.k_ppm?.filter((one) => one.outlier)).toHaveLength(of(before, 'surfaces-outlier').length);
  });
});
