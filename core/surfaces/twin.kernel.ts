import type { Buckets } from './buckets.kernel.ts';
import type { IdwJob } from './idw.kernel.ts';
import type { OthersScan } from './others.kernel.ts';
import { type Pairs, SUMS } from './pairs.kernel.ts';
import { TWIN_BASE64 } from './twin-bytes.ts';

/** What app/kernels/surfaces.ts exports. Addresses are bytes in its memory. */
interface Twin {
  readonly memory: { readonly buffer: ArrayBuffer; grow(pages: number): number };
  samples(
    n: number,
    layers: number,
    bucketCols: number,
    bucketRows: number,
    west: number,
    south: number,
    size: number,
    x: number,
    y: number,
    z: number,
    starts: number,
    items: number,
    itemX: number,
    itemY: number,
  ): void;
  room(base: number, span: number): number;
  grid(
    k: number,
    cols: number,
    x0: number,
    y0: number,
    dx: number,
    dy: number,
    way: number,
    limit_m2: number,
    looks: number,
  ): void;
  band(rowFrom: number, cells: number, wanted: number, out: number, near: number): void;
  tiles(side: number, rowFrom: number, rowTo: number): void;
  cells(rowFrom: number, rowTo: number): void;
  everySample(c0: number, c1: number, r0: number, r1: number, x: number, y: number, radius_m: number): void;
  othersNearest(
    from: number,
    to: number,
    counts: number,
    countCount: number,
    ways: number,
    wayCount: number,
    most_m2: number,
    predicted: number,
  ): void;
  othersAll(from: number, to: number, most_m2: number, low: number, high: number, sums: number, same: number): void;
}

/** The host's own, where it has one; core knows no host's types. */
declare const WebAssembly:
  | {
      readonly Module: new (bytes: Uint8Array) => object;
      readonly Instance: new (module: object) => { readonly exports: object };
    }
  | undefined;

/** Undefined until it was tried; null where the host has no such thing, or its content policy forbids it. */
let twin: Twin | null | undefined;
/** Whose samples lie in the twin's memory, not kept alive for that, and where their room ends. Nothing that a caller sees hangs on it. */
let loaded: WeakRef<WeakKey> | null = null;
let end = 0;

function twinOrNull(): Twin | null {
  if (twin !== undefined) return twin;
  twin = null;
  try {
    if (typeof WebAssembly !== 'undefined') {
      const { exports } = new WebAssembly.Instance(new WebAssembly.Module(bytesOf(TWIN_BASE64)));
      twin = exports as Twin; // of our own source
    }
  } catch {
    // The TypeScript kernels do the same work.
  }
  return twin;
}

/** Whether this host runs the twin. */
export const hasTwin = (): boolean => twinOrNull() !== null;

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

function bytesOf(base64: string): Uint8Array {
  const length = base64.indexOf('=') < 0 ? base64.length : base64.indexOf('=');
  const bytes = new Uint8Array((length * 3) >> 2);
  let bits = 0;
  for (let i = 0, to = 0; i < length; i++) {
    bits = (bits << 6) | LETTERS.indexOf(base64[i]!);
    if (i % 4 > 0) bytes[to++] = bits >> (6 - 2 * (i % 4));
  }
  return bytes;
}

const doubles = (memory: Twin['memory'], at: number, length: number) => new Float64Array(memory.buffer, at, length);
const wholes = (memory: Twin['memory'], at: number, length: number) => new Int32Array(memory.buffer, at, length);
const padded = (bytes: number): number => (bytes + 15) & ~15;

const PAGE = 65_536;
/** Room beyond the samples', for what is sorted at once. */
const LEAST_ROOM = 72;
/** Low addresses are left to the compiler. */
const BASE = 1024;

function reserve({ memory }: Twin, bytes: number): void {
  const missing = bytes - memory.buffer.byteLength;
  if (missing > 0) memory.grow(Math.ceil(missing / PAGE));
}

/** Powers with a way of their own in the twin, as it numbers them; others need `pow`, which WebAssembly lacks. */
const wayOf = (power: number): number => (power >= 1 && power <= 4 && Number.isInteger(2 * power) ? 2 * power - 2 : -1);

/** Lays the samples into the twin's memory unless they are there; `places` false leaves out those that only `cells` can do without. */
function load(
  one: Twin,
  owner: WeakKey,
  buckets: Buckets,
  layers: readonly Float64Array[],
  span: number,
  places: boolean,
): void {
  if (loaded?.deref() === owner) return;
  loaded = null;
  const { x, y, start, items, itemX, itemY } = buckets;
  const n = x.length;
  const stride = (layers.length + 1) & ~1;
  let at = BASE;
  const next = (bytes: number): number => {
    const here = at;
    at += padded(bytes);
    return here;
  };
  const own = places ? 8 * n : 0;
  const [atX, atY, atZ] = [next(own), next(own), next(8 * stride * n)];
  const [atStarts, atItems, atItemX, atItemY] = [next(4 * start.length), next(4 * n), next(8 * n), next(8 * n)];
  one.samples(
    n,
    layers.length,
    buckets.cols,
    buckets.rows,
    buckets.west,
    buckets.south,
    buckets.size,
    atX,
    atY,
    atZ,
    atStarts,
    atItems,
    atItemX,
    atItemY,
  );
  end = padded(one.room(at, span + LEAST_ROOM));
  reserve(one, end);
  const { memory } = one;
  if (places) {
    doubles(memory, atX, n).set(x);
    doubles(memory, atY, n).set(y);
  }
  wholes(memory, atStarts, start.length).set(start);
  wholes(memory, atItems, n).set(items);
  doubles(memory, atItemX, n).set(itemX);
  doubles(memory, atItemY, n).set(itemY);
  const z = doubles(memory, atZ, stride * n);
  for (let v = 0; v < layers.length; v++) {
    const values = layers[v]!;
    for (let i = 0; i < n; i++) z[i * stride + v] = values[i]!;
  }
  loaded = new WeakRef(owner);
}

