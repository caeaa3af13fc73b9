import { fileURLToPath } from 'node:url';
import { build } from 'vite';

/** Builds the window as it is in the sources now, so that the tests never drive an older one. */
export async function setup(): Promise<void> {
  await build({
    configFile: fileURLToPath(new URL('../../renderer/vite.config.ts', import.meta.url)),
    logLevel: 'error',
  });
}
