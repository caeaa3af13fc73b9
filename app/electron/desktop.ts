import { app, type BrowserWindow, dialog } from 'electron';
import { placeText } from '../../core/base/problem.ts';
import { createHost } from '../services/host.ts';
import type { PlanStore } from '../services/plan-store.ts';
import { serveCalls } from './ipc.ts';
import { setMenu } from './menu.ts';
import { OPEN_CHANNEL } from './names.ts';
import { printPdf } from './print.ts';
import { registerScheme, serveScheme } from './protocol.ts';
import { denyPermissions, openWindow } from './window.ts';

export interface DesktopPorts {
  readonly store: PlanStore;
  /** Folder of the built window. */
  readonly window: string;
  /** The bundled preload. */
  readonly preload: string;
  /** Paths that the program was started with, without its own. */
  readonly paths: readonly string[];
  readonly onFault: (error: unknown) => void;
}

/**
 * The desktop program. Everything that Electron takes only before it is ready happens before the first wait; plans that
 * come in by the command line, a double click or a second start all go through `take`.
 */
export async function startDesktop(ports: DesktopPorts): Promise<void> {
  registerScheme();
  app.enableSandbox();
  if (!app.requestSingleInstanceLock({ paths: ports.paths })) {
    app.quit();
    return;
  }
  const { store } = ports;
  let window: BrowserWindow | null = null;
  let openAtStart: string | null = null;
  // The window's first call shows that it can hear; before it, an event would be lost.
  let hears = false;

  const take = async (path: string): Promise<void> => {
    const taken = await store.adopt(path);
    if (!taken.ok) {
      const { message, at, remedy } = taken.problem;
      dialog.showErrorBox(message, [placeText(at), remedy].filter(Boolean).join('\n'));
    } else if (hears && window) window.webContents.send(OPEN_CHANNEL, taken.value.planId);
    else openAtStart = taken.value.planId;
  };
  let inTurn: Promise<void> = Promise.resolve();
  const takeAll = (paths: readonly string[]): Promise<void> => {
    inTurn = inTurn.then(async () => {
      for (const path of paths) await take(path);
    });
    return inTurn;
  };

  // macOS hands over files this way, the first one before the program is ready.
  let early: string[] | null = [];
  app.on('open-file', (event, path) => {
    event.preventDefault();
    if (early) early.push(path);
    else void takeAll([path]);
  });
  app.on('second-instance', (_event, _argv, _folder, data) => {
    if (window?.isMinimized()) window.restore();
    window?.focus();
    void takeAll(pathsOf(data));
  });
  app.on('window-all-closed', () => app.quit());

  await app.whenReady();
  denyPermissions();
  serveScheme(ports.window);
  const host = createHost({
    host: 'desktop',
    version: app.getVersion(),
    store,
    openAtStart: () => {
      hears = true;
      return openAtStart;
    },
    printPdf,
    onFault: ports.onFault,
  });
  serveCalls(host, () => window);
  setMenu();
  const first = [...ports.paths, ...early];
  early = null;
  await takeAll(first);
  window = openWindow(ports.preload, ports.onFault);
  window.on('closed', () => {
    window = null;
    hears = false;
  });
}

function pathsOf(data: unknown): readonly string[] {
  if (typeof data !== 'object' || data === null || !('paths' in data) || !Array.isArray(data.paths)) return [];
  return data.paths.filter((path) => typeof path === 'string');
}
