import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** The window as plain files that either host serves: nothing inline, every script, style and worker from its own origin. */
export default defineConfig({
  root: here('.'),
  base: './',
  plugins: [react()],
  worker: { format: 'es' },
  build: {
    outDir: here('../dist/renderer'),
    emptyOutDir: true,
    target: 'es2023',
    // Small files would become data: addresses, which the policy allows for pictures only.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 1500,
  },
});
