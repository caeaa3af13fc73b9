/** What an opening did. */
export interface Opened {
  readonly labels: Int16Array;
  /** Square metres whose label changed. */
  readonly moved_m2: number;
}

/**
 * Labels without parts narrower than `width` cells: each label is opened by a disc of that width (eroded, then dilated: what no disc
 * inside the label reaches is narrow), and narrow cells go to the nearest label that kept its ground: a corner of the field mostly to its own.
 * What lies off the ground bounds a part as another label does. Discs stand on cell centres, so a part as wide as an even number of cells counts as one
 * cell less.
 *
 * Off-ground cells (label 0) and label `still` neither go nor take. A label whose every cell is narrow stays as it is where no other lies
 * beside. Distances are between cell centres, squared exact. Cost: cells x labels. Sources: opening, Serra, Image Analysis and Mathematical Morphology,
 * 1982; distances, Felzenszwalb and Huttenlocher, Theory of Computing 8, 2012.
 */
export function openLabels(
  labels: Int16Array,
  cols: number,
  cover_m2: Float64Array,
  width: number,
  count: number,
  still: number,
): Opened {
  const rows = labels.length / cols;
  const radius2 = (width / 2) ** 2;
  const kept = new Uint8Array(labels.length);
  const far = new Float64Array(labels.length);
  for (let label = 1; label <= count; label++) {
    if (label === still) {
      for (let cell = 0; cell < labels.length; cell++) if (labels[cell] === label) kept[cell] = 1;
      continue;
    }
    // Eroded: half a cell of every other label's cells lies between the centres.
    for (let cell = 0; cell < labels.length; cell++) far[cell] = labels[cell] === label ? Infinity : 0;
    squaredDistances(far, cols, rows);
    const reach = Math.sqrt(radius2) + 0.5;
    let cores = 0;
    for (let cell = 0; cell < labels.length; cell++) {
      const isCore = labels[cell] === label && far[cell]! >= reach * reach - 1e-9;
      if (isCore) cores++;
      far[cell] = isCore ? 0 : Infinity;
    }
    if (cores === 0) continue;
    squaredDistances(far, cols, rows);
    for (let cell = 0; cell < labels.length; cell++)
      if (labels[cell] === label && far[cell]! <= radius2 + 1e-9) kept[cell] = 1;
  }
  return regrow(labels, cols, cover_m2, kept);
}

/** Cells that were not kept take the label of the nearest kept one, in steps of cells through ground. */
function regrow(labels: Int16Array, cols: number, cover_m2: Float64Array, kept: Uint8Array): Opened {
  const out = labels.slice();
  const queue = new Int32Array(labels.length);
  let tail = 0;
  for (let cell = 0; cell < labels.length; cell++) if (labels[cell] !== 0 && kept[cell]) queue[tail++] = cell;
  let moved_m2 = 0;
  for (let head = 0; head < tail; head++) {
    const cell = queue[head]!;
    const col = cell % cols;
    for (let side = 0; side < 4; side++) {
      const other =
        side === 0
          ? col > 0
            ? cell - 1
            : -1
          : side === 1
            ? col < cols - 1
              ? cell + 1
              : -1
            : side === 2
              ? cell - cols
              : cell + cols;
      if (other < 0 || other >= labels.length || labels[other] === 0 || kept[other]) continue;
      kept[other] = 1;
      if (out[other] !== out[cell]) {
        out[other] = out[cell]!;
        moved_m2 += cover_m2[other]!;
      }
      queue[tail++] = other;
    }
  }
  return { labels: out, moved_m2 };
}

/** Squared distance in cells to the nearest cell that holds 0, in place; Infinity where there is none. */
function squaredDistances(grid: Float64Array, cols: number, rows: number): void {
  const most = Math.max(cols, rows);
  const line = new Float64Array(most);
  const out = new Float64Array(most);
  const hull = new Int32Array(most);
  const from = new Float64Array(most + 1);
  for (let col = 0; col < cols; col++) {
    for (let row = 0; row < rows; row++) line[row] = grid[row * cols + col]!;
    lowerEnvelope(line, out, hull, from, rows);
    for (let row = 0; row < rows; row++) grid[row * cols + col] = out[row]!;
  }
  for (let row = 0; row < rows; row++) {
    for (let col = 0; col < cols; col++) line[col] = grid[row * cols + col]!;
    lowerEnvelope(line, out, hull, from, cols);
    for (let col = 0; col < cols; col++) grid[row * cols + col] = out[col]!;
  }
}

/** min over q of (p - q)^2 + line[q], for each p. */
function lowerEnvelope(line: Float64Array, out: Float64Array, hull: Int32Array, from: Float64Array, n: number): void {
  let k = -1;
  for (let q = 0; q < n; q++) {
    if (line[q] === Infinity) continue;
    let s = -Infinity;
    while (k >= 0) {
      const v = hull[k]!;
      s = (line[q]! + q * q - (line[v]! + v * v)) / (2 * q - 2 * v);
      if (s > from[k]!) break;
      k--;
      s = -Infinity;
    }
    k++;
    hull[k] = q;
    from[k] = k === 0 ? -Infinity : s;
    from[k + 1] = Infinity;
  }
  if (k < 0) {
    out.fill(Infinity, 0, n);
    return;
  }
  let at = 0;
  for (let p = 0; p < n; p++) {
    while (from[at + 1]! < p) at++;
    out[p] = (p - hull[at]!) ** 2 + line[hull[at]!]!;
  }
}
