import { decodeText, encodeUtf8 } from '../base/text.ts';

const DIGITS = encodeUtf8('ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/');
const PAD = 61;
/** Value of a digit by its code; 64 and up for what is none. */
const VALUES = new Uint8Array(256).fill(255);
DIGITS.forEach((digit, value) => {
  VALUES[digit] = value;
});

/** Base64 with padding (RFC 4648, section 4). Linear. */
export function toBase64(bytes: Uint8Array): string {
  const length = bytes.length;
  const text = new Uint8Array(Math.ceil(length / 3) * 4);
  const whole = length - (length % 3);
  let to = 0;
  for (let from = 0; from < whole; from += 3) {
    const three = (bytes[from]! << 16) | (bytes[from + 1]! << 8) | bytes[from + 2]!;
    text[to] = DIGITS[three >> 18]!;
    text[to + 1] = DIGITS[(three >> 12) & 63]!;
    text[to + 2] = DIGITS[(three >> 6) & 63]!;
    text[to + 3] = DIGITS[three & 63]!;
    to += 4;
  }
  if (whole < length) {
    const two = length - whole === 2;
    const three = (bytes[whole]! << 16) | (two ? bytes[whole + 1]! << 8 : 0);
    text[to] = DIGITS[three >> 18]!;
    text[to + 1] = DIGITS[(three >> 12) & 63]!;
    text[to + 2] = two ? DIGITS[(three >> 6) & 63]! : PAD;
    text[to + 3] = PAD;
  }
  return decodeText(text);
}

/** Bytes of padded base64. Throws SyntaxError on a foreign letter, a wrong length or bits left over. Linear. */
export function fromBase64(text: string): Uint8Array {
  const letters = encodeUtf8(text);
  const length = letters.length;
  if (length % 4 !== 0) throw new SyntaxError('Base64 text must come in groups of four letters.');
  const pad = length === 0 || letters[length - 1] !== PAD ? 0 : letters[length - 2] === PAD ? 2 : 1;
  const bytes = new Uint8Array((length / 4) * 3 - pad);
  const whole = pad === 0 ? length : length - 4;
  // Values are below 64, so anything above in the union of all of them is a letter that is none of base64's.
  let seen = 0;
  let to = 0;
  for (let from = 0; from < whole; from += 4) {
    const a = VALUES[letters[from]!]!;
    const b = VALUES[letters[from + 1]!]!;
    const c = VALUES[letters[from + 2]!]!;
    const d = VALUES[letters[from + 3]!]!;
    seen |= a | b | c | d;
    const three = (a << 18) | (b << 12) | (c << 6) | d;
    bytes[to] = three >> 16;
    bytes[to + 1] = three >> 8;
    bytes[to + 2] = three;
    to += 3;
  }
  if (pad > 0) {
    const a = VALUES[letters[whole]!]!;
    const b = VALUES[letters[whole + 1]!]!;
    const c = pad === 1 ? VALUES[letters[whole + 2]!]! : 0;
    seen |= a | b | c;
    const three = (a << 18) | (b << 12) | (c << 6);
    bytes[to] = three >> 16;
    if (pad === 1) bytes[to + 1] = three >> 8;
    if ((three & (pad === 1 ? 0xff : 0xffff)) !== 0) throw new SyntaxError('Base64 text has bits left over.');
  }
  if (seen > 63) throw new SyntaxError('Base64 text holds a letter that is none of its own.');
  return bytes;
}