/** Rows that lie in the twin's memory at once where tiles do not say. */
const BAND = 16;

/**
 * `plainRows` of idw.kernel.ts by the twin, but for the distances where every sample counts and for what `writeHits` puts right. False where it
 * cannot: no twin, or a power that needs `pow`.
 */
export function rowsByTwin(job: IdwJob, side: number, rowFrom: number, rowTo: number): boolean {
  const { buckets, k, cols, out, wanted, nearest_m, radius_m } = job;
  const way = out.length === 0 ? 2 : wayOf(job.power);
  const one = way < 0 ? null : twinOrNull();
  if (!one) return false;
  const n = buckets.x.length;
  load(one, job, buckets, job.values, side === 1 ? k : n, side !== 1);
  const limit_m2 = typeof radius_m === 'number' ? radius_m * radius_m : Number.POSITIVE_INFINITY;
  const looks = side > 0 && nearest_m.length > 0;
  one.grid(k, cols, job.x0, job.y0, job.dx, job.dy, way, limit_m2, looks ? 1 : 0);
  const height = side > 1 ? side : BAND;
  const most = height * cols;
  const atWanted = end;
  const atOut = atWanted + padded(8 * most);
  const atNear = atOut + padded(8 * most * out.length);
  reserve(one, atNear + padded(4 * most));
  const { memory } = one;
  for (let r0 = rowFrom; r0 < rowTo; r0 += height) {
    const r1 = Math.min(r0 + height, rowTo);
    const [from, to] = [r0 * cols, r1 * cols];
    const count = to - from;
    doubles(memory, atWanted, count).set(wanted.subarray(from, to));
    for (let v = 0; v < out.length; v++) doubles(memory, atOut + 8 * v * count, count).set(out[v]!.subarray(from, to));
    const near = new Float32Array(memory.buffer, atNear, looks ? count : 0);
    if (looks) near.set(nearest_m.subarray(from, to));
    one.band(r0, count, atWanted, atOut, atNear);
    if (side > 1) one.tiles(side, r0, r1);
    else if (side === 1) one.cells(r0, r1);
    else everySample(one, job, r0, r1);
    for (let v = 0; v < out.length; v++) out[v]!.set(doubles(memory, atOut + 8 * v * count, count), from);
    if (looks) nearest_m.set(near, from);
  }
  return true;
}

function everySample(one: Twin, job: IdwJob, r0: number, r1: number): void {
  const { cols, dx, dy, radius_m } = job;
  if (typeof radius_m !== 'number') {
    one.everySample(0, cols, r0, r1, 0, 0, Number.POSITIVE_INFINITY);
    return;
  }
  for (let c0 = 0; c0 < cols; c0 += BAND) {
    const c1 = Math.min(c0 + BAND, cols);
    const half = Math.hypot((c1 - c0 - 1) * dx, (r1 - r0 - 1) * dy) / 2;
    const x = job.x0 + ((c0 + c1 - 1) / 2) * dx;
    const y = job.y0 + ((r0 + r1 - 1) / 2) * dy;
    one.everySample(c0, c1, r0, r1, x, y, (radius_m + half) * (1 + 1e-9));
  }
}

/** Samples whose sums and predictions lie in the twin's memory at once. */
const PIECE = 256;

/** `scanNearest` of others.kernel.ts by the twin; false where it cannot. */
export function nearestByTwin(scan: OthersScan, from: number, to: number): boolean {
  const { counts, powers, layers, predicted, most_m2 } = scan;
  const ways = powers.map(wayOf);
  const one = ways.includes(-1) ? null : twinOrNull();
  if (!one) return false;
  loadScan(one, scan);
  const atWays = end + padded(4 * counts.length);
  const atOut = atWays + padded(4 * ways.length);
  const columns = counts.length * ways.length * layers.length;
  reserve(one, atOut + 8 * columns * PIECE);
  const { memory } = one;
  wholes(memory, end, counts.length).set(counts);
  wholes(memory, atWays, ways.length).set(ways);
  for (let first = from; first < to; first += PIECE) {
    const length = Math.min(PIECE, to - first);
    const made = doubles(memory, atOut, columns * length).fill(Number.NaN);
    one.othersNearest(first, first + length, end, counts.length, atWays, ways.length, most_m2, atOut);
    for (let c = 0; c < columns; c++) predicted[c]!.set(made.subarray(c * length, (c + 1) * length), first);
  }
  return true;
}

/** The whole sums of samples from..to, which `addPairs` of pairs.kernel.ts comes to once it has had all of them; false where there is no twin. */
export function pairsByTwin(pairs: Pairs, scan: OthersScan, from: number, to: number): boolean {
  const one = twinOrNull();
  if (!one) return false;
  loadScan(one, scan);
  const { sums, same, low, high, most_m2 } = pairs;
  const atSums = end + padded(4 * PIECE);
  reserve(one, atSums + 8 * SUMS * PIECE * sums.length);
  const { memory } = one;
  for (let first = from; first < to; first += PIECE) {
    const length = Math.min(PIECE, to - first);
    one.othersAll(first, first + length, most_m2, low ? 1 : 0, high ? 1 : 0, atSums, end);
    const each = SUMS * length;
    for (let v = 0; v < sums.length; v++) sums[v]!.set(doubles(memory, atSums + 8 * v * each, each), SUMS * first);
    same.set(wholes(memory, end, length), first);
  }
  return true;
}

const loadScan = (one: Twin, scan: OthersScan): void =>
  load(one, scan, scan.buckets, scan.layers, scan.buckets.x.length, true);
