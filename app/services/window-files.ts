import { readFile, stat } from 'node:fs/promises';
import { extname } from 'node:path';
import { innerFile } from './inner-path.ts';

/**
 * What the window may load and do, the same under both hosts: its own files, and pictures it made itself. 'wasm-unsafe-eval' lets a WebAssembly module be
 * compiled, which the surfaces' twin in core is, and no text be run as a script.
 */
export const CONTENT_SECURITY_POLICY = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

/** Headers of every answer that carries a file of the window. */
export const WINDOW_HEADERS = {
  'content-security-policy': CONTENT_SECURITY_POLICY,
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
} as const;

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.mjs': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.map': 'application/json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
  '.txt': 'text/plain; charset=utf-8',
};

export interface WindowFile {
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly type: string;
}

/** A file of the built window by the path of its address; null where there is none, or the path is not one of it. */
export async function readWindowFile(root: string, addressPath: string): Promise<WindowFile | null> {
  const path = plainPath(addressPath);
  const type = path === null ? undefined : TYPES[extname(path).toLowerCase()];
  if (path === null || type === undefined) return null;
  const file = await innerFile(root, path);
  return file === null ? null : { bytes: new Uint8Array(await readFile(file)), type };
}

/** True where the window was built. */
export const hasWindow = async (root: string): Promise<boolean> =>
  (await stat(`${root}/index.html`).catch(() => null))?.isFile() ?? false;

function plainPath(addressPath: string): string | null {
  if (addressPath === '/') return 'index.html';
  try {
    return decodeURIComponent(addressPath.slice(1));
  } catch {
    return null;
  }
}
