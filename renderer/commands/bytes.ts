/** Bytes on a buffer of their own kind: what Blob and the host contract take. Nothing in the window is shared memory. */
export const plainBytes = (bytes: Uint8Array): Uint8Array<ArrayBuffer> =>
  bytes.buffer instanceof ArrayBuffer ? (bytes as Uint8Array<ArrayBuffer>) : new Uint8Array(bytes);
