import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** The real window in a real Chromium, behind the real loopback host. Needs nothing but the packages. */
export default defineConfig({
  test: {
    root: here('../..'),
    include: ['test/browser/**/*.test.ts'],
    globalSetup: here('./build-window.ts'),
    testTimeout: 150_000,
    hookTimeout: 60_000,
    // One Chromium draws its maps in software: two at once would only take from one another.
    fileParallelism: false,
  },
});
