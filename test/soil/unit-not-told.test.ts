import { describe, expect, test } from 'vitest';
import { guessColumns } from '../../core/soil/guess.ts';
import { table } from './tables.ts';

const guess = (lines: readonly string[], extra: object = {}) => guessColumns(table('lab', lines, extra));

describe('a unit that stands in a column of its own', () => {
  test.each([
    ['K unit', 'lb/ac', { is: 'k', unit: 'lb/ac' }],
    ['Unit', 'lbs/A', { is: 'k', unit: 'lb/ac' }],
    ['Potassium units', 'mg K2O/kg', { is: 'k', unit: 'mg/kg', oxide: true }],
    ['K unit', 'pp2m', { is: 'unused', held: 'k' }],
  ] as const)('%s of %s', (heading, unit, is) => {
    const [, k] = guess([`ID;K;${heading};CEC`, `a;364;${unit};23.8`, `b;334;${unit};23.6`]);
    expect(k).toMatchObject({ ...is, doubt: expect.any(String) });
    if (is.is === 'k') expect(k?.doubt).toContain(`is that of column "${heading}"`);
  });

  test('two units in it are the person’s to part', () => {
    const [, k] = guess(['ID;K;K unit;CEC', 'a;364;lb/ac;23.8', 'b;167;ppm;23.6']);
    expect(k).toMatchObject({ is: 'unused', held: 'k', doubt: expect.stringContaining('lb/ac or ppm') });
  });

  test('a column whose heading names its unit keeps it', () => {
    expect(guess(['ID;K ppm;K unit;CEC', 'a;182;lb/ac;23.8'])[1]).toMatchObject({ is: 'k', unit: 'ppm' });
  });
});

describe('a unit that nothing tells', () => {
  test('bases far above the CEC hold the column for a person, instead of ppm', () => {
    // 364 / 390 + 7228 / 200 + 1270 / 120 = 47.7 meq where the CEC is 23.8.
    const got = guess(['ID;K;Ca;Mg;CEC', 'a;364;7228;1270;23.8', 'b;334;7192;1240;23.6']);
    for (const cation of got.slice(1, 4))
      expect(cation).toMatchObject({ is: 'unused', doubt: expect.stringContaining('would fit lb/ac') });
    expect(got[1]).toMatchObject({ held: 'k' });
    const told = guess(['ID;K ppm;Ca ppm;Mg ppm;CEC', 'a;364;7228;1270;23.8', 'b;334;7192;1240;23.6']);
    expect(told[1]).toMatchObject({ is: 'k', unit: 'ppm' });
  });

  test('an oxide with no unit is held, whatever stands beside it', () => {
    const [, , k, mg] = guess(['ID;P2O5;K2O;MgO;pH', 'a;12;21.9;105;6.9', 'b;12;18.4;98;7.1']);
    expect(k).toMatchObject({
      is: 'unused',
      held: 'k',
      doubt: expect.stringContaining('K2O, and nothing tells its unit'),
    });
    expect(mg).toMatchObject({ is: 'unused', held: 'mg' });
    expect(guess(['ID;K2O;pH', 'a;21.9 mg/100 g;6.9'])[1]).toMatchObject({ is: 'k', unit: 'mg/100 g', oxide: true });
  });

  test('a bare CEC ten times what the bases sum to, or above any soil’s, is held', () => {
    const bases = guess(['ID;K mg/kg;Ca mg/kg;Mg mg/kg;CEC', 'a;91;807;118;61', 'b;84;1052;136;75']);
    expect(bases[4]).toMatchObject({ is: 'unused', held: 'cec', doubt: expect.stringContaining('mmolc/kg') });
    expect(guess(['ID;K ppm;CEC', 'a;182;238', 'b;167;231'])[2]).toMatchObject({ held: 'cec' });
    expect(guess(['ID;K ppm;CEC mmolc/kg', 'a;182;238', 'b;167;231'])[2]).toMatchObject({
      is: 'cec',
      unit: 'mmolc/kg',
    });
    expect(guess(['ID;K ppm;CEC', 'a;182;65', 'b;167;58'])[2]).toMatchObject({ is: 'cec' });
  });

  test('a CEC told in mmolc/kg is in no doubt, and the lab’s shares are held against it as such', () => {
    // 182 / 391 / 23.8 is 1.96 %.
    const got = guess(['ID;K;CEC mmolc/kg;%K', 'a;182;238;2.0', 'b;167;231;1.8']);
    expect(got[1]).toMatchObject({ is: 'k', unit: 'ppm', because: expect.stringContaining('ppm agrees') });
    expect(got[2]).toMatchObject({ is: 'cec', unit: 'mmolc/kg' });
    expect(got[2]?.doubt).toBeUndefined();
  });

  test('a point of thousands is no decimal', () => {
    const lines = ['ID;K ppm;Ca ppm;Mg ppm', 'a;182;3.614;635', 'b;182;3.512;612'];
    expect(guess(lines)[2]).toMatchObject({ is: 'unused', held: 'ca', doubt: expect.stringContaining('"3.614"') });
    expect(guess(lines)[1]).toMatchObject({ is: 'k' });
    expect(guess([...lines, 'c;150;980;300'])[2]).toMatchObject({ held: 'ca' });
    expect(guess([...lines, 'c;150;9.8;300'])[2]).toMatchObject({ is: 'ca' });
    expect(guess(lines, { decimal: ',' })[2]).toMatchObject({ is: 'ca' });
    expect(guess(['ID;Ca meq/100 g', 'a;3.614', 'b;3.512'])[1]).toMatchObject({ is: 'ca' });
  });
});
