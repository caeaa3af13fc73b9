import { protocol } from 'electron';
import { readWindowFile, WINDOW_HEADERS } from '../services/window-files.ts';
import { SCHEME, WINDOW_ORIGIN } from './names.ts';

/** Makes app:// a standard, secure scheme. Electron takes this only before it is ready. */
export function registerScheme(): void {
  protocol.registerSchemesAsPrivileged([
    { scheme: SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
  ]);
}

/** Serves the built window, and nothing else, over app://. */
export function serveScheme(windowFolder: string): void {
  protocol.handle(SCHEME, async (request) => {
    const address = new URL(request.url);
    // The origin of a scheme that only Electron knows as standard reads as null here: its parts are compared.
    if (`${address.protocol}//${address.host}` !== WINDOW_ORIGIN) return new Response(null, { status: 404 });
    if (request.method !== 'GET') return new Response(null, { status: 405 });
    const file = await readWindowFile(windowFolder, address.pathname);
    if (file === null) return new Response(null, { status: 404, headers: WINDOW_HEADERS });
    return new Response(file.bytes, { headers: { ...WINDOW_HEADERS, 'content-type': file.type } });
  });
}
