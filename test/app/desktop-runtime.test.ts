import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { getRuntime, type Runtime } from '../../app/desktop-runtime.ts';
import { tempFolder } from './helpers.ts';

/** A package whose installer does what is written here, as Electron's does on some machine. */
async function tryWith(
  installer: string,
  still_ms = 10_000,
): Promise<{ runtime: Runtime; folder: string; seen: number[] }> {
  const folder = await tempFolder();
  await writeFile(join(folder, 'package.json'), '{"type":"commonjs"}');
  await writeFile(join(folder, 'install.js'), installer);
  const seen: number[] = [];
  const runtime = await getRuntime({ package: folder, still_ms, onProgress: (received_MB) => seen.push(received_MB) });
  return { runtime, folder, seen };
}

const INSTALLS = `
const { mkdirSync, writeFileSync } = require('node:fs');
mkdirSync(__dirname + '/dist');
writeFileSync(__dirname + '/dist/electron', '');
writeFileSync(__dirname + '/path.txt', 'electron');`;

describe('the desktop runtime', () => {
  it('is fetched by the installer where it is missing', async () => {
    const { runtime, folder } = await tryWith(INSTALLS);
    expect(runtime).toEqual({ ok: true, executable: join(folder, 'dist', 'electron') });
  });

  it('is not fetched again where it is there', async () => {
    const folder = await tempFolder();
    await mkdir(join(folder, 'dist'));
    await writeFile(join(folder, 'dist', 'electron'), '');
    await writeFile(join(folder, 'path.txt'), 'electron');
    await writeFile(join(folder, 'install.js'), 'process.exit(1)');
    const runtime = await getRuntime({ package: folder, still_ms: 1000, onProgress: () => undefined });
    expect(runtime.ok).toBe(true);
  });

  it('is given up at the first failure, with its reason', async () => {
    const { runtime } = await tryWith(`console.error(new TypeError('fetch failed').stack); process.exit(1);`);
    expect(runtime).toEqual({ ok: false, why: 'its download failed: fetch failed' });
  });

  it('is given up when its download stands still, after showing how far it came', async () => {
    const { runtime, seen } = await tryWith(
      `require('node:fs').writeFileSync(require('node:os').tmpdir() + '/part', Buffer.alloc(3e6)); setInterval(() => {}, 1000);`,
      1500,
    );
    expect(runtime).toEqual({ ok: false, why: 'its download stood still for 1.5 s' });
    expect(seen).toEqual([3]);
  });

  it('is not there where the installer leaves it half done, or the package is missing', async () => {
    expect((await tryWith('')).runtime).toEqual({ ok: false, why: 'its runtime is not complete' });
    const runtime = await getRuntime({ package: null, still_ms: 1000, onProgress: () => undefined });
    expect(runtime).toEqual({ ok: false, why: 'Electron is not installed' });
  });
});
