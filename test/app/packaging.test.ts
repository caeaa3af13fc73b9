import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));
const builder = createRequire(createRequire(import.meta.url).resolve('electron-builder/package.json'));

interface BuilderConfig {
  readonly electronFuses: Readonly<Record<string, boolean>>;
  readonly fileAssociations: readonly { readonly ext: string }[];
  readonly linux: { readonly target: readonly string[] };
  readonly mac: { readonly target: readonly string[] };
  readonly win: { readonly target: readonly string[] };
}

// electron-builder's own reader and judge of its configuration; its package has no types for this path.
const { getConfig, validateConfiguration } = builder('app-builder-lib/out/util/config/config.js') as {
  getConfig(folder: string, file: string, options: object): Promise<BuilderConfig>;
  validateConfiguration(config: unknown, log: { isEnabled: boolean }): Promise<void>;
};
const read = () => getConfig(root, 'electron-builder.yml', {});

describe('electron-builder.yml', () => {
  it('is accepted by the schema of electron-builder itself', async () => {
    await validateConfiguration(await read(), { isEnabled: false });
  });

  it('would not be with a setting that does not exist', async () => {
    const config = { ...(await read()), noSuchSetting: true };
    await expect(validateConfiguration(config, { isEnabled: false })).rejects.toThrow('noSuchSetting');
  });

  it('makes the four packages, with the file type and closed fuses', async () => {
    const config = await read();
    expect([...config.linux.target, ...config.mac.target, ...config.win.target]).toEqual([
      'AppImage',
      'deb',
      'dmg',
      'nsis',
    ]);
    expect(config.fileAssociations.map((one) => one.ext)).toEqual(['pearlash']);
    expect(config.electronFuses).toMatchObject({
      runAsNode: false,
      enableNodeOptionsEnvironmentVariable: false,
      enableNodeCliInspectArguments: false,
      grantFileProtocolExtraPrivileges: false,
      onlyLoadAppFromAsar: true,
    });
  });
});

describe('sources', () => {
  const sourcesBelow = (folder: string) =>
    readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.ts'))
      .map((file) => ({ file: join(folder, file), text: readFileSync(join(root, folder, file), 'utf8') }));

  it('only app/electron needs Electron', () => {
    const needing = sourcesBelow('app').filter(({ text }) => /from 'electron'/.test(text));
    expect(needing.map(({ file }) => file).every((file) => file.startsWith(join('app', 'electron')))).toBe(true);
    expect(needing.length).toBeGreaterThan(0);
  });

  it('services know no transport', () => {
    for (const { text } of sourcesBelow('app/services'))
      expect(text).not.toMatch(/node:http|\.\.\/web\/|\.\.\/electron\/|\.\.\/cli\//);
  });
});
