import { describe, expect, it } from 'vitest';
import { lbPerAc, lbPerAcToMgPerM2 } from '../../../core/base/units.ts';
import { bounds } from '../../../core/geo/bounds.ts';
import { contains } from '../../../core/geo/contains.ts';
import { readTaskData } from '../../../core/handoff/task-data/read.ts';
import { validateTaskData } from '../../../core/handoff/task-data/validate.ts';
import { runPlan } from '../../../core/pipeline/run.ts';
import { samplePlan } from '../../fields/hollow-quarter.ts';
import { written } from './helpers.ts';

describe('task data of the sample field', () => {
  it('keep to the standard, give its zones their rates, and say what the grid changes of the tons', async () => {
    const { plan, inputs } = samplePlan();
    const { field, surfaces, zones, handoff } = await runPlan({ plan, inputs });
    if (!field || !surfaces || !zones || !handoff) throw new Error('the sample field has no handoff');
    for (const shape of ['zones', 'cells'] as const) {
      const { bytes, out } = written({
        planName: 'Hollow quarter',
        path: 'iso.zip',
        version: '0.1.0',
        ground: field.spreadable,
        lattice: surfaces.grid.lattice,
        prescriptions: handoff.prescriptions,
        products: ['0-0-60'],
        outside_lbPerAc: 0,
        noPosition_lbPerAc: 0,
        shape,
        labels: zones,
      });
      expect(validateTaskData(bytes)).toEqual([]);
      const read = readTaskData(bytes, 'iso.zip');
      const task = read.ok ? read.value.tasks[0] : undefined;
      // Labels against smoothed outlines: a thousandth of a pass; the mean by area loses rounding to the mg alone, at most 0.0045 lb/ac.
      const most_lb = (planned_lb: number): number =>
        shape === 'cells' ? 0.0045 * field.spreadable_ac : planned_lb / 1000;
      for (const { planned_lb, grid_lb } of out.tasks)
        expect(Math.abs(grid_lb - planned_lb)).toBeLessThan(most_lb(planned_lb));
      const { west, south, east, north } = bounds(field.spreadable);
      const pieces = handoff.prescriptions[0]?.pieces ?? [];
      let inside = 0;
      let same = 0;
      for (let i = 0; i < 400; i++) {
        // Places spread evenly by two irrational steps, the same each time.
        const at = [
          west + ((i * Math.SQRT2) % 1) * (east - west),
          south + ((i * Math.sqrt(3)) % 1) * (north - south),
        ] as const;
        const piece = pieces.find(({ polygons }) => contains(polygons, at));
        if (!piece) continue;
        inside++;
        const off_mg = lbPerAcToMgPerM2(lbPerAc((task?.rateAt(...at)[0] ?? Number.NaN) - piece.rate_lbPerAc));
        if (Math.abs(off_mg) < 0.51) same++;
      }
      expect(inside).toBeGreaterThan(300);
      // Cells on a border between zones are of one, or of both by area.
      expect(same / inside).toBeGreaterThan(shape === 'cells' ? 0.85 : 0.95);
      const rates = new Set(Array.from(task?.values_lbPerAc[0] ?? [], Math.round));
      if (shape === 'zones')
        expect([...rates].toSorted((a, b) => a - b)).toEqual(
          [...new Set([0, ...pieces.map(({ rate_lbPerAc }) => rate_lbPerAc)])].toSorted((a, b) => a - b),
        );
    }
  });
});
