import { readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

const root = fileURLToPath(new URL('../../', import.meta.url));

/** Builds the window where its sources are newer than what was built, so that the tests never drive an older one. */
export async function setup(): Promise<void> {
  const built = await stat(join(root, 'dist', 'renderer', 'index.html')).catch(() => null);
  const newest = Math.max(...(await Promise.all(['renderer', 'core'].map((folder) => newestIn(join(root, folder))))));
  if (built && built.mtimeMs > newest) return;
  await build({ configFile: join(root, 'renderer', 'vite.config.ts'), logLevel: 'error' });
}

/** When the newest file below a folder was written, in ms. */
async function newestIn(folder: string): Promise<number> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const files = entries.filter((entry) => entry.isFile());
  const times = await Promise.all(files.map(async (file) => (await stat(join(file.parentPath, file.name))).mtimeMs));
  return Math.max(...times);
}
