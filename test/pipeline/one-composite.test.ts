import { expect, it } from 'vitest';
import { runPlan } from '../../core/pipeline/run.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import { describeInput } from '../../core/plan/pack.ts';
import { planSchema } from '../../core/plan/schema.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';

/** The sample field with a soil test of one row and no place. */
async function runOne(method: 'composites' | 'classes'): Promise<PlanOut> {
  const { plan, inputs } = samplePlan();
  const bytes = new TextEncoder().encode('Sample,K ppm,Ca ppm,Mg ppm,CEC,pH\nHome field,120,1600,240,12,6.5\n');
  const input = describeInput({ name: 'one.csv', bytes });
  inputs.set(input.path, bytes);
  const one = planSchema.parse({
    ...plan,
    inputs: [...plan.inputs, input],
    soil: {
      ...plan.soil,
      sampleFiles: [input.path],
      pointFiles: [],
      sampleColumns: [],
      pointColumns: [],
      decisions: [],
    },
    zones: { ...plan.zones, method },
  });
  return runPlan({ plan: one, inputs });
}

it.each(['composites', 'classes'] as const)(
  'one composite stands for the whole field, by %s, up to a rate and its files',
  async (method) => {
    const out = await runOne(method);
    expect(out.problems.filter((problem) => problem.severity === 'stop')).toEqual([]);
    expect(out.soil?.kind).toBe('composites');
    const { surfaces } = out;
    expect(surfaces?.method).toBe('one composite, constant in its ground');
    surfaces?.grid.cover_m2.forEach((ground_m2, cell) => {
      if ((surfaces.layers.k_ppm?.[cell] === 120) !== ground_m2 > 0) throw new Error(`cell ${cell}`);
    });
    expect(surfaces?.density.acresPerSample).toBeCloseTo(out.field?.spreadable_ac ?? Number.NaN, 6);
    expect(surfaces?.far_ac).toBe(0);
    expect(out.zones?.zones).toHaveLength(1);
    expect(out.zones?.zones[0]?.acres).toBeCloseTo(out.field?.spreadable_ac ?? Number.NaN, 6);
    const [rate] = out.rates?.zones ?? [];
    expect(rate?.reading.k_ppm).toBe(120);
    // 100 x 120 / 390.98 / 12 = 2.5577 %.
    expect(rate?.reading.kSat_pct).toBeCloseTo(2.56, 2);
    expect(rate?.rate_lbPerAc).toBeGreaterThan(0);
    expect(out.handoff?.files.length).toBeGreaterThan(0);
  },
);
