import { mkdir, symlink, writeFile } from 'node:fs/promises';
import { connect } from 'node:net';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { CONTENT_SECURITY_POLICY } from '../../app/services/window-files.ts';
import { type Served, serveWindow } from '../../app/web/serve.ts';
import { BRIDGE_PATH, encodeMessage, TOKEN_HEADER } from '../../core/bridge/codec.ts';
import { tempFolder } from './helpers.ts';

let served: Served | null = null;
let heard: string[] = [];
afterEach(async () => {
  await served?.close();
  served = null;
  heard = [];
});

async function start(): Promise<Served> {
  const root = await tempFolder();
  const window = join(root, 'renderer');
  await mkdir(join(window, 'assets'), { recursive: true });
  await writeFile(join(window, 'index.html'), '<!doctype html>');
  await writeFile(join(window, 'assets', 'map-worker.mjs'), 'export {};');
  await writeFile(join(window, 'assets', 'look.css'), '');
  await writeFile(join(root, 'secret.json'), '{}');
  await symlink(join(root, 'secret.json'), join(window, 'link.json'));
  const call = async (name: unknown): Promise<unknown> => {
    heard.push(String(name));
    return { heard: name };
  };
  served = await serveWindow({ window, host: { call }, mostBody_bytes: 1000 });
  return served;
}

interface Answer {
  readonly status: number;
  readonly head: string;
  readonly body: string;
}

/** A request as it stands on the wire: fetch would not send a foreign Host, and mends paths. */
function raw(to: Served, lines: readonly string[], body = ''): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const socket = connect(Number(new URL(to.origin).port), '127.0.0.1');
    let text = '';
    socket.on('data', (chunk) => {
      text += chunk.toString('latin1');
    });
    socket.on('error', (error) => (text === '' ? reject(error) : undefined));
    socket.on('close', () => {
      const end = text.indexOf('\r\n\r\n');
      resolve({ status: Number(text.slice(9, 12)), head: text.slice(0, end).toLowerCase(), body: text.slice(end + 4) });
    });
    socket.write(`${[...lines, 'Connection: close'].join('\r\n')}\r\n\r\n${body}`);
  });
}

const hostOf = (to: Served): string => to.origin.slice('http://'.length);

/** Head of a good call; each test spoils one line of it. */
const callHead = (to: Served, body: string): Record<string, string> => ({
  Host: hostOf(to),
  Origin: to.origin,
  [TOKEN_HEADER]: to.token,
  'Content-Type': 'application/json',
  'Content-Length': String(Buffer.byteLength(body)),
});
const BODY = encodeMessage({ name: 'about', args: {} });

function post(to: Served, change: Record<string, string | null>, body = BODY): Promise<Answer> {
  const head = Object.entries({ ...callHead(to, body), ...change }).filter(([, value]) => value !== null);
  return raw(to, [`POST ${BRIDGE_PATH} HTTP/1.1`, ...head.map(([name, value]) => `${name}: ${value}`)], body);
}

