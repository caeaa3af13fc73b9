import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { startDesktop } from '../../app/electron/desktop.ts';
import { CALL_CHANNEL, WINDOW_ADDRESS } from '../../app/electron/names.ts';
import { registerScheme, serveScheme } from '../../app/electron/protocol.ts';
import { openWindow } from '../../app/electron/window.ts';
import { createPlanStore } from '../../app/services/plan-store.ts';
import { CONTENT_SECURITY_POLICY } from '../../app/services/window-files.ts';
import { app, contextBridge, ipcMain, RuleBroken, session, standIn } from './electron-stand-in.ts';
import { planWith, tempFolder } from './helpers.ts';
import { loadPreload, startDesktopForTest } from './transports.ts';

async function places() {
  const home = await tempFolder();
  const window = join(home, 'renderer');
  await mkdir(window);
  await writeFile(join(window, 'index.html'), '<!doctype html>');
  await writeFile(join(home, 'secret.json'), '{}');
  return { home, window, store: createPlanStore({ home, sampleFields: null }) };
}

async function planFolder(name: string): Promise<string> {
  const folder = await tempFolder();
  await writeFile(join(folder, 'plan.json'), planWith(name, {}).text);
  return folder;
}

const mainWindow = () => {
  const window = standIn.state.windows[0];
  if (!window) throw new Error('there is no window');
  return window;
};

describe('the stand-in holds to the order that Electron wants', () => {
  it('takes schemes before ready only', async () => {
    standIn.reset();
    await standIn.ready();
    expect(registerScheme).toThrow(RuleBroken);
  });

  it('takes windows, sessions and scheme handlers after ready only', () => {
    standIn.reset();
    expect(() => openWindow('/preload.cjs', () => undefined)).toThrow(RuleBroken);
    expect(() => session.defaultSession).toThrow(RuleBroken);
    expect(() => serveScheme('/')).toThrow(RuleBroken);
  });

  it('takes one handler a channel, and gives a preload and the main process their own parts', async () => {
    standIn.reset();
    ipcMain.handle('a', () => 1);
    expect(() => ipcMain.handle('a', () => 2)).toThrow(RuleBroken);
    expect(() => contextBridge.exposeInMainWorld('a', {})).toThrow(RuleBroken);
    await expect(standIn.asPreload(async () => ipcMain.handle('b', () => 1))).rejects.toThrow(RuleBroken);
  });
});

describe('the window', () => {
  it('is isolated, sandboxed and without Node, and shows the program by its own scheme', async () => {
    const { store, window } = await places();
    await startDesktopForTest(store, window, []);
    expect(standIn.state.windows).toHaveLength(1);
    expect(mainWindow().options.webPreferences).toMatchObject({
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      webSecurity: true,
      allowRunningInsecureContent: false,
      webviewTag: false,
    });
    expect(mainWindow().webContents.mainFrame.url).toBe('app://pearlash/');
    mainWindow().emit('ready-to-show');
    expect(mainWindow().shown).toBe(true);
  });

  it.each(['will-navigate', 'will-frame-navigate', 'will-redirect'])('goes nowhere else on %s', async (kind) => {
    const { store, window } = await places();
    await startDesktopForTest(store, window, []);
    const prevented = (url: string): boolean => {
      let stopped = false;
      mainWindow().webContents.emit(kind, {
        url,
        preventDefault: () => {
          stopped = true;
        },
      });
      return stopped;
    };
    for (const url of [
      'https://farm.example/',
      'file:///etc/passwd',
      'app://other/',
      'app://pearlash.farm.example/',
      'data:text/html,x',
    ]) {
      expect(prevented(url)).toBe(true);
    }
    expect(prevented(WINDOW_ADDRESS)).toBe(false);
  });

  it('opens no other window, holds no webview, is granted no permission', async () => {
    const { store, window } = await places();
    await startDesktopForTest(store, window, []);
    expect(mainWindow().webContents.openHandler?.({ url: WINDOW_ADDRESS })).toEqual({ action: 'deny' });
    let prevented = false;
    mainWindow().webContents.emit('will-attach-webview', {
      preventDefault: () => {
        prevented = true;
      },
    });
    expect(prevented).toBe(true);
    const answers: boolean[] = [];
    const { request, check, device } = standIn.state.permissions;
    // The stand-in keeps the handlers as they came; these are their shapes in Electron.
    (request as (contents: null, kind: string, answer: (may: boolean) => void) => void)(null, 'geolocation', (may) =>
      answers.push(may),
    );
    answers.push((check as () => boolean)(), (device as () => boolean)());
    expect(answers).toEqual([false, false, false]);
  });
});

