import type { HostApi } from '../../core/bridge/host-api.ts';

declare global {
  interface Window {
    /** Set by the desktop's preload and by nothing else. */
    readonly pearlash?: HostApi;
  }
}

/** The host API that the preload put there, or null in a browser. */
export const desktopHost = (): HostApi | null => window.pearlash ?? null;
