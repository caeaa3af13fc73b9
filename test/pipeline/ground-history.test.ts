import { describe, expect, it } from 'vitest';
import { stageKeys } from '../../core/pipeline/keys.ts';
import { createMemo, runPlan } from '../../core/pipeline/run.ts';
import { planSchema } from '../../core/plan/schema.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';

/** The history of the ground speaks in the rates, and nowhere before. */
describe('history of the ground', async () => {
  const { plan, inputs } = samplePlan();
  const told = planSchema.parse({ ...plan, ground: { history: { grazed: 'yes', texture: 'sand or loamy sand' } } });

  it('is part of the key of the rates and what comes after', () => {
    const [one, other] = [stageKeys(plan), stageKeys(told)];
    expect([other.field, other.soil, other.surfaces, other.zones]).toEqual([
      one.field,
      one.soil,
      one.surfaces,
      one.zones,
    ]);
    expect(other.rates).not.toBe(one.rates);
    expect(other.handoff).not.toBe(one.handoff);
  });

  it('is made again when it changes, on the same zones', async () => {
    const memo = createMemo();
    const before = await runPlan({ plan, inputs }, {}, memo);
    const after = await runPlan({ plan: told, inputs }, {}, memo);
    expect(after.zones).toBe(before.zones);
    expect(before.rates?.zones.map((zone) => zone.rate_lbPerAc)).toEqual([65, 50, 200, 260, 260, 385]);
    // sand is light whatever its CEC: at most 120 lb K2O a year
    for (const zone of after.rates?.zones ?? []) expect(zone.k2o_lbPerAc ?? 0).toBeLessThanOrEqual(120 + 1e-9);
    expect(after.rates?.zones[1]?.history).toMatchObject({ grazed: 'yes' });
    expect(after.rates?.zones[1]?.problems.map((one) => one.code)).toContain('rates-tetany');
  });

  it('drawn as an area, it counts in the zones that lie in it', async () => {
    const outline = plan.ground.areas;
    expect(outline).toEqual([]);
    const field = await runPlan({ plan, inputs });
    const whole = field.field?.boundary[0]?.[0] ?? [];
    const area = { id: 'all', name: 'all of it', polygons: [[whole]], history: { manure: 'most years' } };
    const drawn = planSchema.parse({ ...plan, ground: { areas: [area] } });
    const out = await runPlan({ plan: drawn, inputs });
    expect(new Set(out.rates?.zones.map((zone) => zone.history.manure))).toEqual(new Set(['most years']));
    expect(out.rates?.zones.flatMap((zone) => zone.problems).map((one) => one.code)).toContain('rates-manured');
  });

  it('the unit that rates are shown and written in changes no stored rate (law)', async () => {
    const memo = createMemo();
    const pounds = await runPlan({ plan, inputs }, {}, memo);
    const metric = { ...plan, handoff: { ...plan.handoff, rateUnit: 'kg/ha' as const } };
    expect(stageKeys(metric).rates).toBe(stageKeys(plan).rates);
    const kilos = await runPlan({ plan: metric, inputs }, {}, memo);
    expect(kilos.rates).toBe(pounds.rates);
    const stored = kilos.handoff?.prescriptions[0]?.pieces.map((piece) => piece.rate_lbPerAc);
    expect(stored).toEqual(pounds.handoff?.prescriptions[0]?.pieces.map((piece) => piece.rate_lbPerAc));
  });
});
