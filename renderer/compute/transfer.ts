/**
 * A value whose typed arrays are copies that can be given away, and the buffers to give.
 * The memo keeps the originals: transferring those would empty them.
 */
export function forTransfer<T>(value: T): { readonly value: T; readonly transfer: readonly ArrayBuffer[] } {
  const transfer: ArrayBuffer[] = [];
  const copied = new Map<ArrayBufferView, ArrayBufferView>();
  const copy = (one: unknown): unknown => {
    if (typeof one !== 'object' || one === null) return one;
    if (isTypedArray(one)) {
      const known = copied.get(one);
      if (known) return known;
      const made = one.slice();
      copied.set(one, made);
      transfer.push(made.buffer);
      return made;
    }
    if (Array.isArray(one)) return one.some(mayHoldArrays) ? one.map(copy) : one;
    if (one instanceof Map || one instanceof Set) return one;
    return Object.fromEntries(Object.entries(one).map(([key, inner]) => [key, copy(inner)]));
  };
  // Only typed arrays are replaced, each by one of its own kind: the type stays.
  return { value: copy(value) as T, transfer };
}

const mayHoldArrays = (one: unknown): boolean => typeof one === 'object' && one !== null && !Array.isArray(one);

type TypedArray =
  | Float64Array<ArrayBuffer>
  | Float32Array<ArrayBuffer>
  | Int16Array<ArrayBuffer>
  | Uint8Array<ArrayBuffer>
  | Uint8ClampedArray<ArrayBuffer>;

const isTypedArray = (one: object): one is TypedArray =>
  one instanceof Float64Array ||
  one instanceof Float32Array ||
  one instanceof Int16Array ||
  one instanceof Uint8Array ||
  one instanceof Uint8ClampedArray;
