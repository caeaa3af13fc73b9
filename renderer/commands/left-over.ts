import type { Plan } from '../../core/plan/schema.ts';

/** The plan without the role or name that a setting such as `zones.roles.<key>` names; keys may hold dots. */
export function withoutLeftOver(plan: Plan, setting: string): Plan {
  const [, of, ...rest] = setting.split('.');
  const key = rest.join('.');
  const without = <T>(all: Readonly<Record<string, T>>): Record<string, T> =>
    Object.fromEntries(Object.entries(all).filter(([one]) => one !== key));
  const { roles, names } = plan.zones;
  return {
    ...plan,
    zones: of === 'roles' ? { ...plan.zones, roles: without(roles) } : { ...plan.zones, names: without(names) },
  };
}
