import { isInside } from './nest.ts';
import { orient } from './orient.kernel.ts';
import { clockwiseOf, type PlanarGraph } from './planar-graph.kernel.ts';
import { toDegrees } from './ring.ts';
import type { LngLat, LocalFrame, MultiPolygon, Polygon, Ring } from './types.ts';

/** A loop of half-edges with one label on its left: an outer ring when it runs counter-clockwise, else a hole. */
export interface Loop {
  readonly halves: readonly number[];
  readonly twiceArea: number;
}

export interface Part {
  readonly outer: Loop;
  readonly holes: readonly Loop[];
}

/**
 * Parts of each label, by label. Loops keep to their own side where four faces meet and are cut where they come back to
 * a corner, so that each is simple; every hole goes to the smallest outer loop of its label around it.
 */
export function gatherParts(graph: PlanarGraph, names: Int32Array): Map<number, Part[]> {
  const outers = new Map<number, Loop[]>();
  const holes = new Map<number, Loop[]>();
  const { origin, cycle } = graph;
  const isBorder = (half: number): boolean => names[cycle[half]!] !== names[cycle[half ^ 1]!];
  const seen = new Uint8Array(origin.length);
  const onPath = new Int32Array(graph.x.length).fill(-1);
  for (let first = 0; first < origin.length; first++) {
    if (origin[first]! < 0 || seen[first] || names[cycle[first]!] === 0 || !isBorder(first)) continue;
    const name = names[cycle[first]!]!;
    const emit = (halves: readonly number[]): void => {
      for (const half of halves) onPath[origin[half]!] = -1;
      const loop = { halves, twiceArea: twiceAreaOf(graph, halves) };
      const lists = loop.twiceArea > 0 ? outers : holes;
      const list = lists.get(name);
      if (list) list.push(loop);
      else lists.set(name, [loop]);
    };
    const path: number[] = [];
    let half = first;
    do {
      seen[half] = 1;
      const met = onPath[origin[half]!]!;
      if (met >= 0) emit(path.splice(met));
      onPath[origin[half]!] = path.length;
      path.push(half);
      half = clockwiseOf(graph, half ^ 1);
      while (!isBorder(half)) half = clockwiseOf(graph, half);
    } while (half !== first);
    emit(path);
  }
  const parts = new Map<number, Part[]>();
  for (const [name, list] of [...outers].sort(([a], [b]) => a - b)) {
    parts.set(name, nest(graph, list, holes.get(name) ?? []));
  }
  return parts;
}

function twiceAreaOf({ x, y, origin }: PlanarGraph, halves: readonly number[]): number {
  const x0 = x[origin[halves[0]!]!]!;
  const y0 = y[origin[halves[0]!]!]!;
  let sum = 0;
  for (const half of halves) {
    const from = origin[half]!;
    const to = origin[half ^ 1]!;
    sum += (x[from]! - x0) * (y[to]! - y0) - (x[to]! - x0) * (y[from]! - y0);
  }
  return sum;
}

interface Box {
  readonly west: number;
  readonly east: number;
  readonly south: number;
  readonly north: number;
}

function nest(graph: PlanarGraph, outers: readonly Loop[], holes: readonly Loop[]): Part[] {
  const parts = outers.map((outer) => ({ outer, holes: [] as Loop[] }));
  if (holes.length === 0) return parts;
  const bySize = parts
    .map((part) => ({ part, box: boxOf(graph, part.outer), flat: null as Float64Array | null }))
    .sort((a, b) => a.part.outer.twiceArea - b.part.outer.twiceArea);
  for (const hole of holes) {
    const box = boxOf(graph, hole);
    const flat = flatLoop(graph, hole);
    const home = bySize.find((around) => {
      if (box.west < around.box.west || box.east > around.box.east) return false;
      if (box.south < around.box.south || box.north > around.box.north) return false;
      around.flat ??= flatLoop(graph, around.part.outer);
      return isInside(flat, around.flat);
    });
    if (!home) throw new Error('a hole lies in no part of its label');
    home.part.holes.push(hole);
  }
  return parts;
}

function boxOf({ x, y, origin }: PlanarGraph, loop: Loop): Box {
  let west = Infinity;
  let south = Infinity;
  let east = -Infinity;
  let north = -Infinity;
  for (const half of loop.halves) {
    west = Math.min(west, x[origin[half]!]!);
    east = Math.max(east, x[origin[half]!]!);
    south = Math.min(south, y[origin[half]!]!);
    north = Math.max(north, y[origin[half]!]!);
  }
  return { west, south, east, north };
}

