/** Round figures for axes. */
const STEPS = [1, 2, 5, 10] as const;

/** The least of 1, 2 or 5 times a power of ten that makes at most `most` steps up to `top`. */
export function niceStep(top: number, most: number): number {
  const rough = top / most;
  const power = 10 ** Math.floor(Math.log10(rough));
  return (STEPS.find((step) => step * power >= rough * (1 - 1e-12)) ?? 10) * power;
}

/** 0 and every step up to the top. */
export function ticks(top: number, most: number): number[] {
  const step = niceStep(top, most);
  return Array.from({ length: Math.floor(top / step + 1e-9) + 1 }, (_, i) => Number((i * step).toPrecision(12)));
}

const GOLDEN = (Math.sqrt(5) - 1) / 2;

/**
 * At most `most` of the indices 0 ... count - 1, spread evenly and always the same ones: index i is taken where the
 * fraction of i times the golden ratio is small. That sequence falls in with no row length, as a fixed stride would.
 */
export function spread(count: number, most: number): number[] {
  if (count <= most) return Array.from({ length: count }, (_, i) => i);
  const taken: number[] = [];
  for (let i = 0; i < count && taken.length < most; i++) if ((i * GOLDEN) % 1 < most / count) taken.push(i);
  return taken;
}

export interface Bins {
  readonly counts: readonly number[];
  readonly low: number;
  readonly high: number;
}

/** How many values fall in each of `bars` equal spans from the least to the largest; null where there is none. */
export function binned(values: readonly number[], bars: number): Bins | null {
  const known = values.filter((value) => Number.isFinite(value));
  if (known.length === 0) return null;
  const low = known.reduce((a, b) => Math.min(a, b));
  const high = known.reduce((a, b) => Math.max(a, b));
  const counts = Array.from({ length: bars }, () => 0);
  for (const value of known) {
    const bar = high === low ? 0 : Math.min(bars - 1, Math.floor(((value - low) / (high - low)) * bars));
    counts[bar] = (counts[bar] ?? 0) + 1;
  }
  return { counts, low, high };
}

/** Round figures from `low` to `high`, about `most` of them. */
export function ticksBetween(low: number, high: number, most: number): number[] {
  const step = niceStep(high - low, most);
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => Number(((first + i) * step).toPrecision(12)));
}

/** The span of the known values and a little room on either side; 0 to 1 where there is none. */
export function widened(values: readonly number[], share = 0.04): readonly [number, number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  if (low > high) return [0, 1];
  const room = (high - low) * share || Math.max(Math.abs(high) * share, 0.5);
  return [low >= 0 ? Math.max(0, low - room) : low - room, high + room];
}
