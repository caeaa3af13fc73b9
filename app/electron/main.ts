import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { app } from 'electron';
import { homeFolder } from '../services/home.ts';
import { createPlanStore } from '../services/plan-store.ts';
import { startDesktop } from './desktop.ts';

const here = dirname(fileURLToPath(import.meta.url));
const root = join(here, '..', '..');

void startDesktop({
  store: createPlanStore({
    home: homeFolder(process.env),
    sampleFields: app.isPackaged ? join(process.resourcesPath, 'sample-fields') : join(root, 'sample-fields'),
  }),
  window: join(root, 'dist', 'renderer'),
  preload: join(here, 'preload.cjs'),
  // A packaged program is started by its own name alone, an unpacked one by Electron's and its own.
  paths: process.argv
    .slice(app.isPackaged ? 1 : 2)
    .filter((argument) => !argument.startsWith('-'))
    .map((path) => resolve(path)),
});