describe('the bridge', () => {
  it('answers who holds the token of this run, and no cache keeps it', async () => {
    const answer = await post(await start(), {});
    expect(answer.status).toBe(200);
    expect(JSON.parse(answer.body)).toEqual({ heard: 'about' });
    expect(answer.head).toContain('cache-control: no-store');
    expect(answer.head).toContain('x-content-type-options: nosniff');
  });

  const hostile: readonly [string, Record<string, string | null>, number][] = [
    ['a name made to point here', { Host: 'farm.example' }, 421],
    ['a name made to point here, with the port', { Host: 'farm.example:80' }, 421],
    ['localhost by name', { Host: 'localhost' }, 421],
    ['no token', { [TOKEN_HEADER]: null }, 403],
    ['an empty token', { [TOKEN_HEADER]: '' }, 403],
    ['a token of another run', { [TOKEN_HEADER]: '0'.repeat(64) }, 403],
    ['a longer token', { [TOKEN_HEADER]: '0'.repeat(65) }, 403],
    ['another origin', { Origin: 'http://farm.example' }, 403],
    ['another port', { Origin: 'http://127.0.0.1:1' }, 403],
    ['no origin', { Origin: null }, 403],
    ['the origin of a sandboxed frame', { Origin: 'null' }, 403],
    ['another site', { 'Sec-Fetch-Site': 'cross-site' }, 403],
    ['plain text, as a form without preflight sends', { 'Content-Type': 'text/plain' }, 415],
    ['a form', { 'Content-Type': 'application/x-www-form-urlencoded' }, 415],
    ['no content type', { 'Content-Type': null }, 415],
    ['packed content', { 'Content-Encoding': 'gzip' }, 415],
  ];
  it.each(hostile)('turns away %s', async (_what, change, status) => {
    const answer = await post(await start(), change);
    expect(answer.status).toBe(status);
    expect(heard).toEqual([]);
    expect(answer.head).not.toContain('access-control');
  });

  it('turns away a body that is too large before it is read', async () => {
    const to = await start();
    const answer = await post(to, { 'Content-Length': '5000000' }, 'x');
    expect(answer.status).toBe(413);
    const chunked = await post(to, { 'Content-Length': null, 'Transfer-Encoding': 'chunked' }, '1\r\nx\r\n0\r\n\r\n');
    expect(chunked.status).toBe(411);
    expect(heard).toEqual([]);
  });

  it.each(['', '{', '[]', 'null', '{"name":1,"args":{}}', '{"name":"about"}', '{"$bytes":"!"}'])(
    'turns away a body that is no call: %s',
    async (body) => {
      expect((await post(await start(), {}, body)).status).toBe(400);
      expect(heard).toEqual([]);
    },
  );

  it('answers no preflight and no other method', async () => {
    const to = await start();
    for (const method of ['OPTIONS', 'GET', 'PUT']) {
      const answer = await raw(to, [
        `${method} ${BRIDGE_PATH} HTTP/1.1`,
        `Host: ${hostOf(to)}`,
        `Origin: ${to.origin}`,
      ]);
      expect(answer.status).toBe(405);
      expect(answer.head).not.toContain('access-control');
    }
  });

  it('has another token every run, which is not in what it serves', async () => {
    const first = await start();
    const page = await raw(first, ['GET / HTTP/1.1', `Host: ${hostOf(first)}`]);
    expect(page.head + page.body).not.toContain(first.token);
    await first.close();
    expect((await start()).token).not.toBe(first.token);
  });
});

describe('the files of the window', () => {
  const get = (to: Served, path: string) => raw(to, [`GET ${path} HTTP/1.1`, `Host: ${hostOf(to)}`]);

  it.each([
    ['/', 'text/html; charset=utf-8'],
    ['/assets/map-worker.mjs', 'text/javascript; charset=utf-8'],
    ['/assets/look.css', 'text/css; charset=utf-8'],
  ])('%s comes as %s under the policy', async (path, type) => {
    const answer = await get(await start(), path);
    expect(answer.status).toBe(200);
    expect(answer.head).toContain(`content-type: ${type}`);
    expect(answer.head).toContain(`content-security-policy: ${CONTENT_SECURITY_POLICY}`.toLowerCase());
    expect(answer.head).toContain('x-content-type-options: nosniff');
  });

  it.each([
    '/../secret.json',
    '/%2e%2e/secret.json',
    '/..%2fsecret.json',
    '/assets/..%5c..%5csecret.json',
    '/assets/../../secret.json',
    '/link.json',
    '/%00',
    '/%',
    '/assets',
    '/nothing.js',
    '//farm.example/secret.json',
    'http://[',
  ])('%s is not there', async (path) => {
    expect((await get(await start(), path)).status).toBe(404);
  });

  it('are not served under a foreign name, so that no page elsewhere can be made of them', async () => {
    const to = await start();
    expect((await raw(to, ['GET / HTTP/1.1', 'Host: farm.example'])).status).toBe(421);
  });
});

describe('the server', () => {
  it('listens on the loopback address only', async () => {
    const to = await start();
    expect(new URL(to.address).hostname).toBe('127.0.0.1');
    const other = connect(Number(new URL(to.origin).port), '127.0.0.2');
    const reached = await new Promise((resolve) => {
      other.once('connect', () => resolve('connected'));
      other.once('error', () => resolve('refused'));
    });
    other.destroy();
    expect(reached).toBe('refused');
  });

  it('the policy lets in nothing from elsewhere, no inline code, and no text as code', () => {
    const rules = CONTENT_SECURITY_POLICY.split('; ');
    expect(rules).toContain("default-src 'none'");
    expect(rules).toContain("frame-ancestors 'none'");
    const sources = rules.flatMap((one) => one.split(' ').slice(1));
    expect(new Set(sources)).toEqual(new Set(["'none'", "'self'", "'wasm-unsafe-eval'", 'data:', 'blob:']));
    // WebAssembly may be compiled by the window's own scripts; text is never run as one.
    expect(rules).toContain("script-src 'self' 'wasm-unsafe-eval'");
  });
});
