/** The textbook way, for comparison: all distances, sorted by (distance squared, index), the first k, plain sums. */
export function textbook(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  z: ArrayLike<number>,
  px: number,
  py: number,
  power: number,
  k: number,
  skip = -1,
  radius = Number.POSITIVE_INFINITY,
): number {
  const near = Array.from({ length: x.length }, (_none, index) => {
    const dx = (x[index] ?? Number.NaN) - px;
    const dy = (y[index] ?? Number.NaN) - py;
    return { index, d2: dx * dx + dy * dy };
  })
    .filter(({ index, d2 }) => index !== skip && d2 <= radius * radius)
    .sort((a, b) => a.d2 - b.d2 || a.index - b.index)
    .slice(0, k === 0 ? x.length : k);
  const [first] = near;
  if (!first) return Number.NaN;
  if (first.d2 < 1e-18) return z[first.index] ?? Number.NaN;
  let sum = 0;
  let total = 0;
  for (const { index, d2 } of near) {
    const weight = d2 ** (-power / 2);
    sum += weight * (z[index] ?? Number.NaN);
    total += weight;
  }
  return sum / total;
}

/** A small, seeded source of numbers from 0 to 1: mulberry32, for layouts that are the same every time. */
export function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
