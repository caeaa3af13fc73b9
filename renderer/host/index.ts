import type { HostApi } from '../../core/bridge/host-api.ts';
import { browserHost } from './browser.ts';
import { desktopHost } from './desktop.ts';

/** The host this window runs under: the desktop's preload where there is one, otherwise the loopback server. */
export const host: HostApi = desktopHost() ?? browserHost();
