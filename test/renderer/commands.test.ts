import { describe, expect, it } from 'vitest';
import { findCommands } from '../../renderer/commands/find.ts';
import { keysOf } from '../../renderer/commands/keys-of.ts';
import { placeOfSetting } from '../../renderer/commands/places.ts';
import { readLimits } from '../../renderer/panels/limits.ts';

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
