/** Bytes and text. The platform's own coders, declared here since core compiles without DOM or Node types. */
interface Decoder {
  decode(bytes: Uint8Array): string;
}
interface Platform {
  readonly TextDecoder: new (label?: string, options?: { fatal?: boolean; ignoreBOM?: boolean }) => Decoder;
  readonly TextEncoder: new () => { encode(text: string): Uint8Array };
}
// Both hosts and the tests have them; nothing else of the platform is used in core.
const platform = globalThis as unknown as Platform;

export const encodeUtf8 = (text: string): Uint8Array => new platform.TextEncoder().encode(text);

/** Text of `bytes` in a WHATWG encoding label. `fatal` throws on bytes that are not of that encoding. */
export const decodeText = (bytes: Uint8Array, label = 'utf-8', fatal = false): string =>
  new platform.TextDecoder(label, { fatal }).decode(bytes);

/** UTF-8 where the bytes are UTF-8, else Windows-1252; says which. A byte-order mark is dropped. */
export function decodeGuessed(bytes: Uint8Array): {
  readonly text: string;
  readonly encoding: 'utf-8' | 'windows-1252';
} {
  try {
    return { text: decodeText(bytes, 'utf-8', true), encoding: 'utf-8' };
  } catch {
    return { text: decodeText(bytes, 'windows-1252'), encoding: 'windows-1252' };
  }
}
