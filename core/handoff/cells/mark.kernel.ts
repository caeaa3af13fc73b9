import { cutEdge } from '../../geo/cover.kernel.ts';
import type { MultiPolygon } from '../../geo/types.ts';
import type { CellLattice } from './lattice.ts';

/** Metres: a cell this near to an edge counts as crossed, some ten times what rounding to 9 decimals moves a place. */
const SLACK_M = 0.002;

/** Calls `use` for each edge of the polygons, in cells: columns along, rows to the left. Ground stays on the left. */
function eachEdge(
  lattice: CellLattice,
  polygons: MultiPolygon,
  use: (u1: number, v1: number, u2: number, v2: number) => void,
): void {
  const { frame, sin, cos, u0_m, v0_m, length_m, swath_m } = lattice;
  for (const polygon of polygons) {
    for (const ring of polygon) {
      let u1 = 0;
      let v1 = 0;
      for (let i = 0; i < ring.length; i++) {
        const x = (ring[i]![0] - frame.lng0_deg) * frame.mPerDegLng;
        const y = (ring[i]![1] - frame.lat0_deg) * frame.mPerDegLat;
        const u2 = (x * sin + y * cos - u0_m) / length_m;
        const v2 = (y * sin - x * cos - v0_m) / swath_m;
        if (i > 0) use(u1, v1, u2, v2);
        u1 = u2;
        v1 = v2;
      }
    }
  }
}

/** 1 for each cell that an edge of the polygons runs through or within 2 mm of. Cost: pieces of edges between cell lines. */
export function markCrossed(lattice: CellLattice, polygons: MultiPolygon): Uint8Array {
  const { cols, rows } = lattice;
  const slackU = SLACK_M / lattice.length_m;
  const slackV = SLACK_M / lattice.swath_m;
  const crossed = new Uint8Array(cols * rows);
  eachEdge(lattice, polygons, (u1, v1, u2, v2) => {
    cutEdge(u1, v1, u2, v2, 1, 1, (ua, va, ub, vb) => {
      const first = Math.max(0, Math.floor(Math.min(ua, ub) - slackU));
      const last = Math.min(cols - 1, Math.floor(Math.max(ua, ub) + slackU));
      const low = Math.max(0, Math.floor(Math.min(va, vb) - slackV));
      const high = Math.min(rows - 1, Math.floor(Math.max(va, vb) + slackV));
      for (let row = low; row <= high; row++) for (let col = first; col <= last; col++) crossed[row * cols + col] = 1;
    });
  });
  return crossed;
}

/** Writes `value` to each cell whose middle lies in the polygons, by rows of middles (even-odd). Cost: edges x rows they span + cells. */
export function fillInside(lattice: CellLattice, polygons: MultiPolygon, value: number, into: Int32Array): void {
  const { cols, rows } = lattice;
  const cuts: number[][] = [];
  eachEdge(lattice, polygons, (u1, v1, u2, v2) => {
    const low = Math.min(v1, v2);
    const high = Math.max(v1, v2);
    // Middles at row + 0.5 within low <= middle < high.
    for (let row = Math.max(0, Math.ceil(low - 0.5)); row < rows && row + 0.5 < high; row++) {
      const at = u1 + ((row + 0.5 - v1) / (v2 - v1)) * (u2 - u1);
      const list = cuts[row];
      if (list) list.push(at);
      else cuts[row] = [at];
    }
  });
  for (let row = 0; row < rows; row++) {
    const list = cuts[row]?.sort((a, b) => a - b);
    if (!list) continue;
    for (let i = 0; i + 1 < list.length; i += 2) {
      const last = Math.min(cols, Math.ceil(list[i + 1]! - 0.5));
      for (let col = Math.max(0, Math.ceil(list[i]! - 0.5)); col < last; col++) into[row * cols + col] = value;
    }
  }
}
