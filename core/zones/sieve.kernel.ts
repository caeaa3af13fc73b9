/** What a sieve did. */
export interface Sieved {
  readonly labels: Int16Array;
  /** Square metres whose label changed. */
  readonly moved_m2: number;
  /** Parts still under the limit, since no other label lies beside them. */
  readonly lonely: number;
}

/**
 * Labels in which no part (cells of one label, joined by their edges) is under `least_m2` while it has a neighbour.
 *
 * The smallest part goes first. It joins the neighbouring part with the longest shared border (counted in cell edges), or with `values` the one
 * whose mean of them is nearest its own (cells with NaN take no part; parts without a mean go by the border); then the larger one, then the one that
 * begins farther south-west. It fuses with whatever touches it of that label, and what they make
 * is weighed anew, until none is small. Label 0 is no ground; parts with label `still` neither join nor are joined.
 * Areas are those of `cover_m2`. Cost: about n log n in the parts. Ours.
 */
export function sieveLabels(
  labels: Int16Array,
  cols: number,
  cover_m2: Float64Array,
  least_m2: number,
  still: number,
  values: Float64Array | null = null,
): Sieved {
  const { partOf, label, area_m2 } = findParts(labels, cols, cover_m2, still);
  const means = values ? meansOf(partOf, label.length, cover_m2, values) : null;
  const borders = countBorders(partOf, label, cols);
  const parent = Int32Array.from({ length: label.length }, (_, part) => part);
  const find = (part: number): number => {
    let at = part;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  const fuse = (a: number, b: number): number => {
    const [into, from] = borders[a]!.size >= borders[b]!.size ? [a, b] : [b, a];
    parent[from] = into;
    area_m2[into]! += area_m2[from]!;
    if (means) {
      means.sum[into]! += means.sum[from]!;
      means.weight[into]! += means.weight[from]!;
    }
    borders[into]!.delete(from);
    for (const [other, edges] of borders[from]!) {
      borders[other]!.delete(from);
      if (other === into) continue;
      borders[into]!.set(other, (borders[into]!.get(other) ?? 0) + edges);
      borders[other]!.set(into, borders[into]!.get(other)!);
    }
    borders[from]!.clear();
    return into;
  };

  const heap = new SmallestFirst();
  for (let part = 0; part < label.length; part++) if (area_m2[part]! < least_m2) heap.push(area_m2[part]!, part);
  for (let top = heap.pop(); top; top = heap.pop()) {
    const part = top.part;
    if (find(part) !== part || area_m2[part] !== top.area_m2 || area_m2[part]! >= least_m2) continue;
    const host = (means && nearestHost(part, borders[part]!, area_m2, means)) ?? bestHost(borders[part]!, area_m2);
    if (host < 0) continue;
    const name = label[host]!;
    label[part] = name;
    let whole = part;
    for (const other of [...borders[part]!.keys()]) if (label[other] === name) whole = fuse(whole, other);
    label[whole] = name;
    if (area_m2[whole]! < least_m2) heap.push(area_m2[whole]!, whole);
  }

  const out = labels.slice();
  let moved_m2 = 0;
  let lonely = 0;
  for (let cell = 0; cell < out.length; cell++) {
    if (partOf[cell]! < 0) continue;
    const name = label[find(partOf[cell]!)]!;
    if (out[cell] !== name) moved_m2 += cover_m2[cell]!;
    out[cell] = name;
  }
  for (let part = 0; part < label.length; part++) if (parent[part] === part && area_m2[part]! < least_m2) lonely++;
  return { labels: out, moved_m2, lonely };
}

interface Parts {
  /** Number of the part of each cell, -1 for cells that take no part. */
  readonly partOf: Int32Array;
  readonly label: Int16Array;
  readonly area_m2: Float64Array;
}

/** Connected components by rows with union-find, numbered in the order of their first cell. */
function findParts(labels: Int16Array, cols: number, cover_m2: Float64Array, still: number): Parts {
  const partOf = new Int32Array(labels.length).fill(-1);
  const parent: number[] = [];
  const find = (part: number): number => {
    let at = part;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  for (let cell = 0; cell < labels.length; cell++) {
    const name = labels[cell]!;
    if (name === 0 || name === still) continue;
    const west = cell % cols > 0 && labels[cell - 1] === name ? find(partOf[cell - 1]!) : -1;
    const south = cell >= cols && labels[cell - cols] === name ? find(partOf[cell - cols]!) : -1;
    if (west >= 0 && south >= 0 && west !== south) parent[Math.max(west, south)] = Math.min(west, south);
    if (west < 0 && south < 0) parent.push(parent.length);
    partOf[cell] =
      west < 0 && south < 0 ? parent.length - 1 : west < 0 ? south : south < 0 ? west : Math.min(west, south);
  }
  const number = new Int32Array(parent.length).fill(-1);
  const label: number[] = [];
  const area: number[] = [];
  for (let cell = 0; cell < labels.length; cell++) {
    if (partOf[cell]! < 0) continue;
    const root = find(partOf[cell]!);
    if (number[root]! < 0) {
      number[root] = label.length;
      label.push(labels[cell]!);
      area.push(0);
    }
    partOf[cell] = number[root]!;
    area[number[root]!]! += cover_m2[cell]!;
  }
  return { partOf, label: Int16Array.from(label), area_m2: Float64Array.from(area) };
}

/** Cell edges that each part shares with each other part. */
function countBorders(partOf: Int32Array, label: Int16Array, cols: number): Map<number, number>[] {
  const borders: Map<number, number>[] = Array.from(label, () => new Map());
  const meet = (a: number, b: number): void => {
    if (a === b || a < 0 || b < 0) return;
    borders[a]!.set(b, (borders[a]!.get(b) ?? 0) + 1);
    borders[b]!.set(a, (borders[b]!.get(a) ?? 0) + 1);
  };
  for (let cell = 0; cell < partOf.length; cell++) {
    if (cell % cols > 0) meet(partOf[cell]!, partOf[cell - 1]!);
    if (cell >= cols) meet(partOf[cell]!, partOf[cell - cols]!);
  }
  return borders;
}

function bestHost(borders: ReadonlyMap<number, number>, area_m2: Float64Array): number {
  let host = -1;
  let most = 0;
  for (const [other, edges] of borders) {
    const larger = host >= 0 && edges === most && area_m2[other]! > area_m2[host]!;
    const earlier = host >= 0 && edges === most && area_m2[other] === area_m2[host] && other < host;
    if (edges > most || larger || earlier) {
      host = other;
      most = edges;
    }
  }
  return host;
}

interface Means {
  readonly sum: Float64Array;
  readonly weight: Float64Array;
}

function meansOf(partOf: Int32Array, parts: number, cover_m2: Float64Array, values: Float64Array): Means {
  const sum = new Float64Array(parts);
  const weight = new Float64Array(parts);
  for (let cell = 0; cell < partOf.length; cell++) {
    const part = partOf[cell]!;
    if (part < 0 || Number.isNaN(values[cell]!)) continue;
    sum[part]! += cover_m2[cell]! * values[cell]!;
    weight[part]! += cover_m2[cell]!;
  }
  return { sum, weight };
}

/** The neighbour whose mean is nearest; null where the part or all its neighbours have none. */
function nearestHost(
  part: number,
  borders: ReadonlyMap<number, number>,
  area_m2: Float64Array,
  { sum, weight }: Means,
): number | null {
  const own = sum[part]! / weight[part]!;
  let host: number | null = null;
  let least = Infinity;
  for (const other of borders.keys()) {
    const away = Math.abs(sum[other]! / weight[other]! - own);
    const larger = host !== null && away === least && area_m2[other]! > area_m2[host]!;
    const earlier = host !== null && away === least && area_m2[other] === area_m2[host] && other < host;
    if (away < least || larger || earlier) {
      host = other;
      least = away;
    }
  }
  return host;
}

/** A binary heap of parts by area, then number. Entries of parts that have changed since are for the reader to skip. */
class SmallestFirst {
  readonly #heap: { readonly area_m2: number; readonly part: number }[] = [];

  push(area_m2: number, part: number): void {
    const heap = this.#heap;
    heap.push({ area_m2, part });
    for (let at = heap.length - 1; at > 0; ) {
      const up = (at - 1) >> 1;
      if (!this.#before(at, up)) break;
      [heap[at], heap[up]] = [heap[up]!, heap[at]!];
      at = up;
    }
  }

  pop(): { readonly area_m2: number; readonly part: number } | undefined {
    const heap = this.#heap;
    const top = heap[0];
    const last = heap.pop();
    if (!top || !last || heap.length === 0) return top;
    heap[0] = last;
    for (let at = 0; ; ) {
      let least = at;
      for (const down of [2 * at + 1, 2 * at + 2]) if (down < heap.length && this.#before(down, least)) least = down;
      if (least === at) return top;
      [heap[at], heap[least]] = [heap[least]!, heap[at]!];
      at = least;
    }
  }

  #before(a: number, b: number): boolean {
    const x = this.#heap[a]!;
    const y = this.#heap[b]!;
    return x.area_m2 < y.area_m2 || (x.area_m2 === y.area_m2 && x.part < y.part);
  }
}
