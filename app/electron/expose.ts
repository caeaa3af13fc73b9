import { contextBridge, ipcRenderer } from 'electron';
import type { HostApi, HostArgs, HostCall } from '../../core/bridge/host-api.ts';
import { CALL_CHANNEL, OPEN_CHANNEL } from './names.ts';

/** Puts the host API, and nothing else, into the window. */
export function exposeHost(): void {
  // A plan can be handed over before the window listens: it waits here.
  let listener: ((planId: string) => void) | null = null;
  let waiting: string[] = [];

  ipcRenderer.on(OPEN_CHANNEL, (_event, planId: string) => {
    if (listener) listener(planId);
    else waiting.push(planId);
  });

  const api = {
    call: <C extends HostCall>(name: C, args: HostArgs<C>) => ipcRenderer.invoke(CALL_CHANNEL, name, args),
    onOpen: (listen: (planId: string) => void) => {
      listener = listen;
      const early = waiting;
      waiting = [];
      for (const planId of early) listen(planId);
      return () => {
        if (listener === listen) listener = null;
      };
    },
  } satisfies HostApi;

  contextBridge.exposeInMainWorld('pearlash', api);
}
