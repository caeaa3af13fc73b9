/**
 * Labels spread outwards from the cells with ground to all others, to the nearest in steps of cells (of equals, the one that
 * comes first); ground keeps its own, 0 too. All 0 where there is no ground. Cost: cells. Source: breadth-first search.
 */
export function spreadLabels(labels: Int16Array, cover_m2: Float64Array, cols: number, rows: number): Int16Array {
  const cells = cols * rows;
  const spread = new Int16Array(cells);
  const done = new Uint8Array(cells);
  const queue = new Int32Array(cells);
  let tail = 0;
  for (let cell = 0; cell < cells; cell++) {
    if (cover_m2[cell]! > 0) {
      spread[cell] = labels[cell]!;
      done[cell] = 1;
      queue[tail++] = cell;
    }
  }
  for (let head = 0; head < tail; head++) {
    const cell = queue[head]!;
    const col = cell % cols;
    for (let side = 0; side < 4; side++) {
      let other = -1;
      if (side === 0 && col > 0) other = cell - 1;
      else if (side === 1 && col < cols - 1) other = cell + 1;
      else if (side === 2) other = cell - cols;
      else if (side === 3 && cell < cells - cols) other = cell + cols;
      if (other < 0 || done[other] === 1) continue;
      done[other] = 1;
      spread[other] = spread[cell]!;
      queue[tail++] = other;
    }
  }
  return spread;
}
