import type { Arc } from './arcs.kernel.ts';
import { EdgeSet } from './planar-graph.kernel.ts';
import { toUnits } from './ring.ts';
import { snapRound } from './snap-round.kernel.ts';
import type { Lattice, MultiPolygon } from './types.ts';

/**
 * Arcs and the ground's rings as edges on whole units of 1e-9 degree that meet only at their ends.
 *
 * Only pieces of arcs that touch a crossed cell can come near a ring: they and the rings are snap rounded together. All
 * other pieces go in as they are, straight runs of them as one edge; positions of arcs are whole units, so that is exact.
 */
export function nodedEdges(arcs: readonly Arc[], lattice: Lattice, ground: MultiPolygon, crossed: Uint8Array): EdgeSet {
  const { cols, rows } = lattice;
  const x0 = toUnits(lattice.west_deg);
  const y0 = toUnits(lattice.south_deg);
  const quarterX = toUnits(lattice.dLng_deg) / 4;
  const quarterY = toUnits(lattice.dLat_deg) / 4;
  const touchesCrossed = (xa: number, ya: number, xb: number, yb: number): boolean => {
    const west = Math.max(0, Math.ceil(Math.min(xa, xb) / 4) - 1);
    const south = Math.max(0, Math.ceil(Math.min(ya, yb) / 4) - 1);
    for (let row = south; row <= Math.max(ya, yb) / 4 && row < rows; row++) {
      for (let col = west; col <= Math.max(xa, xb) / 4 && col < cols; col++) {
        if (crossed[row * cols + col] === 1) return true;
      }
    }
    return false;
  };

  const edges = new EdgeSet();
  const x1: number[] = [];
  const y1: number[] = [];
  const x2: number[] = [];
  const y2: number[] = [];
  const near = (ax: number, ay: number, bx: number, by: number): void => {
    x1.push(ax);
    y1.push(ay);
    x2.push(bx);
    y2.push(by);
  };
  const arcOf: Arc[] = [];
  for (const arc of arcs) {
    const count = arc.x.length;
    const pieces = arc.closed ? count : count - 1;
    const unitX = (i: number): number => x0 + arc.x[i % count]! * quarterX;
    const unitY = (i: number): number => y0 + arc.y[i % count]! * quarterY;
    // Pieces runStart .. i - 1 are straight and lie away from the rings.
    let runStart = 0;
    const endRun = (i: number): void => {
      if (runStart < i) edges.addArc(unitX(runStart), unitY(runStart), unitX(i), unitY(i), arc.left, arc.right);
      runStart = i;
    };
    for (let i = 0; i < pieces; i++) {
      const xa = arc.x[i]!;
      const ya = arc.y[i]!;
      const xb = arc.x[(i + 1) % count]!;
      const yb = arc.y[(i + 1) % count]!;
      if (touchesCrossed(xa, ya, xb, yb)) {
        endRun(i);
        near(unitX(i), unitY(i), unitX(i + 1), unitY(i + 1));
        arcOf.push(arc);
        runStart = i + 1;
      } else if (runStart < i) {
        const bend =
          (xa - arc.x[runStart]!) * (yb - arc.y[runStart]!) - (xb - arc.x[runStart]!) * (ya - arc.y[runStart]!);
        if (bend !== 0) endRun(i);
      }
    }
    endRun(pieces);
  }

  const arcPieces = x1.length;
  for (const ring of ground.flat()) {
    for (let i = 1; i < ring.length; i++) {
      const [ax, ay] = [toUnits(ring[i - 1]![0]), toUnits(ring[i - 1]![1])];
      const [bx, by] = [toUnits(ring[i]![0]), toUnits(ring[i]![1])];
      if (ax !== bx || ay !== by) near(ax, ay, bx, by);
      edges.markCorner(ax, ay);
    }
  }
  const list = {
    x1: Float64Array.from(x1),
    y1: Float64Array.from(y1),
    x2: Float64Array.from(x2),
    y2: Float64Array.from(y2),
  };
  const chains = snapRound(list);
  for (let piece = 0; piece < x1.length; piece++) {
    for (let at = chains.start[piece]! + 1; at < chains.start[piece + 1]!; at++) {
      const [ax, ay] = [chains.x[at - 1]!, chains.y[at - 1]!];
      const [bx, by] = [chains.x[at]!, chains.y[at]!];
      const arc = piece < arcPieces ? arcOf[piece]! : null;
      if (arc) edges.addArc(ax, ay, bx, by, arc.left, arc.right);
      else edges.addRing(ax, ay, bx, by);
    }
  }
  return edges;
}
