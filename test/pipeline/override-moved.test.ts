import { expect, it } from 'vitest';
import { createMemo, runPlan } from '../../core/pipeline/run.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';

it('a rate typed by hand says when its key has come to name other ground', async () => {
  const { plan, inputs } = samplePlan();
  const memo = createMemo();
  const before = await runPlan({ plan, inputs }, {}, memo);
  const zone = before.zones?.zones.find(({ key }) => key === '4.2.1');
  if (!zone) throw new Error('the sample field has no zone 4.2.1');
  const override = { zoneKey: zone.key, rate_lbPerAc: 300, who: 'A. N.', when: '2026-11-25', why: 'trial strip' };
  const typed = {
    ...plan,
    rates: { ...plan.rates, overrides: [{ ...override, at: [zone.spot[0], zone.spot[1]] as [number, number] }] },
  };
  const codes = async (zones: Partial<typeof plan.zones>): Promise<readonly string[]> => {
    const out = await runPlan({ plan: { ...typed, zones: { ...typed.zones, ...zones } }, inputs }, {}, memo);
    return (out.rates?.problems ?? []).map(({ code }) => code);
  };
  expect(await codes({})).not.toContain('rates-override-moved');
  const limits = { ...plan.zones.by, breaks: [1, 100, 200, 300] };
  expect(await codes({ by: limits })).toContain('rates-override-moved');
}, 60_000);
