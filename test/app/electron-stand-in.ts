/**
 * A stand-in for Electron that holds the program to Electron's own rules of order and place, which a machine without its
 * runtime cannot teach: schemes before ready, windows, sessions and protocol handlers after it; one handler a channel;
 * what crosses IPC is cloned, and an error keeps only its message. A broken rule throws.
 */
import { EventEmitter } from 'node:events';

export class RuleBroken extends Error {}

type Handler = (event: unknown, ...args: unknown[]) => unknown;
type SchemeHandler = (request: Request) => Response | Promise<Response>;

interface State {
  side: 'main' | 'preload';
  ready: boolean;
  packaged: boolean;
  hasLock: boolean;
  quit: boolean;
  schemes: Map<string, Record<string, boolean>>;
  schemeHandlers: Map<string, SchemeHandler>;
  calls: Map<string, Handler>;
  windows: BrowserWindow[];
  /** What each window was made with, those that went included. */
  made: unknown[];
  exposed: Map<string, unknown>;
  errorBoxes: { title: string; content: string }[];
  menu: unknown;
  printed: { url: string; options: Record<string, unknown> }[];
  permissions: { request: unknown; check: unknown; device: unknown };
}

const fresh = (): State => ({
  side: 'main',
  ready: false,
  packaged: false,
  hasLock: true,
  quit: false,
  schemes: new Map(),
  schemeHandlers: new Map(),
  calls: new Map(),
  windows: [],
  made: [],
  exposed: new Map(),
  errorBoxes: [],
  menu: null,
  printed: [],
  permissions: { request: null, check: null, device: null },
});

let state = fresh();
let becomeReady: () => void = () => undefined;
let whenReady: Promise<void> = Promise.resolve();

function rule(holds: boolean, text: string): void {
  if (!holds) throw new RuleBroken(text);
}
const onMain = (what: string) => rule(state.side === 'main', `${what} is not there in a preload`);
const afterReady = (what: string) => {
  onMain(what);
  rule(state.ready, `${what} can only be used after the app is ready`);
};
const beforeReady = (what: string) => {
  onMain(what);
  rule(!state.ready, `${what} can only be used before the app is ready`);
};

class App extends EventEmitter {
  get isPackaged(): boolean {
    return state.packaged;
  }
  enableSandbox(): void {
    beforeReady('app.enableSandbox');
  }
  requestSingleInstanceLock(data?: unknown): boolean {
    onMain('app.requestSingleInstanceLock');
    structuredClone(data);
    return state.hasLock;
  }
  whenReady(): Promise<void> {
    onMain('app.whenReady');
    return whenReady;
  }
  getVersion(): string {
    return '0.0.0-test';
  }
  quit(): void {
    state.quit = true;
  }
}
export const app = new App();

export const protocol = {
  registerSchemesAsPrivileged(schemes: { scheme: string; privileges: Record<string, boolean> }[]): void {
    beforeReady('protocol.registerSchemesAsPrivileged');
    rule(state.schemes.size === 0, 'protocol.registerSchemesAsPrivileged can be used once');
    for (const { scheme, privileges } of schemes) state.schemes.set(scheme, privileges);
  },
  handle(scheme: string, handler: SchemeHandler): void {
    afterReady('protocol.handle');
    rule(state.schemes.has(scheme), `the scheme ${scheme} was not registered before ready`);
    rule(!state.schemeHandlers.has(scheme), `the scheme ${scheme} has a handler`);
    state.schemeHandlers.set(scheme, handler);
  },
};

export const ipcMain = {
  handle(channel: string, handler: Handler): void {
    onMain('ipcMain.handle');
    rule(!state.calls.has(channel), `Attempted to register a second handler for '${channel}'`);
    state.calls.set(channel, handler);
  },
};

const fromMain = new EventEmitter();

export const ipcRenderer = {
  async invoke(channel: string, ...args: unknown[]): Promise<unknown> {
    rule(state.side === 'preload', 'ipcRenderer is not there in the main process');
    const window = state.windows.at(-1);
    rule(window !== undefined, 'there is no window');
    return window
      ? await invoke(channel, { sender: window.webContents, senderFrame: window.webContents.mainFrame }, args)
      : null;
  },
  on(channel: string, listener: (event: unknown, ...args: unknown[]) => void): void {
    rule(state.side === 'preload', 'ipcRenderer is not there in the main process');
    fromMain.on(channel, listener);
  },
};

