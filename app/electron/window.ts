import { BrowserWindow, session } from 'electron';
import { WINDOW_ADDRESS, WINDOW_ORIGIN } from './names.ts';

/** The one window: it can show the program's own files and ask the host, nothing more. */
export function openWindow(preload: string, onFault: (error: unknown) => void): BrowserWindow {
  const window = new BrowserWindow({
    title: 'Pearlash',
    width: 1440,
    height: 900,
    minWidth: 1024,
    minHeight: 700,
    show: false,
    webPreferences: {
      preload,
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      webSecurity: true,
      allowRunningInsecureContent: false,
      webviewTag: false,
      spellcheck: false,
    },
  });
  const { webContents } = window;
  webContents.setWindowOpenHandler(() => ({ action: 'deny' }));
  webContents.on('will-navigate', keepHome);
  webContents.on('will-frame-navigate', keepHome);
  webContents.on('will-redirect', keepHome);
  webContents.on('will-attach-webview', (event) => event.preventDefault());
  window.once('ready-to-show', () => window.show());
  window.loadURL(WINDOW_ADDRESS).catch(onFault);
  return window;
}

/** No page of ours needs a camera, a place or a device: every asking is denied, and so is every look whether it may. */
export function denyPermissions(): void {
  session.defaultSession.setPermissionRequestHandler((_contents, _permission, answer) => answer(false));
  session.defaultSession.setPermissionCheckHandler(() => false);
  session.defaultSession.setDevicePermissionHandler(() => false);
}

function keepHome(event: { readonly url: string; preventDefault(): void }): void {
  if (!isOwnAddress(event.url)) event.preventDefault();
}

/** True for the window's own pages. */
export const isOwnAddress = (address: string): boolean =>
  address === WINDOW_ORIGIN || address.startsWith(WINDOW_ADDRESS);
