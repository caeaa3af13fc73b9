import { fromBase64, toBase64 } from './base64.kernel.ts';

/**
 * The browser host's wire, known to both of its ends: the address of the bridge, and where the token of this run travels.
 * The host prints an address ending in `#token=...`; the window sends the token with every call.
 */
export const BRIDGE_PATH = '/bridge';
export const TOKEN_HEADER = 'x-pearlash-token';
export const TOKEN_FRAGMENT = 'token';

/** What one call carries: `encodeMessage({ name, args })`. */
export interface BridgeMessage {
  readonly name: string;
  readonly args: unknown;
}

const BYTES = '$bytes';
const PLAIN = '$plain';

/**
 * JSON text of a value in which bytes travel as `{"$bytes": "<base64>"}`.
 *
 * An object of one's own that has a `$bytes` or `$plain` member is wrapped as `{"$plain": {...}}`, so every value comes
 * back as it went in. Members that are undefined are left out, as JSON does. Throws TypeError on what JSON has no
 * word for (NaN, infinity, functions, big integers): that is a mistake in the program. Linear in the size of the value.
 */
export function encodeMessage(value: unknown): string {
  return JSON.stringify(tagged(value));
}

/** The value that `encodeMessage` wrote. Throws SyntaxError where the text is not of its making. */
export function decodeMessage(text: string): unknown {
  return untagged(JSON.parse(text));
}

function tagged(value: unknown): unknown {
  if (value instanceof Uint8Array) return { [BYTES]: toBase64(value) };
  if (value === null || value === undefined) return value;
  if (Array.isArray(value)) return value.map(tagged);
  if (typeof value === 'object') {
    const members = Object.entries(value).map(([key, member]) => [key, tagged(member)] as const);
    const plain = Object.fromEntries(members);
    return BYTES in plain || PLAIN in plain ? { [PLAIN]: plain } : plain;
  }
  if (typeof value === 'string' || typeof value === 'boolean') return value;
  if (typeof value === 'number' && Number.isFinite(value)) return value;
  throw new TypeError(`A message cannot carry ${String(value)}.`);
}

function untagged(value: unknown): unknown {
  if (value === null || typeof value !== 'object') return value;
  if (Array.isArray(value)) return value.map(untagged);
  const members = Object.entries(value);
  const only = members.length === 1 ? members[0] : undefined;
  if (only?.[0] === BYTES) {
    if (typeof only[1] !== 'string') throw new SyntaxError('Bytes in a message must be base64 text.');
    return fromBase64(only[1]);
  }
  if (only?.[0] !== PLAIN) return mapMembers(members);
  if (typeof only[1] !== 'object' || only[1] === null) throw new SyntaxError('A wrapped object must be an object.');
  return mapMembers(Object.entries(only[1]));
}

const mapMembers = (members: readonly (readonly [string, unknown])[]): unknown =>
  Object.fromEntries(members.map(([key, member]) => [key, untagged(member)] as const));
