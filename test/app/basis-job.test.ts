import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readArguments } from '../../app/cli/arguments.ts';
import { basisJob } from '../../app/cli/basis-job.ts';
import { readPlanAt } from '../../app/services/plan-folder.ts';
import { planText } from '../../core/plan/open.ts';
import { emptyPlan } from '../../core/plan/schema.ts';
import { readBasis } from '../../core/rates/basis.ts';
import { tempFolder } from './helpers.ts';

async function planIn(folder: string): Promise<string> {
  const plan = emptyPlan('North');
  const rates = { ...plan.rates, crop: 'corn', yieldGoal: 180, floor_ppm: 130, governs: 'ppm' as const };
  const path = join(folder, 'plan.json');
  await writeFile(path, planText({ ...plan, rates }));
  return path;
}

describe('pearlash basis', () => {
  it('writes the basis a plan stands on, without the field’s own', async () => {
    const folder = await tempFolder();
    const out = join(folder, 'mine.json');
    const report = await basisJob({ kind: 'basis', plan: await planIn(folder), name: 'Mine', out });
    expect(report).toMatchObject({ ok: true, basis: 'Mine', out });
    const read = readBasis(await readFile(out, 'utf8'));
    expect(read.ok && read.value.choices).toMatchObject({ floor_ppm: 130, governs: 'ppm' });
    expect(read.ok && 'crop' in read.value.choices).toBe(false);
  });
  it('writes the plan once more with a basis taken, by name or file, and says what it changed', async () => {
    const folder = await tempFolder();
    const plan = await planIn(folder);
    const out = join(folder, 'other');
    const report = await basisJob({ kind: 'basis', plan, take: 'Both targets', out });
    expect(report).toMatchObject({ ok: true, basis: 'Both targets', changed: ['governs', 'floor_ppm'] });
    const taken = await readPlanAt(out);
    expect(taken.ok && taken.value.plan.rates).toMatchObject({
      crop: 'corn',
      yieldGoal: 180,
      floor_ppm: 150,
      basis: 'Both targets',
    });
    const file = join(folder, 'mine.json');
    await basisJob({ kind: 'basis', plan, out: file });
    const again = await basisJob({ kind: 'basis', plan: out, take: file, out: join(folder, 'third.pearlash') });
    expect(again).toMatchObject({ ok: true, changed: ['governs', 'floor_ppm'] });
  });
  it('writes over nothing, and takes nothing that is no basis', async () => {
    const folder = await tempFolder();
    const plan = await planIn(folder);
    expect((await basisJob({ kind: 'basis', plan, out: plan })).problems[0]?.code).toBe('start-out-taken');
    const codes = async (take: string) =>
      (await basisJob({ kind: 'basis', plan, take, out: join(folder, 'x') })).problems.map((one) => one.code);
    expect(await codes(plan)).toEqual(['basis-other']);
    expect(await codes(join(folder, 'none.json'))).toEqual(['disk-read']);
  });
});

describe('its usage', () => {
  const read = (line: string) => readArguments(line.split(' '));
  it('is a plan, a place, and a basis to take or a name to give', () => {
    const asked = read('basis north --take mine.json --out south');
    expect(asked.asks === 'work' && asked.jobs).toMatchObject([
      { kind: 'basis', take: expect.stringMatching(/mine\.json$/) },
    ]);
    const own = readArguments(['basis', 'north', '--take', 'hold and maintain', '--out', 'south']);
    expect(own.asks === 'work' && own.jobs[0]).toMatchObject({ take: 'hold and maintain' });
  });
  it.each([
    ['basis', 'needs a plan'],
    ['basis a b --out c', '"b"'],
    ['basis a', '--out <file>'],
    ['basis a --take x', '--out <plan>'],
    ['basis a --take x --name y --out z', '--name'],
    [`basis a --out z --name ${'n'.repeat(81)}`, '80 characters'],
  ])('%j says why', (line, why) => {
    const asked = read(line);
    expect(asked.asks === 'wrong' && asked.why).toContain(why);
  });
});
