import { decodeText, encodeUtf8 } from '../base/text.ts';

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

const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
const DIGITS = encodeUtf8(ALPHABET);
const PAD = 61;
const VALUES = new Uint8Array(256).fill(255);
DIGITS.forEach((digit, value) => {
  VALUES[digit] = value;
});

/** Base64 with padding (RFC 4648, section 4). */
export function toBase64(bytes: Uint8Array): string {
  const text = new Uint8Array(Math.ceil(bytes.length / 3) * 4).fill(PAD);
  const digit = (value: number): number => DIGITS[value & 63] ?? PAD;
  for (let from = 0, to = 0; from < bytes.length; from += 3, to += 4) {
    const left = bytes.length - from;
    const three = ((bytes[from] ?? 0) << 16) | ((bytes[from + 1] ?? 0) << 8) | (bytes[from + 2] ?? 0);
    text[to] = digit(three >> 18);
    text[to + 1] = digit(three >> 12);
    if (left > 1) text[to + 2] = digit(three >> 6);
    if (left > 2) text[to + 3] = digit(three);
  }
  return decodeText(text);
}

/** Bytes of padded base64. Throws SyntaxError on a foreign letter, a wrong length or bits left over. */
export function fromBase64(text: string): Uint8Array {
  const letters = encodeUtf8(text);
  const pad = letters[letters.length - 1] !== PAD ? 0 : letters[letters.length - 2] !== PAD ? 1 : 2;
  const bytes = new Uint8Array(Math.floor((letters.length / 4) * 3) - pad);
  if (letters.length % 4 !== 0) throw new SyntaxError('Base64 text must come in groups of four letters.');
  let seen = 0;
  for (let from = 0, to = 0; from < letters.length; from += 4, to += 3) {
    const padHere = from + 4 === letters.length ? pad : 0;
    const value = (at: number): number => (at >= 4 - padHere ? 0 : (VALUES[letters[from + at] ?? 0] ?? 255));
    const [a, b, c, d] = [value(0), value(1), value(2), value(3)];
    seen |= a | b | c | d;
    const three = (a << 18) | (b << 12) | (c << 6) | d;
    if (padHere > 0 && (three & (padHere === 1 ? 0xff : 0xffff)) !== 0) seen |= 255;
    bytes[to] = three >> 16;
    if (padHere < 2) bytes[to + 1] = three >> 8;
    if (padHere < 1) bytes[to + 2] = three;
  }
  if (seen > 63) throw new SyntaxError('Base64 text holds a letter that is none of its own.');
  return bytes;
}
