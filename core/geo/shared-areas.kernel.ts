import { bounds } from './bounds.ts';
import { nameFaces } from './faces.kernel.ts';
import { labelOnRay } from './label-on-ray.kernel.ts';
import { EdgeSet, makeGraph } from './planar-graph.kernel.ts';
import { toUnits, UNITS_PER_DEG } from './ring.ts';
import { snapRound } from './snap-round.kernel.ts';
import type { MultiPolygon } from './types.ts';
import { meanStrip_m2PerRad, RAD_PER_DEG } from './wgs84.ts';

/** Parts of a unit of 1e-9 degree that crossings are rounded to, 0.1 micrometre, so that areas keep some 11 digits. */
const FINE = 1024;

/** Ground that shape a[i] of the one list shares with shape b[i] of the other, numbers from 0. Each pair stands once. */
export interface SharedAreas {
  readonly a: Int32Array;
  readonly b: Int32Array;
  readonly m2: Float64Array;
}

/**
 * Area on the WGS84 ellipsoid that each shape of `ones` shares with each of `others`, by an overlay of both: all edges are noded by snap
 * rounding on a 1,024th of 1e-9 degree, and each face between them adds its area to the pair it lies in. Shapes of one list must not
 * overlap each other; each is valid, on 9 decimals, and wound per RFC 7946. Pairs that share nothing are left out.
 * Cost: edges times those near them. Sources: at the kernels and area.ts; the order of steps is ours.
 */
export function sharedAreas(ones: readonly MultiPolygon[], others: readonly MultiPolygon[]): SharedAreas {
  const box = bounds([...ones.flat(), ...others.flat()]);
  if (!(box.west <= box.east)) return { a: new Int32Array(0), b: new Int32Array(0), m2: new Float64Array(0) };
  const x0 = toUnits(box.west);
  const y0 = toUnits(box.south);
  const x1: number[] = [];
  const y1: number[] = [];
  const x2: number[] = [];
  const y2: number[] = [];
  const label: number[] = [];
  const addAll = (shapes: readonly MultiPolygon[]): void => {
    for (let shape = 0; shape < shapes.length; shape++) {
      for (const polygon of shapes[shape]!) {
        for (const ring of polygon) {
          for (let i = 1; i < ring.length; i++) {
            x1.push((toUnits(ring[i - 1]![0]) - x0) * FINE);
            y1.push((toUnits(ring[i - 1]![1]) - y0) * FINE);
            x2.push((toUnits(ring[i]![0]) - x0) * FINE);
            y2.push((toUnits(ring[i]![1]) - y0) * FINE);
            label.push(shape + 1);
          }
        }
      }
    }
  };
  addAll(ones);
  const firstOther = label.length;
  addAll(others);
  const chains = snapRound({
    x1: Float64Array.from(x1),
    y1: Float64Array.from(y1),
    x2: Float64Array.from(x2),
    y2: Float64Array.from(y2),
  });

  // Both sets hold all edges in the same order, so numbers of places and edges are the same; each has labels of its own list alone.
  const one = new EdgeSet();
  const other = new EdgeSet();
  for (let edge = 0; edge < label.length; edge++) {
    const [own, bare] = edge < firstOther ? [one, other] : [other, one];
    for (let at = chains.start[edge]! + 1; at < chains.start[edge + 1]!; at++) {
      own.addArc(chains.x[at - 1]!, chains.y[at - 1]!, chains.x[at]!, chains.y[at]!, label[edge]!, 0);
      // Once each way, which is no ring: the edge is known and has no label.
      bare.addRing(chains.x[at - 1]!, chains.y[at - 1]!, chains.x[at]!, chains.y[at]!);
      bare.addRing(chains.x[at]!, chains.y[at]!, chains.x[at - 1]!, chains.y[at - 1]!);
    }
  }
  const graph = makeGraph(one, () => true);
  const namesOf = (set: EdgeSet): Int32Array =>
    nameFaces(
      set,
      graph,
      (x, y) => labelOnRay(set, x, y),
      () => true,
    );
  const onesAt = namesOf(one);
  const othersAt = namesOf(other);

  const sums = new Map<number, number>();
  const add = (cycle: number, m2: number): void => {
    if (onesAt[cycle] === 0 || othersAt[cycle] === 0) return;
    const pair = (onesAt[cycle]! - 1) * others.length + othersAt[cycle]! - 1;
    sums.set(pair, (sums.get(pair) ?? 0) + m2);
  };
  const latOf = (y: number): number => (y0 + y / FINE) / UNITS_PER_DEG;
  const radPerFine = RAD_PER_DEG / (UNITS_PER_DEG * FINE);
  const { x, y, origin, cycle } = graph;
  for (let half = 0; half < origin.length; half += 2) {
    const left = cycle[half]!;
    const right = cycle[half + 1]!;
    if (onesAt[left] === onesAt[right] && othersAt[left] === othersAt[right]) continue;
    const [from, to] = [origin[half]!, origin[half + 1]!];
    if (x[from] === x[to]) continue;
    const strip = meanStrip_m2PerRad(box.south, latOf(y[from]!), latOf(y[to]!));
    const m2 = (x[from]! - x[to]!) * radPerFine * strip;
    add(left, m2);
    add(right, -m2);
  }
  const pairs = [...sums].filter(([, m2]) => m2 > 0).sort(([p], [q]) => p - q);
  return {
    a: Int32Array.from(pairs, ([pair]) => Math.floor(pair / others.length)),
    b: Int32Array.from(pairs, ([pair]) => pair % others.length),
    m2: Float64Array.from(pairs, ([, m2]) => m2),
  };
}