/** What Electron does between `invoke` and its handler. */
async function invoke(channel: string, event: unknown, args: unknown[]): Promise<unknown> {
  const handler = state.calls.get(channel);
  if (!handler) throw new Error(`No handler registered for '${channel}'`);
  const side = state.side;
  state.side = 'main';
  try {
    return structuredClone(await handler(event, ...structuredClone(args)));
  } catch (error) {
    throw new Error(`Error invoking remote method '${channel}': ${String(error)}`);
  } finally {
    state.side = side;
  }
}

export const contextBridge = {
  exposeInMainWorld(name: string, api: unknown): void {
    rule(state.side === 'preload', 'contextBridge is not there in the main process');
    rule(!state.exposed.has(name), `Cannot bind an API on top of an existing property: ${name}`);
    state.exposed.set(name, api);
  },
};

export const session = {
  get defaultSession() {
    afterReady('session.defaultSession');
    return {
      setPermissionRequestHandler: (handler: unknown) => {
        state.permissions.request = handler;
      },
      setPermissionCheckHandler: (handler: unknown) => {
        state.permissions.check = handler;
      },
      setDevicePermissionHandler: (handler: unknown) => {
        state.permissions.device = handler;
      },
    };
  },
};

class WebContents extends EventEmitter {
  readonly mainFrame = { url: '' };
  /** Only what has loaded can be printed. */
  async printToPDF(options: Record<string, unknown>): Promise<Uint8Array> {
    rule(this.mainFrame.url !== '', 'printToPDF has nothing to print before a page is loaded');
    state.printed.push({ url: this.mainFrame.url, options: structuredClone(options) });
    return new TextEncoder().encode('%PDF-1.4 stand-in');
  }
  openHandler: ((details: { url: string }) => { action: string }) | null = null;
  setWindowOpenHandler(handler: (details: { url: string }) => { action: string }): void {
    this.openHandler = handler;
  }
  send(channel: string, ...args: unknown[]): void {
    fromMain.emit(channel, {}, ...structuredClone(args));
  }
}

export class BrowserWindow extends EventEmitter {
  readonly webContents = new WebContents();
  readonly options: { webPreferences?: Record<string, unknown>; show?: boolean };
  shown: boolean;
  focused = false;
  constructor(options: { webPreferences?: Record<string, unknown>; show?: boolean } = {}) {
    super();
    afterReady('new BrowserWindow');
    this.options = options;
    this.shown = options.show !== false;
    state.windows.push(this);
    state.made.push(options);
  }
  async loadURL(url: string): Promise<void> {
    this.webContents.mainFrame.url = url;
  }
  async loadFile(path: string): Promise<void> {
    this.webContents.mainFrame.url = `file://${path}`;
  }
  destroy(): void {
    state.windows = state.windows.filter((window) => window !== this);
    this.emit('closed');
  }
  show(): void {
    this.shown = true;
  }
  isMinimized(): boolean {
    return false;
  }
  restore(): void {}
  focus(): void {
    this.focused = true;
  }
}

export const Menu = {
  buildFromTemplate: (template: unknown): unknown => template,
  setApplicationMenu(menu: unknown): void {
    onMain('Menu.setApplicationMenu');
    state.menu = menu;
  },
};

export const dialog = {
  showErrorBox(title: string, content: string): void {
    onMain('dialog.showErrorBox');
    state.errorBoxes.push({ title, content });
  },
};

/** What a test does in place of the system and of Electron itself. */
export const standIn = {
  reset(): void {
    state = fresh();
    app.removeAllListeners();
    fromMain.removeAllListeners();
    whenReady = new Promise((resolve) => {
      becomeReady = resolve;
    });
  },
  get state(): State {
    return state;
  },
  /** Electron gets ready, once everything that was asked for so far has run. */
  async ready(): Promise<void> {
    state.ready = true;
    becomeReady();
    await whenReady;
  },
  /** Runs a preload's code as one. */
  async asPreload<T>(work: () => Promise<T>): Promise<T> {
    state.side = 'preload';
    try {
      return await work();
    } finally {
      state.side = 'main';
    }
  },
  /** A call as the renderer of some frame would make it. */
  invokeFrom: (channel: string, event: unknown, ...args: unknown[]): Promise<unknown> => invoke(channel, event, args),
  /** Loads an address as the window would. */
  async load(url: string, method = 'GET'): Promise<Response> {
    const handler = state.schemeHandlers.get(url.slice(0, url.indexOf(':')));
    if (!handler) throw new Error(`ERR_UNKNOWN_URL_SCHEME ${url}`);
    return await handler(new Request(url, { method }));
  },
};
standIn.reset();
