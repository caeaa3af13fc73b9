import type { Program } from '../program.ts';
import { createHost } from '../services/host.ts';
import type { PlanStore } from '../services/plan-store.ts';
import { type Served, serveWindow } from './serve.ts';

/** Starts the browser host of a program over its plans; it runs until it is closed. */
export const runBrowserHost = (program: Program, store: PlanStore, openAtStart: string | null): Promise<Served> =>
  serveWindow({
    window: program.window,
    host: createHost({
      host: 'browser',
      version: program.version,
      store,
      openAtStart: () => openAtStart,
      onFault: (error) => console.error(error),
    }),
  });
