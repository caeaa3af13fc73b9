import { startDesktop } from '../../app/electron/desktop.ts';
import { exposeHost } from '../../app/electron/expose.ts';
import { createHost } from '../../app/services/host.ts';
import type { PlanStore } from '../../app/services/plan-store.ts';
import { serveWindow } from '../../app/web/serve.ts';
import { BRIDGE_PATH, decodeMessage, encodeMessage, TOKEN_HEADER } from '../../core/bridge/codec.ts';
import type { HostApi } from '../../core/bridge/host-api.ts';
import { standIn } from './electron-stand-in.ts';

/** A call as it comes out of a window, which may be of another version or not ours at all. */
export type RawCall = (name: string, args: unknown) => Promise<unknown>;

export interface Transport {
  readonly host: 'desktop' | 'browser';
  readonly call: RawCall;
  close(): Promise<void>;
}

export const TRANSPORTS: Readonly<Record<string, (store: PlanStore, window: string) => Promise<Transport>>> = {
  memory: async (store) => {
    const host = createHost(portsOf(store));
    return { host: 'browser', call: host.call, close: async () => undefined };
  },
  HTTP: async (store, window) => {
    const served = await serveWindow({ window, host: createHost(portsOf(store)) });
    const call: RawCall = async (name, args) => {
      const response = await fetch(served.origin + BRIDGE_PATH, {
        method: 'POST',
        headers: { 'content-type': 'application/json', origin: served.origin, [TOKEN_HEADER]: served.token },
        body: encodeMessage({ name, args }),
      });
      if (!response.ok) throw new Error(`${response.status} ${await response.text()}`);
      return decodeMessage(await response.text());
    };
    return { host: 'browser', call, close: served.close };
  },
  IPC: async (store, window) => {
    const api = await startDesktopForTest(store, window, []);
    // The preload takes the contract's calls; what a window of another version sends is anything.
    const call: RawCall = (name, args) => standIn.asPreload(() => (api.call as unknown as RawCall)(name, args));
    return { host: 'desktop', call, close: async () => undefined };
  },
};

const portsOf = (store: PlanStore) => ({
  host: 'browser' as const,
  version: '0.0.0-test',
  store,
  openAtStart: () => null,
  onFault: () => undefined,
});

/** The desktop program and its preload on the stand-in; answers what the preload put into the window. */
export async function startDesktopForTest(
  store: PlanStore,
  window: string,
  paths: readonly string[],
): Promise<HostApi> {
  standIn.reset();
  const started = startDesktop({ store, window, preload: '/preload.cjs', paths, onFault: () => undefined });
  await standIn.ready();
  await started;
  return await loadPreload();
}

/** Runs the preload as a window does when it loads. */
export async function loadPreload(): Promise<HostApi> {
  await standIn.asPreload(async () => exposeHost());
  return standIn.state.exposed.get('pearlash') as HostApi; // the preload satisfies it; the compiler checked that there
}
