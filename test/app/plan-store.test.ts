import { mkdir, readdir, readFile, symlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { folderName, pathFault } from '../../app/services/inner-path.ts';
import { createPlanStore } from '../../app/services/plan-store.ts';
import { encodeUtf8 } from '../../core/base/text.ts';
import { packPlan } from '../../core/plan/pack.ts';
import { isInnerPath } from '../../core/plan/schema.ts';
import { codeOf, got, planWith, tempFolder, withPath } from './helpers.ts';

const storeIn = (home: string, sampleFields: string | null = null) => createPlanStore({ home, sampleFields });

describe('saving and opening', () => {
  it('gives back the plan and its inputs byte for byte', async () => {
    const store = storeIn(await tempFolder());
    const { text, inputs, plan } = planWith('North forty');
    const { planId } = got(await store.save(null, text, inputs));
    const found = got(await store.open(planId));
    expect(found.opened.plan).toEqual(plan);
    expect([...found.opened.inputs]).toEqual(inputs.map((input) => [input.path, input.bytes]));
  });

  it('names folders after plans, none twice, and lists the plans', async () => {
    const store = storeIn(await tempFolder());
    const saved = [];
    for (const name of ['North forty', 'north  FORTY!', 'Zażółć', '../../etc']) {
      const { text, inputs } = planWith(name);
      saved.push(got(await store.save(null, text, inputs)).planId);
    }
    expect(saved).toEqual(['north-forty', 'north-forty-2', 'zazo-c', 'etc']);
    const listed = await store.list();
    expect(listed.map((entry) => entry.name).sort()).toEqual(
      ['../../etc', 'North forty', 'Zażółć', 'north  FORTY!'].sort(),
    );
  });

  it('keeps the bytes of inputs that are not sent again', async () => {
    const store = storeIn(await tempFolder());
    const { text, inputs } = planWith('North');
    const { planId } = got(await store.save(null, text, inputs));
    got(await store.save(planId, text.replace('"North"', '"South"'), []));
    const found = got(await store.open(planId));
    expect(found.opened.plan.name).toBe('South');
    expect([...found.opened.inputs.keys()]).toEqual(inputs.map((input) => input.path));
  });

  it('does several saves at once one after the other', async () => {
    const store = storeIn(await tempFolder());
    const { text, inputs } = planWith('North');
    const { planId } = got(await store.save(null, text, inputs));
    const names = ['A', 'B', 'C', 'D'];
    await Promise.all(
      names.map(async (name) => got(await store.save(planId, text.replace('"North"', `"${name}"`), inputs))),
    );
    expect(got(await store.open(planId)).opened.plan.name).toBe('D');
  });

  it('tells an input that was changed on the disk', async () => {
    const store = storeIn(await tempFolder());
    const { text, inputs } = planWith('North');
    const { planId, folder } = got(await store.save(null, text, inputs));
    await writeFile(join(folder, inputs[0]?.path ?? ''), 'id,K\n1,999\n');
    expect(codeOf(await store.open(planId))).toBe('plan-input-changed');
  });

  it('reads no half of a save that was cut off', async () => {
    const store = storeIn(await tempFolder());
    const { text, inputs } = planWith('North');
    const { planId, folder } = got(await store.save(null, text, inputs));
    await mkdir(join(folder, '.pearlash-saving'));
    await writeFile(join(folder, '.pearlash-saving', 'plan.json'), '{"format":');
    expect(got(await store.open(planId)).opened.plan.name).toBe('North');
    expect(await readdir(folder)).not.toContain('.pearlash-saving');
  });
});

describe('what may not be saved', () => {
  const refusals: readonly [string, string][] = [
    ['../outside.csv', 'plan-invalid'],
    ['/etc/passwd', 'plan-invalid'],
    ['C:/x.csv', 'plan-invalid'],
    ['inputs\\..\\..\\x.csv', 'plan-invalid'],
    ['inputs/con.csv', 'plan-input-path'],
    ['inputs/a:b.csv', 'plan-input-path'],
    ['inputs/a. ', 'plan-input-path'],
    ['.pearlash-saved/x', 'plan-input-path'],
    ['PLAN.json', 'plan-input-path'],
    ['handoff/x.csv', 'plan-input-path'],
  ];
  it.each(refusals)('an input at %j: %s', async (path, code) => {
    const home = await tempFolder();
    const { text, inputs } = withPath(planWith('North'), path);
    expect(codeOf(await storeIn(home).save(null, text, inputs))).toBe(code);
    expect(await readdir(home)).toEqual([]);
  });

  it('bytes that are not those the plan names, or that it does not name at all', async () => {
    const store = storeIn(await tempFolder());
    const { text, inputs } = planWith('North');
    const other = inputs.map((input) => ({ ...input, bytes: encodeUtf8('other') }));
    expect(codeOf(await store.save(null, text, other))).toBe('plan-input-changed');
    expect(codeOf(await store.save(null, text, []))).toBe('plan-input-missing');
    const stray = [...inputs, { path: 'inputs/stray.csv', bytes: encodeUtf8('x') }];
    expect(codeOf(await store.save(null, text, stray))).toBe('plan-input-unknown');
  });

  it('an input below a link that leads out of the plan folder', async () => {
    const store = storeIn(await tempFolder());
    const elsewhere = await tempFolder();
    const { planId, folder } = got(await store.save(null, planWith('North', {}).text, []));
    await symlink(elsewhere, join(folder, 'inputs'));
    const { text, inputs } = planWith('North');
    expect(codeOf(await store.save(planId, text, inputs))).toBe('plan-input-path');
    expect(await readdir(elsewhere)).toEqual([]);
  });

  it('text that is no plan', async () => {
    const store = storeIn(await tempFolder());
    expect(codeOf(await store.save(null, '{', []))).toBe('plan-json');
    expect(codeOf(await store.save(null, '{"format":"other"}', []))).toBe('plan-other');
  });
});

describe('plan ids', () => {
  it.each(['', '.', '..', '../plans', 'a/b', '/etc', 'nothing-here', '@0123', 'sample@..', 'sample@', 'con', '\0'])(
    '%j opens nothing',
    async (planId) => {
      const home = await tempFolder();
      await mkdir(join(home, 'plans'), { recursive: true });
      await writeFile(join(home, 'plan.json'), planWith('Outside', {}).text);
      const store = storeIn(home, join(home, 'samples'));
      expect(codeOf(await store.open(planId))).toBe('plan-unknown');
      expect(codeOf(await store.save(planId, planWith('North', {}).text, []))).toBe('plan-unknown');
    },
  );

  it('an input that is a link is not read', async () => {
    const store = storeIn(await tempFolder());
    const { text, inputs } = planWith('North');
    const { planId, folder } = got(await store.save(null, text, inputs));
    const secret = join(await tempFolder(), 'secret.csv');
    await writeFile(secret, inputs[0]?.bytes ?? '');
    const path = join(folder, inputs[0]?.path ?? '');
    await (await import('node:fs/promises')).rm(path);
    await symlink(secret, path);
    expect(codeOf(await store.open(planId))).toBe('plan-input-missing');
  });
});

describe('plans from elsewhere', () => {
  const outside = async () => {
    const folder = join(await tempFolder(), 'my field');
    const made = planWith('My field');
    await mkdir(join(folder, 'inputs'), { recursive: true });
    await writeFile(join(folder, 'plan.json'), made.text);
    for (const input of made.inputs) await writeFile(join(folder, input.path), input.bytes);
    return { folder, ...made };
  };

  it('a folder, or the document in it, is opened and saved in its place', async () => {
    const { folder, text } = await outside();
    const home = await tempFolder();
    const first = got(await storeIn(home).adopt(folder));
    const second = got(await storeIn(home).adopt(join(folder, 'plan.json')));
    expect(second).toEqual(first);
    got(await storeIn(home).save(first.planId, text.replace('"My field"', '"Mine"'), []));
    expect(JSON.parse(await readFile(join(folder, 'plan.json'), 'utf8')).name).toBe('Mine');
    expect((await storeIn(home).list()).map((entry) => entry.planId)).toEqual([first.planId]);
  });

  it('a packed plan is unpacked once, however often it is opened', async () => {
    const { plan, inputs } = planWith('Sent to me');
    const packed = join(await tempFolder(), 'sent.pearlash');
    await writeFile(packed, packPlan(plan, new Map(inputs.map((input) => [input.path, input.bytes]))));
    const store = storeIn(await tempFolder());
    const first = got(await store.adopt(packed));
    expect(got(await store.adopt(packed))).toEqual(first);
    expect(got(await store.open(first.planId)).opened.plan.name).toBe('Sent to me');
  });

  it.each(['cut.pearlash', 'nothing.pearlash'])('%s is refused', async (name) => {
    const folder = await tempFolder();
    const { plan, inputs } = planWith('Cut');
    const packed = packPlan(plan, new Map(inputs.map((input) => [input.path, input.bytes])));
    await writeFile(join(folder, 'cut.pearlash'), packed.subarray(0, packed.length - 30));
    const home = await tempFolder();
    expect(codeOf(await storeIn(home).adopt(join(folder, name)))).toMatch(/^(zip-|disk-read)/);
    expect(await storeIn(home).list()).toEqual([]);
  });
});

describe('sample fields', () => {
  const samples = async () => {
    const folder = await tempFolder();
    const { text, inputs } = planWith('Sample');
    await mkdir(join(folder, 'hollow', 'inputs'), { recursive: true });
    for (const input of inputs) await writeFile(join(folder, 'hollow', input.path), input.bytes);
    await writeFile(join(folder, 'hollow', 'plan.json'), text);
    return { folder, text };
  };
  const rename = (text: string, name: string) => text.replace(/"name": "[^"]*"/, `"name": "${name}"`);

  it('are listed, and copied when they are opened', async () => {
    const { folder } = await samples();
    const store = storeIn(await tempFolder(), folder);
    expect((await store.list()).map((entry) => entry.planId)).toEqual(['sample@hollow']);
    expect(got(await store.open('sample@hollow')).planId).toBe('sample');
    expect((await store.list()).map((entry) => entry.planId)).toEqual(['sample']);
    expect(await readdir(join(folder, 'hollow'))).toEqual(['inputs', 'plan.json']);
  });

  it('stay as a person changed them, and follow the sample where nobody did', async () => {
    const { folder, text } = await samples();
    const store = storeIn(await tempFolder(), folder);
    await store.open('sample@hollow');
    await writeFile(join(folder, 'hollow', 'plan.json'), rename(text, 'Sample of next year'));
    expect(got(await store.open('sample@hollow')).opened.plan.name).toBe('Sample of next year');
    got(await store.save('sample', rename(text, 'Changed'), []));
    await writeFile(join(folder, 'hollow', 'plan.json'), rename(text, 'Sample of the year after'));
    expect(got(await store.open('sample@hollow')).opened.plan.name).toBe('Changed');
  });
});

describe('names', () => {
  it('a folder name is always safe to write', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.constantFrom('con', 'NUL', 'aux.txt', '..', 'a'.repeat(300))), (name) => {
        expect(pathFault(folderName(name))).toBeNull();
        expect(folderName(name)).toMatch(/^[a-z0-9][a-z0-9-]{0,69}$/);
      }),
    );
  });

  it('a path that may be written never leaves its folder', () => {
    const part = fc.constantFrom('a', '..', '.', '', 'b.csv', 'con', 'x:y', '\\', ' ');
    fc.assert(
      fc.property(fc.array(part, { minLength: 1, maxLength: 5 }), (parts) => {
        const path = parts.join('/');
        if (pathFault(path) === null) expect(isInnerPath(path)).toBe(true);
      }),
    );
  });
});
