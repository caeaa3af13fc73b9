import { decodeGuessed, decodeText } from '../base/text.ts';

export interface DecodedText {
  readonly text: string;
  /** `UTF-8`, in words for people. */
  readonly encoding: string;
}

/**
 * Text of a table: by its byte-order mark, else UTF-16 where every second byte is zero, else UTF-8 where the bytes are
 * UTF-8, else Windows-1252. The mark is dropped and line ends become `\n`. Null where it is no text.
 * Source: byte-order marks, Unicode Standard 2.6; the rule for UTF-16 without one is ours.
 */
export function decodeTable(bytes: Uint8Array): DecodedText | null {
  const [a, b] = bytes;
  const wide = a === 0xff && b === 0xfe ? 'utf-16le' : a === 0xfe && b === 0xff ? 'utf-16be' : wideWithoutMark(bytes);
  const guessed = wide ? null : decodeGuessed(bytes);
  const raw = guessed ? guessed.text : decodeText(bytes, wide ?? 'utf-8');
  const text = raw.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n');
  if (hasControls(text)) return null;
  const encoding = wide ? wide.toUpperCase() : guessed?.encoding === 'windows-1252' ? 'Windows-1252' : 'UTF-8';
  return { text, encoding };
}

function wideWithoutMark(bytes: Uint8Array): 'utf-16le' | 'utf-16be' | null {
  const length = Math.min(bytes.length, 2000) & ~1;
  if (length < 4) return null;
  let even = 0;
  let odd = 0;
  for (let i = 0; i < length; i += 2) {
    if (bytes[i] === 0) even++;
    if (bytes[i + 1] === 0) odd++;
  }
  const most = (length / 2) * 0.7;
  return odd > most && even === 0 ? 'utf-16le' : even > most && odd === 0 ? 'utf-16be' : null;
}

/** Codes below the space that no table holds: all but tab, line end, form feed and escape. */
function hasControls(text: string): boolean {
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code < 32 && code !== 9 && code !== 10 && code !== 11 && code !== 12 && code !== 27) return true;
  }
  return false;
}
