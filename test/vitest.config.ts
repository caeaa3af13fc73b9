import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  // The real package downloads its runtime when it is loaded; tests of the desktop host use a stand-in.
  resolve: { alias: { electron: here('./app/electron-stand-in.ts') } },
  test: {
    root: here('..'),
    include: ['test/**/*.test.ts', 'test/**/*.test.tsx'],
    exclude: ['test/browser/**'],
    setupFiles: ['test/setup.ts'],
    testTimeout: 20_000,
    // By default one core stays idle, which on a machine of two doubles the time.
    maxWorkers: '100%',
  },
});
