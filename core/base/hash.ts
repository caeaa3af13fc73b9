import { sha256 } from '@noble/hashes/sha2.js';
import { encodeUtf8 } from './text.ts';

/** SHA-256 of bytes or of a text's UTF-8, as 64 lower-case hex digits (FIPS 180-4). */
export function sha256Hex(data: Uint8Array | string): string {
  const digest = sha256(typeof data === 'string' ? encodeUtf8(data) : data);
  let hex = '';
  for (const byte of digest) hex += byte.toString(16).padStart(2, '0');
  return hex;
}
