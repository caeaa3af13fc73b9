import { timingSafeEqual } from 'node:crypto';
import type { IncomingMessage } from 'node:http';
import { BRIDGE_PATH, TOKEN_HEADER } from '../../core/bridge/codec.ts';

export interface Guarded {
  /** Exact Host header: `127.0.0.1:<port>`. */
  readonly host: string;
  readonly token: string;
}

/** Why a request is turned away, or null. The status alone goes out. */
export interface Refusal {
  readonly status: 400 | 403 | 404 | 405 | 411 | 413 | 415 | 421;
  readonly why: string;
}

const refusal = (status: Refusal['status'], why: string): Refusal => ({ status, why });

/**
 * Judges a request by its head alone. Any page that a browser shows can send requests to a loopback port: by a name that
 * was made to point at it (the Host header tells), or across origins with a form's content types (token, Origin and JSON
 * only, which together force a preflight that is never answered).
 */
export function refuse(request: IncomingMessage, guarded: Guarded, most_bytes: number): Refusal | null {
  const { headers, method = '' } = request;
  if (headers.host !== guarded.host) return refusal(421, 'the Host header is not this server');
  if (isBridge(request)) return refuseCall(request, guarded, most_bytes);
  if (method !== 'GET' && method !== 'HEAD') return refusal(405, 'only GET and HEAD');
  return null;
}

export const isBridge = (request: IncomingMessage): boolean => request.url === BRIDGE_PATH;

function refuseCall({ headers, method }: IncomingMessage, guarded: Guarded, most_bytes: number): Refusal | null {
  if (method !== 'POST') return refusal(405, 'only POST');
  if (headers.origin !== `http://${guarded.host}`) return refusal(403, 'another origin');
  const site = headers['sec-fetch-site'];
  if (site !== undefined && site !== 'same-origin') return refusal(403, 'another site');
  const given = headers[TOKEN_HEADER];
  if (typeof given !== 'string' || !sameText(given, guarded.token)) return refusal(403, 'no token of this run');
  if (headers['content-type'] !== 'application/json') return refusal(415, 'only application/json');
  if (headers['content-encoding'] !== undefined) return refusal(415, 'no content encoding');
  const length = headers['content-length'];
  if (length === undefined) return refusal(411, 'no length');
  if (Number(length) > most_bytes) return refusal(413, 'too large');
  return null;
}

function sameText(a: string, b: string): boolean {
  const [left, right] = [Buffer.from(a), Buffer.from(b)];
  return left.length === right.length && timingSafeEqual(left, right);
}