function flatLoop({ x, y, origin }: PlanarGraph, loop: Loop): Float64Array {
  const flat = new Float64Array(2 * loop.halves.length + 2);
  loop.halves.forEach((half, i) => {
    flat[2 * i] = x[origin[half]!]!;
    flat[2 * i + 1] = y[origin[half]!]!;
  });
  flat[flat.length - 2] = flat[0]!;
  flat[flat.length - 1] = flat[1]!;
  return flat;
}

/**
 * Gives parts under `least_m2` to the label that they share most border with, smallest first. A part that touches no
 * other label stays, and the label `still` neither gives nor takes. Writes to `names`; true when any changed.
 */
export function mergeSlivers(
  graph: PlanarGraph,
  names: Int32Array,
  parts: ReadonlyMap<number, readonly Part[]>,
  frame: LocalFrame,
  slivers: { readonly least_m2: number; readonly still?: number },
): boolean {
  const m2PerUnit = frame.mPerDegLng * frame.mPerDegLat * 1e-18;
  const small = [...parts]
    .flatMap(([name, own]) => (name === slivers.still ? [] : own))
    .filter((part) => (part.outer.twiceArea / 2) * m2PerUnit < slivers.least_m2)
    .sort((a, b) => a.outer.twiceArea - b.outer.twiceArea);
  if (small.length === 0) return false;
  let changed = false;
  for (const part of small) {
    const halves = [part.outer, ...part.holes].flatMap((loop) => loop.halves);
    const neighbour = longestNeighbour(graph, names, halves, frame, slivers.still);
    if (neighbour === 0) continue;
    changed = true;
    const own = names[graph.cycle[halves[0]!]!]!;
    const stack = halves.map((half) => graph.cycle[half]!);
    while (stack.length > 0) {
      const at = stack.pop()!;
      if (names[at] !== own) continue;
      names[at] = neighbour;
      const first = graph.halfOf[at]!;
      let half = first;
      do {
        const beside = graph.cycle[half ^ 1]!;
        if (names[beside] === own) stack.push(beside);
        half = clockwiseOf(graph, half ^ 1);
      } while (half !== first);
    }
  }
  return changed;
}

function longestNeighbour(
  graph: PlanarGraph,
  names: Int32Array,
  halves: readonly number[],
  frame: LocalFrame,
  still: number | undefined,
): number {
  const own = names[graph.cycle[halves[0]!]!]!;
  const lengths = new Map<number, number>();
  for (const half of halves) {
    const other = names[graph.cycle[half ^ 1]!]!;
    if (other === own || other === 0 || other === still) continue;
    const from = graph.origin[half]!;
    const to = graph.origin[half ^ 1]!;
    const east = (graph.x[to]! - graph.x[from]!) * frame.mPerDegLng;
    const north = (graph.y[to]! - graph.y[from]!) * frame.mPerDegLat;
    lengths.set(other, (lengths.get(other) ?? 0) + Math.hypot(east, north));
  }
  let best = 0;
  let most = -1;
  for (const [other, length] of [...lengths].sort(([a], [b]) => a - b)) {
    if (length > most) {
      most = length;
      best = other;
    }
  }
  return best;
}

/**
 * Polygons of each label. Corners that lie exactly on the line between their neighbours and where no third label, no
 * corner of the ground comes in are left out, on both sides alike.
 */
export function drawParts(
  graph: PlanarGraph,
  names: Int32Array,
  parts: ReadonlyMap<number, readonly Part[]>,
  isGroundCorner: (node: number) => boolean,
): Map<number, MultiPolygon> {
  const { x, y, origin, start, around, cycle } = graph;
  const isPlain = (node: number): boolean => {
    let borders = 0;
    for (let at = start[node]!; at < start[node + 1]!; at++) {
      const half = around[at]!;
      if (names[cycle[half]!] !== names[cycle[half ^ 1]!]) borders++;
    }
    return borders === 2 && !isGroundCorner(node);
  };
  const ring = (loop: Loop): Ring => {
    const { halves } = loop;
    const out: LngLat[] = [];
    for (let i = 0; i < halves.length; i++) {
      const before = origin[halves[i === 0 ? halves.length - 1 : i - 1]!]!;
      const node = origin[halves[i]!]!;
      const after = origin[halves[i]! ^ 1]!;
      const bend = orient(x[before]!, y[before]!, x[node]!, y[node]!, x[after]!, y[after]!);
      if (bend === 0 && isPlain(node)) continue;
      out.push([toDegrees(x[node]!), toDegrees(y[node]!)]);
    }
    out.push(out[0]!);
    return out;
  };
  const drawn = new Map<number, MultiPolygon>();
  for (const [name, list] of parts) {
    drawn.set(
      name,
      list.map(({ outer, holes }): Polygon => [ring(outer), ...holes.map(ring)]),
    );
  }
  return drawn;
}
