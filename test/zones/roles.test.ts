import { describe, expect, it } from 'vitest';
import { runPlan } from '../../core/pipeline/run.ts';
import { withoutZone } from '../../core/zones/roles.ts';
import type { ZoneRole } from '../../core/zones/settings.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';
import { deepFreeze } from '../freeze.ts';

describe('roles and names of zones that there are none of', () => {
  it('are told with the key and the role; a keep-out stops', () => {
    const told = withoutZone(
      deepFreeze({
        roles: { a: 'keep out', b: 'hold back', c: 'keep out' } satisfies Record<string, ZoneRole>,
        names: { a: 'Wet corner', d: 'Hill', c: 'Yard' },
      }),
      deepFreeze([{ key: 'c' }]),
    );
    expect(told.map(({ code, severity, at }) => [severity, code, at?.setting])).toEqual([
      ['stop', 'zones-role-no-zone', 'zones.roles.a'],
      ['caution', 'zones-role-no-zone', 'zones.roles.b'],
      ['note', 'zones-name-no-zone', 'zones.names.d'],
    ]);
    expect(told[0]?.message).toContain('key a (“Wet corner”) was to be kept out');
  });

  it('keep the handoff from being written when limits change under a keep-out', async () => {
    const { plan, inputs } = samplePlan();
    const key = (await runPlan({ plan, inputs })).zones?.zones.find(({ letter }) => letter === 'D')?.key ?? '';
    const kept = { ...plan, zones: { ...plan.zones, roles: { [key]: 'keep out' as const } } };
    expect((await runPlan({ plan: kept, inputs })).handoff).not.toBeNull();
    const moved = { ...kept, zones: { ...kept.zones, by: { layer: 'k_ppm' as const, breaks: [150] }, apart: [] } };
    const out = await runPlan({ plan: moved, inputs });
    expect(out.zones?.zones.length).toBeGreaterThan(0);
    expect(out.handoff).toBeNull();
    expect(out.stages.zones.problems.filter(({ severity }) => severity === 'stop').map(({ code }) => code)).toEqual([
      'zones-role-no-zone',
    ]);
  });
});
