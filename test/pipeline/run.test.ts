import { describe, expect, it } from 'vitest';
import { Cancelled } from '../../core/base/hooks.ts';
import type { Stage } from '../../core/base/problem.ts';
import { stageKeys } from '../../core/pipeline/keys.ts';
import { createMemo, runPlan } from '../../core/pipeline/run.ts';
import { emptyPlan, type Plan } from '../../core/plan/schema.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';
import { deepFreeze } from '../freeze.ts';

describe('running a plan', () => {
  it('goes from raw files to a handoff on the sample field', async () => {
    const { plan, inputs } = samplePlan();
    const out = await runPlan({ plan: deepFreeze(plan), inputs });
    expect(Object.values(out.stages).map((stage) => stage.state)).toEqual(Array(6).fill('fresh'));
    expect(out.problems.filter((problem) => problem.severity === 'stop')).toEqual([]);
  });

  it('leaves later stages waiting when one stops, and says what is missing', async () => {
    const out = await runPlan({ plan: emptyPlan('Nothing yet'), inputs: new Map() });
    expect(out.stages.field).toMatchObject({ state: 'problem', problems: [{ code: 'field-none', stage: 'field' }] });
    expect(out.stages.handoff.state).toBe('waiting');
    expect(out.problems.length).toBe(1);
  });

  it('does not make again what did not change', async () => {
    const { plan, inputs } = samplePlan();
    const memo = createMemo();
    const first = await runPlan({ plan, inputs }, {}, memo);
    const begun: Stage[] = [];
    const second = await runPlan(
      { plan: { ...plan, rates: { ...plan.rates, yieldGoal: 180 } }, inputs },
      { progress: (stage, done) => void (done === 0 && begun.push(stage)) },
      memo,
    );
    expect([...new Set(begun)]).toEqual(['rates', 'handoff']);
    expect(second.zones).toBe(first.zones);
    expect(second.rates?.totals.product_lb).toBeLessThan(first.rates?.totals.product_lb ?? 0);
  });

  it('gives what a run from nothing gives, whatever the memo held', async () => {
    const { plan, inputs } = samplePlan();
    const memo = createMemo();
    await runPlan({ plan: { ...plan, surfaces: { ...plan.surfaces, power: 3 } }, inputs }, {}, memo);
    expect(await runPlan({ plan, inputs }, {}, memo)).toEqual(await runPlan({ plan, inputs }));
  });

  it('is cancelled between chunks of work', async () => {
    const { plan, inputs } = samplePlan();
    let asked = 0;
    const goOn = async () => ++asked < 3;
    await expect(runPlan({ plan, inputs }, { goOn })).rejects.toBeInstanceOf(Cancelled);
    expect(asked).toBe(3);
  });
});

describe('stage keys', () => {
  const { plan } = samplePlan();
  const changedBy = (change: Partial<Plan>): string[] => {
    const [before, after] = [stageKeys(plan), stageKeys({ ...plan, ...change })];
    return Object.keys(before).filter(
      (stage) => before[stage as keyof typeof before] !== after[stage as keyof typeof after],
    );
  };

  it('change for a stage and those after it, and for no stage before it', () => {
    expect(changedBy({ surfaces: { ...plan.surfaces, power: 3 } })).toEqual(['surfaces', 'zones', 'rates', 'handoff']);
    expect(changedBy({ rates: { ...plan.rates, floor_ppm: 160 } })).toEqual(['zones', 'rates', 'handoff']);
    expect(changedBy({ rates: { ...plan.rates, yieldGoal: 160 } })).toEqual(['rates', 'handoff']);
    expect(changedBy({ name: 'Other' })).toEqual(['handoff']);
  });

  it('change with the bytes of an input', () => {
    const inputs = plan.inputs.map((input) =>
      input.name === 'lab-results.csv' ? { ...input, sha256: '0'.repeat(64) } : input,
    );
    expect(changedBy({ inputs })).toEqual(['soil', 'surfaces', 'zones', 'rates', 'handoff']);
  });
});
