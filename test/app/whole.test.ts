import { mkdir, readdir, readFile, rename, symlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { commitFiles, finishCommit, finishSwap, swapFolder, writeWhole } from '../../app/services/whole.ts';
import { encodeUtf8 } from '../../core/base/text.ts';
import { tempFolder } from './helpers.ts';

const file = (path: string, text: string) => ({ path, bytes: encodeUtf8(text) });

describe('one file', () => {
  it('takes the place of the old one and leaves nothing beside it', async () => {
    const folder = await tempFolder();
    await writeWhole(join(folder, 'a.json'), encodeUtf8('old'));
    await writeWhole(join(folder, 'a.json'), encodeUtf8('new'));
    expect(await readFile(join(folder, 'a.json'), 'utf8')).toBe('new');
    expect(await readdir(folder)).toEqual(['a.json']);
  });

  it('leaves no draft where it cannot be put in its place', async () => {
    const folder = await tempFolder();
    await mkdir(join(folder, 'taken', 'by a folder'), { recursive: true });
    await expect(writeWhole(join(folder, 'taken'), encodeUtf8('x'))).rejects.toThrow();
    expect(await readdir(folder)).toEqual(['taken']);
  });
});

describe('several files as one change', () => {
  it('writes them all', async () => {
    const folder = await tempFolder();
    await commitFiles(folder, [file('inputs/a.csv', 'a'), file('plan.json', 'p')]);
    expect(await readFile(join(folder, 'inputs', 'a.csv'), 'utf8')).toBe('a');
    expect((await readdir(folder)).sort()).toEqual(['inputs', 'plan.json']);
  });

  it('takes back a change that was cut off before it held', async () => {
    const folder = await tempFolder();
    await commitFiles(folder, [file('plan.json', 'old')]);
    await mkdir(join(folder, '.pearlash-saving'));
    await writeFile(join(folder, '.pearlash-saving', 'plan.json'), 'half');
    await finishCommit(folder);
    expect(await readFile(join(folder, 'plan.json'), 'utf8')).toBe('old');
    expect(await readdir(folder)).toEqual(['plan.json']);
  });

  it('carries out a change that was cut off after it held, however far it came', async () => {
    const folder = await tempFolder();
    await commitFiles(folder, [file('inputs/a.csv', 'old'), file('plan.json', 'old')]);
    await commitFiles(join(folder, 'draft'), [file('inputs/a.csv', 'new'), file('plan.json', 'new')]);
    await rename(join(folder, 'draft'), join(folder, '.pearlash-saved'));
    await rename(join(folder, '.pearlash-saved', 'inputs', 'a.csv'), join(folder, 'inputs', 'a.csv'));
    await finishCommit(folder);
    expect(await readFile(join(folder, 'inputs', 'a.csv'), 'utf8')).toBe('new');
    expect(await readFile(join(folder, 'plan.json'), 'utf8')).toBe('new');
    expect((await readdir(folder)).sort()).toEqual(['inputs', 'plan.json']);
  });

  it('follows no link out of the folder when it ends a change', async () => {
    const folder = await tempFolder();
    const elsewhere = await tempFolder();
    await mkdir(join(folder, '.pearlash-saved', 'inputs'), { recursive: true });
    await writeFile(join(folder, '.pearlash-saved', 'inputs', 'a.csv'), 'planted');
    await symlink(elsewhere, join(folder, 'inputs'));
    await expect(finishCommit(folder)).rejects.toThrow();
    expect(await readdir(elsewhere)).toEqual([]);
  });
});

describe('a place where nothing can be made', () => {
  it.runIf(process.platform === 'linux')('is an error at once', async () => {
    await expect(swapFolder('/proc/none/out', [file('a', 'a')])).rejects.toThrow(/ENOENT|EACCES|EPERM/);
  });
});

describe('a whole folder', () => {
  it('is replaced, with nothing left of the old one', async () => {
    const folder = join(await tempFolder(), 'handoff');
    await swapFolder(folder, [file('old.zip', 'o'), file('shapefile/a.shp', 'o')]);
    await swapFolder(folder, [file('new.zip', 'n')]);
    expect(await readdir(folder)).toEqual(['new.zip']);
    expect(await readdir(join(folder, '..'))).toEqual(['handoff']);
  });

  it('comes back where a swap was cut off between its two renames', async () => {
    const parent = await tempFolder();
    const folder = join(parent, 'handoff');
    await swapFolder(folder, [file('old.zip', 'o')]);
    await rename(folder, join(parent, '.handoff.pearlash-old'));
    await mkdir(join(parent, '.handoff.pearlash-new'));
    await finishSwap(folder);
    expect(await readdir(folder)).toEqual(['old.zip']);
    expect(await readdir(parent)).toEqual(['handoff']);
  });
});
