import { unzlibSync } from 'fflate';

/** Bytes out of one byte in, at the most: 4096 of a 12-bit LZW code are 2731; deflate has 1032, PackBits 64. */
const MOST_EXPANSION = 2800;

/**
 * One block's bytes unpacked, at most `wanted` of them, or null where the packing is damaged or none of the four read here.
 * Memory is bound by `wanted` and by what the bytes could hold, whatever the block claims. Fewer bytes than wanted come back as they are.
 * 1: as they lie; 5: LZW, 8 and 32946: zlib, 32773: PackBits (TIFF 6.0, sections 9 and 13; Adobe's TIFF technical notes).
 */
export function unpackBlock(packed: Uint8Array, compression: number, wanted: number): Uint8Array | null {
  const most = Math.min(wanted, packed.length * MOST_EXPANSION);
  switch (compression) {
    case 1:
      return packed.slice(0, most);
    case 5:
      return unpackLzw(packed, most);
    case 8:
    case 32946:
      try {
        return unzlibSync(packed, { out: new Uint8Array(most) });
      } catch {
        return null;
      }
    case 32773:
      return unpackBits(packed, most);
    default:
      return null;
  }
}

/** Runs of bytes: n >= 0 copies n + 1, n < 0 repeats one 1 - n times, -128 is nothing. */
function unpackBits(packed: Uint8Array, wanted: number): Uint8Array {
  const out = new Uint8Array(wanted);
  let to = 0;
  let at = 0;
  while (at < packed.length && to < wanted) {
    const n = packed[at++]!;
    if (n < 128) {
      const end = Math.min(wanted, to + n + 1, to + packed.length - at);
      for (; to < end; to++) out[to] = packed[at++]!;
    } else if (n > 128) {
      const end = Math.min(wanted, to + 257 - n);
      out.fill(packed[at++] ?? 0, to, end);
      to = end;
    }
  }
  return out.subarray(0, to);
}

const CLEAR = 256;
const END = 257;

/**
 * LZW as TIFF has it: codes most significant bit first, 9 to 12 bits, widened one code early. A code stands for the run it
 * was made from (where that lies in the output, and how long it is), so a code costs no table of bytes.
 * A code that is not made yet, and the bit order that writers before 1992 used, are damage.
 */
function unpackLzw(packed: Uint8Array, wanted: number): Uint8Array | null {
  if (packed.length >= 2 && packed[0] === 0 && (packed[1]! & 1) === 1) return null;
  const out = new Uint8Array(wanted);
  const start = new Int32Array(4096);
  const length = new Int32Array(4096);
  let next = 258;
  let width = 9;
  let to = 0;
  let before = -1;
  let beforeLength = 0;
  let bits = 0;
  let held = 0;
  let at = 0;
  while (to < wanted) {
    while (held < width && at < packed.length) {
      bits = ((bits << 8) | packed[at++]!) & 0xffffff;
      held += 8;
    }
    if (held < width) break;
    const code = (bits >>> (held - width)) & ((1 << width) - 1);
    held -= width;
    if (code === END) break;
    if (code === CLEAR) {
      next = 258;
      width = 9;
      before = -1;
      continue;
    }
    if (before >= 0 && next < 4096) {
      // The run before and the first byte of this one: it lies in the output already, end to end.
      start[next] = before;
      length[next] = beforeLength + 1;
      next++;
    }
    if (code >= next) return null;
    const from = to;
    if (code < 256) out[to++] = code;
    else {
      const source = start[code]!;
      const end = Math.min(wanted, to + length[code]!);
      for (let i = source; to < end; i++) out[to++] = out[i]!;
    }
    before = from;
    beforeLength = to - from;
    if (next >= (1 << width) - 1 && width < 12) width++;
  }
  return out.subarray(0, to);
}
