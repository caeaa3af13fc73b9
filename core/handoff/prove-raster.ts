import type { Places } from './points.kernel.ts';
import { NEAR, OUTSIDE } from './points.ts';
import type { Manifest, ManifestRaster, ProofLine } from './types.ts';

/** A raster as its bytes have it: north row first, NaN where it has no value. */
interface RawRaster {
  readonly cols: number;
  readonly rows: number;
  readonly west_deg: number;
  readonly north_deg: number;
  readonly dLng_deg: number;
  readonly dLat_deg: number;
  readonly values: Float64Array;
}

/** Both are sums of the same 32-bit floats, in another order. */
const SUM_TOLERANCE = 1e-9;
/** Rates of a raster have three decimals, in 32-bit floats. */
const LAST_DIGIT = 0.0006;

/** What comparing a raster came to. */
export interface RasterProof {
  readonly lines: readonly ProofLine[];
  readonly compared: number;
}

/**
 * A raster of rates against its manifest: how many cells have a value, what they add up to, and the plan's rates at the points that lie farther than a cell
 * from any border to another rate. Its bytes are walked without the library that wrote them.
 */
export function proveRaster(
  bytes: Uint8Array,
  { path: file, pass, product, cells, sum }: ManifestRaster,
  { sets, points }: Manifest,
  places: Places | null,
): RasterProof {
  const raster = rawRaster(bytes);
  if (typeof raster === 'string')
    return {
      lines: [{ file, what: 'raster', planned: '32-bit floats in WGS84', found: raster, holds: false }],
      compared: 0,
    };
  let [count, total] = [0, 0];
  for (const value of raster.values) {
    if (Number.isNaN(value)) continue;
    count++;
    total += value;
  }
  const line = (what: string, planned: string, found: string, holds: boolean): ProofLine => ({
    file,
    what,
    planned,
    found,
    holds,
  });
  const lines = [
    line('cells with a rate', `${cells}`, `${count}`, count === cells),
    line(
      'sum of the cells',
      sum.toFixed(1),
      total.toFixed(1),
      Math.abs(total - sum) <= SUM_TOLERANCE * Math.abs(sum) + 0.001,
    ),
  ];
  const channel = sets.flatMap((set) => set.channels).find((one) => one.pass === pass && one.product === product);
  const inner = points?.inner;
  if (!places || inner == null) return { lines, compared: 0 };
  let [compared, wrong] = [0, 0];
  (channel?.atPoints ?? '').split(' ').forEach((text, at) => {
    if (inner[at] !== '1' || text === NEAR || text === OUTSIDE) return;
    const rate = Number(text);
    const found = valueAt(raster, places.lng[at] ?? Number.NaN, places.lat[at] ?? Number.NaN);
    compared++;
    if (!(Math.abs(found - rate) <= LAST_DIGIT + 0.5 / 10 ** (channel?.decimals ?? 0) + 1e-6 * rate)) wrong++;
  });
  lines.push(
    line(
      'rates at points',
      `${compared} compared, a cell and more from any border`,
      wrong === 0 ? 'all the same' : `${wrong} differ`,
      wrong === 0 && channel !== undefined,
    ),
  );
  return { lines, compared };
}

function valueAt({ cols, rows, west_deg, north_deg, dLng_deg, dLat_deg, values }: RawRaster, lng: number, lat: number) {
  const col = Math.floor((lng - west_deg) / dLng_deg);
  const row = Math.floor((north_deg - lat) / dLat_deg);
  const held = col >= 0 && row >= 0 && col < cols && row < rows;
  return held ? (values[row * cols + col] ?? Number.NaN) : Number.NaN;
}

/** Bytes of each kind of value (TIFF 6.0, section 2); 0 for one that no rate raster has. */
const KIND_BYTES = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8];
const WGS84 = 4326;
/** Latitude and longitude by themselves, pixel is area. */
const KEYS = new Map([
  [1024, 2],
  [1025, 1],
  [2048, WGS84],
]);

/** One band of 32-bit floats, uncompressed, in WGS84 degrees; in words what else it is. Source: TIFF 6.0 and OGC 19-008r4. */
function rawRaster(bytes: Uint8Array): RawRaster | string {
  try {
    return rasterOf(new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength));
  } catch (error) {
    if (error instanceof RangeError) return 'cut off';
    throw error;
  }
}

function rasterOf(view: DataView): RawRaster | string {
  const little = view.getUint16(0) === 0x4949;
  if (view.getUint16(2, little) !== 42) return 'no TIFF';
  const tags = tagsOf(view, view.getUint32(4, little), little);
  const one = (tag: number): number => tags.get(tag)?.[0] ?? Number.NaN;
  const [cols, rows] = [one(256), one(257)];
  if (one(258) !== 32 || one(339) !== 3 || one(259) !== 1 || one(277) !== 1) return 'other numbers';
  const keys = tags.get(34735) ?? [];
  for (const [key, wanted] of KEYS) {
    const at = keys.findIndex((value, i) => i >= 4 && i % 4 === 0 && value === key);
    if (keys[at + 3] !== wanted) return 'another coordinate system';
  }
  const [dLng_deg = Number.NaN, dLat_deg = Number.NaN] = tags.get(33550) ?? [];
  const [, , , west_deg = Number.NaN, north_deg = Number.NaN] = tags.get(33922) ?? [];
  const noData = Number(String.fromCharCode(...(tags.get(42113) ?? [])).replace(/\0.*$/s, '') || 'none');
  const offsets = tags.get(273) ?? [];
  const counts = tags.get(279) ?? [];
  const values = new Float64Array(cols * rows);
  let cell = 0;
  offsets.forEach((from, strip) => {
    const end = from + (counts[strip] ?? 0);
    for (let at = from; at + 4 <= end && cell < values.length; at += 4) {
      const value = view.getFloat32(at, little);
      values[cell++] = value === noData ? Number.NaN : value;
    }
  });
  if (cell !== values.length) return `${cell} cells of ${values.length}`;
  return { cols, rows, west_deg, north_deg, dLng_deg, dLat_deg, values };
}

function tagsOf(view: DataView, from: number, little: boolean): ReadonlyMap<number, readonly number[]> {
  const tags = new Map<number, readonly number[]>();
  const entries = view.getUint16(from, little);
  for (let entry = 0; entry < entries; entry++) {
    const at = from + 2 + 12 * entry;
    const kind = view.getUint16(at + 2, little);
    const count = view.getUint32(at + 4, little);
    const size = KIND_BYTES[kind] ?? 0;
    if (size === 0 || count * size > view.byteLength) continue;
    const start = count * size <= 4 ? at + 8 : view.getUint32(at + 8, little);
    tags.set(
      view.getUint16(at, little),
      Array.from({ length: count }, (_, i) => numberAt(view, kind, start + i * size, little)),
    );
  }
  return tags;
}

function numberAt(view: DataView, kind: number, at: number, little: boolean): number {
  if (kind === 3) return view.getUint16(at, little);
  if (kind === 4) return view.getUint32(at, little);
  if (kind === 12) return view.getFloat64(at, little);
  return kind === 2 ? view.getUint8(at) : Number.NaN;
}
