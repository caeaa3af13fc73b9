import { type BrowserWindow, type IpcMainInvokeEvent, ipcMain } from 'electron';
import type { Host } from '../services/host.ts';
import { CALL_CHANNEL } from './names.ts';
import { isOwnAddress } from './window.ts';

/** The one way in: a call from the main frame of the program's own window, handed to the dispatcher as it came. */
export function serveCalls(host: Host, window: () => BrowserWindow | null): void {
  ipcMain.handle(CALL_CHANNEL, (event, name: unknown, args: unknown) => {
    if (!isOwnFrame(event, window())) throw new Error('This frame may not call the program.');
    return host.call(name, args);
  });
}

function isOwnFrame(event: IpcMainInvokeEvent, window: BrowserWindow | null): boolean {
  if (window === null || event.sender !== window.webContents) return false;
  const frame = event.senderFrame;
  return frame !== null && frame === window.webContents.mainFrame && isOwnAddress(frame.url);
}