describe('the app scheme', () => {
  it('is standard and secure, and serves the window under its policy', async () => {
    const { store, window } = await places();
    await startDesktopForTest(store, window, []);
    expect(standIn.state.schemes.get('app')).toEqual({
      standard: true,
      secure: true,
      supportFetchAPI: true,
      stream: true,
    });
    const page = await standIn.load(WINDOW_ADDRESS);
    expect(await page.text()).toBe('<!doctype html>');
    expect(page.headers.get('content-type')).toBe('text/html; charset=utf-8');
    expect(page.headers.get('content-security-policy')).toBe(CONTENT_SECURITY_POLICY);
  });

  it.each([
    'app://pearlash/../secret.json',
    'app://pearlash/..%2fsecret.json',
    'app://pearlash/%2e%2e%2fsecret.json',
    'app://pearlash/nothing.js',
    'app://other/index.html',
  ])('%s is not there', async (url) => {
    const { store, window } = await places();
    await startDesktopForTest(store, window, []);
    expect((await standIn.load(url)).status).toBe(404);
  });

  it('answers GET only', async () => {
    const { store, window } = await places();
    await startDesktopForTest(store, window, []);
    expect((await standIn.load(WINDOW_ADDRESS, 'POST')).status).toBe(405);
  });
});

describe('calls', () => {
  it('come from the main frame of the own window only', async () => {
    const { store, window } = await places();
    await startDesktopForTest(store, window, []);
    const { webContents } = mainWindow();
    const call = (event: unknown) => standIn.invokeFrom(CALL_CHANNEL, event, 'listPlans', {});
    await expect(call({ sender: webContents, senderFrame: webContents.mainFrame })).resolves.toMatchObject({
      ok: true,
      value: { plans: [] },
    });
    await expect(call({ sender: webContents, senderFrame: { url: WINDOW_ADDRESS } })).rejects.toThrow();
    await expect(call({ sender: webContents, senderFrame: null })).rejects.toThrow();
    await expect(call({ sender: {}, senderFrame: webContents.mainFrame })).rejects.toThrow();
    webContents.mainFrame.url = 'https://farm.example/';
    await expect(call({ sender: webContents, senderFrame: webContents.mainFrame })).rejects.toThrow();
  });

  it('the preload puts exactly one object with two functions into the window', async () => {
    const { store, window } = await places();
    await startDesktopForTest(store, window, []);
    expect([...standIn.state.exposed.keys()]).toEqual(['pearlash']);
    expect(Object.keys(standIn.state.exposed.get('pearlash') ?? {}).sort()).toEqual(['call', 'onOpen']);
  });
});

describe('plans that come in', () => {
  const start = async (paths: readonly string[]) => {
    const { store, window } = await places();
    const api = await startDesktopForTest(store, window, paths);
    const about = () => standIn.asPreload(() => api.call('about', {}));
    return { api, about };
  };

  it('by the command line are there at the start', async () => {
    const { api, about } = await start([await planFolder('North')]);
    const { openAtStart } = await about();
    const opened = await standIn.asPreload(() => api.call('openPlan', { planId: openAtStart ?? '' }));
    expect(opened).toMatchObject({ ok: true, value: { plan: expect.stringContaining('"North"') } });
  });

  it('by a second start go to the window that is open', async () => {
    const { api, about } = await start([]);
    await about();
    const heard: string[] = [];
    await standIn.asPreload(async () => api.onOpen((planId) => heard.push(planId)));
    app.emit('second-instance', {}, [], '/', { paths: [await planFolder('South')] });
    await expect.poll(() => heard).toHaveLength(1);
    expect(mainWindow().focused).toBe(true);
  });

  it('by the system before the window listens wait for it', async () => {
    const { api, about } = await start([]);
    await about();
    let prevented = false;
    app.emit(
      'open-file',
      {
        preventDefault: () => {
          prevented = true;
        },
      },
      await planFolder('West'),
    );
    expect(prevented).toBe(true);
    await new Promise((resolve) => setTimeout(resolve, 100));
    const heard: string[] = [];
    const stop = await standIn.asPreload(async () => api.onOpen((planId) => heard.push(planId)));
    expect(heard).toHaveLength(1);
    stop();
    app.emit('open-file', { preventDefault: () => undefined }, await planFolder('East'));
    await new Promise((resolve) => setTimeout(resolve, 100));
    expect(heard).toHaveLength(1);
  });

  it('by the system before the app is ready are there at the start', async () => {
    standIn.reset();
    const { store, window } = await places();
    const started = startDesktop({ store, window, preload: '/preload.cjs', paths: [], onFault: () => undefined });
    app.emit('open-file', { preventDefault: () => undefined }, await planFolder('Early'));
    await standIn.ready();
    await started;
    const api = await loadPreload();
    expect((await standIn.asPreload(() => api.call('about', {}))).openAtStart).not.toBeNull();
  });

  it('that cannot be opened are told in words', async () => {
    await start([join(await tempFolder(), 'nothing.pearlash')]);
    expect(standIn.state.errorBoxes).toHaveLength(1);
    expect(standIn.state.errorBoxes[0]?.content).toContain('nothing.pearlash');
  });

  it('a second start hands its plan over and ends', async () => {
    standIn.reset();
    standIn.state.hasLock = false;
    const { store, window } = await places();
    await startDesktop({ store, window, preload: '/preload.cjs', paths: [], onFault: () => undefined });
    expect(standIn.state.quit).toBe(true);
    expect(standIn.state.windows).toEqual([]);
  });
});
