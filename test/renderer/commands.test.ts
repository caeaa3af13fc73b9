import { describe, expect, it } from 'vitest';
import { findCommands } from '../../renderer/commands/find.ts';
import { keysOf } from '../../renderer/commands/keys-of.ts';
import { withoutLeftOver } from '../../renderer/commands/left-over.ts';
import { placeOfSetting } from '../../renderer/commands/places.ts';
import { readLimits } from '../../renderer/panels/limits.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';
import { deepFreeze } from '../freeze.ts';

const command = (id: string, label: string, why: string | null = null) => ({
  id,
  group: 'Plan' as const,
  label: () => label,
  why: () => why,
  run: () => undefined,
});

describe('finder', () => {
  const commands = [
    command('a', 'Save', 'saved already'),
    command('b', 'Save a copy to send'),
    command('c', 'Undo: power 3'),
  ];

  it('wants every word, in any order', () => {
    expect(findCommands('copy save', commands).map((one) => one.id)).toEqual(['b']);
  });

  it('puts what can be done first and hides nothing', () => {
    expect(findCommands('save', commands).map((one) => one.id)).toEqual(['b', 'a']);
  });
});

describe('keys', () => {
  const press = { ctrlKey: false, metaKey: false, shiftKey: false, altKey: false };
  it.each([
    [{ ...press, key: 'z', ctrlKey: true }, 'Ctrl+Z'],
    [{ ...press, key: 'Z', metaKey: true, shiftKey: true }, 'Ctrl+Shift+Z'],
    [{ ...press, key: 'F8' }, 'F8'],
    [{ ...press, key: '3' }, '3'],
  ])('%#', (event, expected) => expect(keysOf(event)).toBe(expected));
});

describe('place of a setting', () => {
  it.each([
    ['rates.yieldGoal', 'rates', 'basis'],
    ['rates.overrides.0', 'rates', 'ledger'],
    ['rates.zones.a.yieldGoal', 'rates', 'ledger'],
    ['rates.budget.amount', 'rates', 'budget'],
    ['rates.follows', 'rates', 'guides'],
    ['soil.sampleColumns', 'soil', 'table'],
    ['soil.acidity', 'soil', 'about'],
    ['zones.by.breaks', 'zones', 'method'],
    ['handoff.withheld', 'handoff', 'written'],
  ])('%s', (setting, panel, tab) => {
    expect(placeOfSetting(setting)).toEqual(tab === undefined ? { panel } : { panel, tab });
  });
});

describe('class limits', () => {
  it('come ascending whatever their order', () => expect(readLimits('300, 100; 1 200')).toEqual([1, 100, 200, 300]));
  it('read a decimal comma inside a limit', () => expect(readLimits('1,5, 2,5')).toEqual([1.5, 2.5]));
  it.each(['', 'a, b', '1, 1', '1 2 3 4 5 6 7 8 9 10 11 12 13'])('refuse %j with a sentence', (text) => {
    expect(readLimits(text)).toMatch(/\.$/);
  });
});

describe('a role or name of a zone that there is none of', () => {
  it('is dropped alone', () => {
    const { plan } = samplePlan();
    const roles = { '1.2': 'keep out', b: 'hold back' } as const;
    const names = { '1.2': 'Yard', b: 'Hill' };
    const before = deepFreeze({ ...plan, zones: { ...plan.zones, roles, names } });
    expect(withoutLeftOver(before, 'zones.roles.1.2').zones).toEqual({ ...before.zones, roles: { b: 'hold back' } });
    expect(withoutLeftOver(before, 'zones.names.b').zones).toEqual({ ...before.zones, names: { '1.2': 'Yard' } });
  });
});
