import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { app } from 'electron';
import { findProgram } from '../program.ts';
import { createPlanStore } from '../services/plan-store.ts';
import { startDesktop } from './desktop.ts';

const program = findProgram(import.meta.url);

startDesktop({
  store: createPlanStore({
    home: program.home,
    sampleFields: app.isPackaged ? join(process.resourcesPath, 'sample-fields') : program.sampleFields,
  }),
  window: program.window,
  preload: join(dirname(fileURLToPath(import.meta.url)), 'preload.cjs'),
  // A packaged program is started by its own name alone, an unpacked one by Electron's and its own; flags are Chromium's.
  paths: process.argv
    .filter((argument) => !argument.startsWith('-'))
    .slice(app.isPackaged ? 1 : 2)
    .map((path) => resolve(path)),
  onFault: (error) => console.error(error),
}).catch((error: unknown) => {
  console.error(error);
  app.exit(1);
});
