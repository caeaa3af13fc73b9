/**
 * Corners of the convex hull of some places, counter-clockwise, as their indices; places on an edge between two corners are left out. One index
 * for one place, two for a line. Source: Andrew's monotone chain, Inf. Process. Lett. 9(5), 1979. Cost: n log n.
 */
export function convexHull(x: Float64Array, y: Float64Array): Int32Array {
  const order = Int32Array.from(x, (_value, i) => i).sort((a, b) => x[a]! - x[b]! || y[a]! - y[b]!);
  const n = order.length;
  if (n < 2) return order;
  const chain = new Int32Array(2 * n);
  let count = 0;
  const turnLeft = (i: number, floor: number): void => {
    while (count > floor) {
      const a = chain[count - 2]!;
      const b = chain[count - 1]!;
      if ((x[b]! - x[a]!) * (y[i]! - y[a]!) - (y[b]! - y[a]!) * (x[i]! - x[a]!) > 0) break;
      count--;
    }
    chain[count++] = i;
  };
  for (let s = 0; s < n; s++) turnLeft(order[s]!, 1);
  const floor = count;
  for (let s = n - 2; s >= 0; s--) turnLeft(order[s]!, floor);
  return chain.slice(0, Math.max(1, count - 1));
}

/** How far outside a place may lie and still count as on the hull: rounding, not ground. */
const ON_HULL_M = 1e-6;

/**
 * Marks with 1 the cells with ground whose centre lies outside a convex polygon; the others stay 0. `x0`, `y0` are the centre of cell (0, 0).
 * A row of cells meets a convex polygon in one span, so a row is marked by its two ends. Cost: rows x corners + cells.
 */
export function markOutside(
  hullX: Float64Array,
  hullY: Float64Array,
  x0: number,
  y0: number,
  dx: number,
  dy: number,
  cols: number,
  wanted: Float64Array,
): Uint8Array {
  const outside = new Uint8Array(wanted.length);
  const n = hullX.length;
  for (let row = 0; row * cols < wanted.length; row++) {
    const y = y0 + row * dy;
    let west = Number.POSITIVE_INFINITY;
    let east = Number.NEGATIVE_INFINITY;
    for (let i = 0; i < n; i++) {
      const j = i + 1 < n ? i + 1 : 0;
      const low = Math.min(hullY[i]!, hullY[j]!);
      const high = Math.max(hullY[i]!, hullY[j]!);
      if (y < low - ON_HULL_M || y > high + ON_HULL_M) continue;
      const level = high - low <= ON_HULL_M;
      const t = level ? 0 : Math.max(0, Math.min(1, (y - hullY[i]!) / (hullY[j]! - hullY[i]!)));
      const x = hullX[i]! + t * (hullX[j]! - hullX[i]!);
      west = Math.min(west, x, level ? hullX[j]! : x);
      east = Math.max(east, x, level ? hullX[j]! : x);
    }
    for (let col = 0; col < cols; col++) {
      const cell = row * cols + col;
      if (!(wanted[cell]! > 0)) continue;
      const x = x0 + col * dx;
      if (x < west - ON_HULL_M || x > east + ON_HULL_M) outside[cell] = 1;
    }
  }
  return outside;
}
