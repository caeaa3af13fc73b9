/** Labels spread outwards from the cells with ground to all others, to the nearest in steps of cells; ground keeps its own. */
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
    const label = spread[cell]!;
    const reach = (other: number): void => {
      if (done[other]) return;
      done[other] = 1;
      spread[other] = label;
      queue[tail++] = other;
    };
    if (col > 0) reach(cell - 1);
    if (col < cols - 1) reach(cell + 1);
    if (cell >= cols) reach(cell - cols);
    if (cell < cells - cols) reach(cell + cols);
  }
  return spread;
}
