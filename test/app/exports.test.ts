import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readExportsAt, writeExports } from '../../app/services/exports.ts';
import { encodeUtf8 } from '../../core/base/text.ts';
import { codeOf, exportOf, got, tempFolder } from './helpers.ts';

describe('an export', () => {
  it('is read back from the disk as it was written, and read again as it is', async () => {
    const folder = join(await tempFolder(), 'handoff');
    const files = exportOf({ 'rx.geojson': '{}', 'shapefile/rx.shp': 'shp' });
    const written = got(await writeExports(folder, files));
    const byPath = [...files].sort((a, b) => (a.path < b.path ? -1 : 1));
    expect(written.files).toEqual(byPath);
    await writeFile(join(folder, 'rx.geojson'), 'changed');
    const later = got(await readExportsAt(folder)).files.find((file) => file.path === 'rx.geojson');
    expect(later?.bytes).toEqual(encodeUtf8('changed'));
  });

  it('replaces the one before it whole, litter of file browsers included', async () => {
    const folder = join(await tempFolder(), 'handoff');
    await writeExports(folder, exportOf({ 'old.geojson': '{}', 'shapefile/old.shp': 'shp' }));
    await writeFile(join(folder, '.DS_Store'), '');
    got(await writeExports(folder, exportOf({ 'new.geojson': '{}' })));
    expect((await readdir(folder)).sort()).toEqual(['manifest.json', 'new.geojson']);
  });

  it.each([
    ['a file of nobody', async (folder: string) => await writeFile(join(folder, 'notes.txt'), 'mine')],
    ['a plan', async (folder: string) => await writeFile(join(folder, 'plan.json'), '{}')],
    [
      'a folder with a file',
      async (folder: string) => {
        await mkdir(join(folder, 'photos'));
        await writeFile(join(folder, 'photos', 'a.jpg'), '');
      },
    ],
    [
      'a manifest of something else',
      async (folder: string) => await writeFile(join(folder, 'manifest.json'), '{"files":[]}'),
    ],
  ])('leaves a folder alone that holds %s', async (_what, fill) => {
    const folder = await tempFolder();
    await fill(folder);
    const before = await readdir(folder, { recursive: true });
    expect(codeOf(await writeExports(folder, exportOf({ 'rx.geojson': '{}' })))).toBe('export-foreign-files');
    expect(await readdir(folder, { recursive: true })).toEqual(before);
  });

  it('is not held up by what mapping software lays beside the files it opened', async () => {
    const folder = join(await tempFolder(), 'handoff');
    await writeExports(folder, exportOf({ 'rx.geojson': '{}' }));
    for (const name of ['k_ppm.tif.aux.xml', 'rx.qix']) await writeFile(join(folder, name), '');
    got(await writeExports(folder, exportOf({ 'rx.geojson': '{}' })));
    expect((await readdir(folder)).sort()).toEqual(['manifest.json', 'rx.geojson']);
  });

  it('keeps what a person put beside an earlier export', async () => {
    const folder = join(await tempFolder(), 'handoff');
    await writeExports(folder, exportOf({ 'rx.geojson': '{}' }));
    await writeFile(join(folder, 'for the driver.txt'), 'mine');
    expect(codeOf(await writeExports(folder, exportOf({ 'rx.geojson': '{}' })))).toBe('export-foreign-files');
    expect(await readFile(join(folder, 'for the driver.txt'), 'utf8')).toBe('mine');
  });

  it.each(['../rx.geojson', 'a/../../rx', '/rx', 'nul.shp', 'a?.shp', '.hidden'])(
    'refuses a file at %j',
    async (path) => {
      const parent = await tempFolder();
      const answer = await writeExports(join(parent, 'handoff'), exportOf({ [path]: 'x' }));
      expect(codeOf(answer)).toBe('export-path');
      expect(await readdir(parent)).toEqual([]);
    },
  );

  it('refuses two files that some disks take for one, and files without a manifest', async () => {
    const folder = join(await tempFolder(), 'handoff');
    expect(codeOf(await writeExports(folder, exportOf({ 'rx.shp': 'a', 'RX.shp': 'b' })))).toBe('export-path');
    expect(codeOf(await writeExports(folder, [{ path: 'rx.shp', bytes: encodeUtf8('a') }]))).toBe('export-no-manifest');
  });

  it('says what is the matter where nothing was exported or nothing can be written', async () => {
    const folder = await tempFolder();
    expect(codeOf(await readExportsAt(join(folder, 'handoff')))).toBe('export-none');
    await writeFile(join(folder, 'file'), '');
    expect(codeOf(await writeExports(join(folder, 'file', 'handoff'), exportOf({ 'rx.shp': 'a' })))).toBe('disk-write');
  });
});
