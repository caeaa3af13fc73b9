import { randomBytes } from 'node:crypto';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { type BridgeMessage, decodeMessage, encodeMessage, TOKEN_FRAGMENT } from '../../core/bridge/codec.ts';
import type { Host } from '../services/host.ts';
import { readWindowFile, WINDOW_HEADERS } from '../services/window-files.ts';
import { type Guarded, isBridge, refuse } from './guard.ts';

/** A season's plan with its yield points fits; nothing larger is read into memory. */
const MOST_BODY_BYTES = 256 * 1024 * 1024;
const SLOWEST_REQUEST_MS = 60_000;

export interface ServeOptions {
  readonly host: Host;
  /** Folder of the built window. */
  readonly window: string;
  readonly mostBody_bytes?: number;
}

export interface Served {
  /** Address with the token of this run in its fragment, which no request carries. */
  readonly address: string;
  readonly origin: string;
  readonly token: string;
  close(): Promise<void>;
}

/** The window over a loopback port that the system chooses: its files, and `POST /bridge` for whoever holds the token. */
export async function serveWindow(options: ServeOptions): Promise<Served> {
  const token = randomBytes(32).toString('hex');
  const most_bytes = options.mostBody_bytes ?? MOST_BODY_BYTES;
  const server = createServer({ requestTimeout: SLOWEST_REQUEST_MS, headersTimeout: 10_000 });
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(0, '127.0.0.1', resolve);
  });
  // A TCP server's address is an object; only a pipe's is a string.
  const { port } = server.address() as AddressInfo;
  const guarded: Guarded = { host: `127.0.0.1:${port}`, token };

  server.on('request', (request, response) => {
    answer(request, response, options, guarded, most_bytes).catch(() => {
      if (!response.headersSent) send(response, 500, 'the request could not be answered');
      else response.destroy();
    });
  });
  // Neither tunnels nor upgrades have a use here.
  server.on('connect', (_request, socket) => socket.destroy());
  server.on('upgrade', (_request, socket) => socket.destroy());

  const origin = `http://${guarded.host}`;
  return {
    address: `${origin}/#${TOKEN_FRAGMENT}=${token}`,
    origin,
    token,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

async function answer(
  request: IncomingMessage,
  response: ServerResponse,
  options: ServeOptions,
  guarded: Guarded,
  most_bytes: number,
): Promise<void> {
  const refused = refuse(request, guarded, most_bytes);
  if (refused) {
    // What is still to come of a refused body is not read.
    response.setHeader('connection', 'close');
    return send(response, refused.status, refused.why);
  }
  if (isBridge(request)) return await answerCall(request, response, options.host, most_bytes);
  const base = `http://${guarded.host}`;
  const address = URL.canParse(request.url ?? '', base) ? new URL(request.url ?? '', base) : null;
  const file = address === null ? null : await readWindowFile(options.window, address.pathname);
  if (file === null) return send(response, 404, 'there is no such file');
  response.writeHead(200, {
    ...WINDOW_HEADERS,
    'content-type': file.type,
    'content-length': file.bytes.length,
    'cache-control': 'no-cache',
  });
  response.end(request.method === 'HEAD' ? undefined : file.bytes);
}

async function answerCall(
  request: IncomingMessage,
  response: ServerResponse,
  host: Host,
  most_bytes: number,
): Promise<void> {
  const body = await readBody(request, most_bytes);
  if (body === null) {
    response.setHeader('connection', 'close');
    return send(response, 413, 'too large');
  }
  const message = readMessage(body);
  if (message === null) return send(response, 400, 'not a call');
  const text = Buffer.from(encodeMessage(await host.call(message.name, message.args)));
  response.writeHead(200, {
    'content-type': 'application/json',
    'content-length': text.length,
    'cache-control': 'no-store',
    'x-content-type-options': 'nosniff',
  });
  response.end(text);
}

/** The body as text, or null as soon as it is larger than it may be, whatever its head said. */
async function readBody(request: IncomingMessage, most_bytes: number): Promise<string | null> {
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of request as AsyncIterable<Buffer>) {
    size += chunk.length;
    if (size > most_bytes) return null;
    chunks.push(chunk);
  }
  return Buffer.concat(chunks).toString('utf8');
}

function readMessage(body: string): BridgeMessage | null {
  try {
    const message = decodeMessage(body);
    if (typeof message !== 'object' || message === null || !('name' in message) || !('args' in message)) return null;
    return typeof message.name === 'string' ? { name: message.name, args: message.args } : null;
  } catch {
    return null;
  }
}

function send(response: ServerResponse, status: number, why: string): void {
  response.writeHead(status, {
    'content-type': 'text/plain; charset=utf-8',
    'cache-control': 'no-store',
    'x-content-type-options': 'nosniff',
  });
  response.end(`${why}\n`);
}
