import { caution, note, type Problem, stop } from '../base/problem.ts';
import type { ZonesSettings } from './settings.ts';
import type { Zone } from './types.ts';

/**
 * Roles and names that the plan gives to keys which no zone has now, since limits, method or changes by hand are others: they are kept in the plan and not used.
 * Problems: `zones-role-no-zone`, a stop where ground was to be kept out, since it may be spread now, else a caution; note `zones-name-no-zone`.
 */
export function withoutZone(
  { roles, names }: Pick<ZonesSettings, 'roles' | 'names'>,
  zones: readonly Pick<Zone, 'key'>[],
): Problem[] {
  const isNone = ([key]: readonly [string, unknown]): boolean => !zones.some((zone) => zone.key === key);
  return [
    ...Object.entries(roles)
      .filter(isNone)
      .map(([key, role]) => {
        const called = names[key] === undefined ? '' : ` (“${names[key]}”)`;
        const at = { setting: `zones.roles.${key}` };
        if (role !== 'keep out')
          return caution(
            'zones-role-no-zone',
            `The zone with key ${key}${called} was set to ${role}, and there is none now: the role is kept in the plan and not used.`,
            `Give the role to the zone that has this ground now, and drop this one (zones.roles, ${key}, in plan.json).`,
            at,
          );
        return stop(
          'zones-role-no-zone',
          `The zone with key ${key}${called} was to be kept out, and there is none now: its ground may lie in a zone that is spread.`,
          `Set the zone that has this ground now to keep out, or make the zones as they were; then drop this one (zones.roles, ${key}, in plan.json).`,
          at,
        );
      }),
    ...Object.entries(names)
      .filter((entry) => isNone(entry) && roles[entry[0]] === undefined)
      .map(([key, name]) =>
        note(
          'zones-name-no-zone',
          `The name “${name}” was given to the zone with key ${key}, and there is none now: it is kept in the plan and not used.`,
          `Give it to another zone, or drop it (zones.names, ${key}, in plan.json).`,
          { setting: `zones.names.${key}` },
        ),
      ),
  ];
}
