/**
 * Nearest samples by a grid of buckets: exact, ties by ascending (distance squared, sample index).
 * Samples are sorted into square buckets, about two in each (counting sort), and searched ring by ring. Ours.
 * Coordinates must be finite; the makers of samples see to it.
 */
export interface Buckets {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly west: number;
  readonly south: number;
  readonly size: number;
  readonly cols: number;
  readonly rows: number;
  /** Items of bucket b are items[start[b]] .. items[start[b + 1] - 1], by ascending sample index. */
  readonly start: Int32Array;
  readonly items: Int32Array;
  /** Places of the items, in their order, so that a search reads them in one go. */
  readonly itemX: Float64Array;
  readonly itemY: Float64Array;
}

export function makeBuckets(x: Float64Array, y: Float64Array): Buckets {
  const n = x.length;
  let west = Number.POSITIVE_INFINITY;
  let south = Number.POSITIVE_INFINITY;
  let east = Number.NEGATIVE_INFINITY;
  let north = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < n; i++) {
    const px = x[i]!;
    const py = y[i]!;
    if (px < west) west = px;
    if (px > east) east = px;
    if (py < south) south = py;
    if (py > north) north = py;
  }
  const width = Math.max(east - west, 1e-6);
  const height = Math.max(north - south, 1e-6);
  // A line of samples has no area: its length decides there.
  const size = Math.max(
    Math.sqrt((2 * width * height) / Math.max(1, n)),
    (2 * Math.max(width, height)) / Math.max(1, n),
    1e-6,
  );
  const cols = Math.floor(width / size) + 1;
  const rows = Math.floor(height / size) + 1;
  const start = new Int32Array(cols * rows + 1);
  const bucket = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    const col = Math.min(cols - 1, Math.floor((x[i]! - west) / size));
    const row = Math.min(rows - 1, Math.floor((y[i]! - south) / size));
    bucket[i] = row * cols + col;
    start[row * cols + col + 1]!++;
  }
  for (let b = 0; b < cols * rows; b++) start[b + 1]! += start[b]!;
  const at = start.slice(0, -1);
  const items = new Int32Array(n);
  const itemX = new Float64Array(n);
  const itemY = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const s = at[bucket[i]!]!++;
    items[s] = i;
    itemX[s] = x[i]!;
    itemY[s] = y[i]!;
  }
  return { x, y, west, south, size, cols, rows, start, items, itemX, itemY };
}

/**
 * The k nearest samples of a place, nearest first, written into `index` and `d2`; answers how many there are.
 * `skip` leaves one sample out by its index (-1 for none).
 */
export function nearest(
  buckets: Buckets,
  px: number,
  py: number,
  k: number,
  index: Int32Array,
  d2: Float64Array,
  skip: number,
): number {
  const { itemX, itemY, west, south, size, cols, rows, start, items } = buckets;
  const col = Math.max(0, Math.min(cols - 1, Math.floor((px - west) / size)));
  const row = Math.max(0, Math.min(rows - 1, Math.floor((py - south) / size)));
  const last = Math.max(col, row, cols - 1 - col, rows - 1 - row);
  let count = 0;
  for (let ring = 0; ring <= last; ring++) {
    const c0 = Math.max(0, col - ring);
    const c1 = Math.min(cols - 1, col + ring);
    const r0 = Math.max(0, row - ring);
    const r1 = Math.min(rows - 1, row + ring);
    for (let r = r0; r <= r1; r++) {
      // The ring's first and last row stand in memory in one go; of the rows between only the two ends are new.
      const whole = r === row - ring || r === row + ring;
      for (let piece = 0; piece < (whole ? 1 : 2); piece++) {
        const from = whole ? c0 : piece === 0 ? col - ring : col + ring;
        const to = whole ? c1 : from;
        if (from < 0 || to >= cols) continue;
        if (count === k) {
          // How far this piece is at least; behind the place where negative.
          let gap = whole ? south + r * size - py : west + from * size - px;
          if (whole && r < row) gap = py - south - (r + 1) * size;
          else if (!whole && piece === 0) gap = px - west - (from + 1) * size;
          if (gap > 0 && d2[k - 1]! < gap * gap * (1 - 1e-9)) continue;
        }
        const end = start[r * cols + to + 1]!;
        for (let s = start[r * cols + from]!; s < end; s++) {
          const dx = itemX[s]! - px;
          const dy = itemY[s]! - py;
          const d = dx * dx + dy * dy;
          if (count === k && d > d2[k - 1]!) continue;
          const i = items[s]!;
          if (i === skip || (count === k && d === d2[k - 1]! && i > index[k - 1]!)) continue;
          let at = count < k ? count++ : k - 1;
          while (at > 0 && (d2[at - 1]! > d || (d2[at - 1]! === d && index[at - 1]! > i))) {
            d2[at] = d2[at - 1]!;
            index[at] = index[at - 1]!;
            at--;
          }
          d2[at] = d;
          index[at] = i;
        }
      }
    }
    if (count < k) continue;
    // What was not seen yet lies beyond the block of buckets, on the sides where samples go on.
    const bound = Math.min(
      c0 === 0 ? Number.POSITIVE_INFINITY : px - (west + c0 * size),
      c1 === cols - 1 ? Number.POSITIVE_INFINITY : west + (c1 + 1) * size - px,
      r0 === 0 ? Number.POSITIVE_INFINITY : py - (south + r0 * size),
      r1 === rows - 1 ? Number.POSITIVE_INFINITY : south + (r1 + 1) * size - py,
    );
    if (d2[k - 1]! < bound * bound * (1 - 1e-9)) break;
  }
  return count;
}

/** Samples at most `radius` from a place, by ascending index, written into `index`; answers how many. */
export function within(buckets: Buckets, px: number, py: number, radius: number, index: Int32Array): number {
  const { itemX, itemY, west, south, size, cols, rows, start, items } = buckets;
  const c0 = Math.max(0, Math.floor((px - radius - west) / size));
  const c1 = Math.min(cols - 1, Math.floor((px + radius - west) / size));
  const r0 = Math.max(0, Math.floor((py - radius - south) / size));
  const r1 = Math.min(rows - 1, Math.floor((py + radius - south) / size));
  const most = radius * radius;
  let count = 0;
  for (let r = r0; r <= r1; r++) {
    const end = start[r * cols + c1 + 1] ?? 0;
    for (let s = start[r * cols + c0] ?? 0; s < end; s++) {
      const dx = itemX[s]! - px;
      const dy = itemY[s]! - py;
      if (dx * dx + dy * dy <= most) index[count++] = items[s]!;
    }
  }
  index.subarray(0, count).sort();
  return count;
}
