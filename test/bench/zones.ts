/** Tracing and sieving on field M: five classes of its surface inside a boundary, checked cell by cell. */
import { type Arc, traceArcs } from '../../core/geo/arcs.kernel.ts';
import { localFrame } from '../../core/geo/frame.ts';
import type { FieldGrid } from '../../core/geo/types.ts';
import { applyEdits } from '../../core/zones/edits.ts';
import type { ZoneEdit } from '../../core/zones/settings.ts';
import { sieveLabels } from '../../core/zones/sieve.kernel.ts';
import { ours } from './ways.ts';
import { NEAREST, type Workload } from './workloads.ts';

/** 225 cells of 3 m: half an acre. */
export const LEAST_CELLS = 225;

export interface Labels {
  readonly labels: Int16Array;
  readonly cover_m2: Float64Array;
  readonly cols: number;
}

/** Classes 1 to 5 with equally many cells, 0 outside a field with a wavy edge, a chopped corner and a hole. */
export function makeLabels(work: Workload): Labels {
  const { cols, cell_m } = work;
  const values = ours(NEAREST)(work);
  const inside = Float64Array.from(values.keys(), (cell) => {
    const u = (cell % cols) / cols;
    const v = Math.floor(cell / cols) / cols;
    const wavy = u > 0.02 + 0.01 * Math.sin(40 * v) && u + v < 1.85;
    return wavy && Math.hypot(u - 0.6, v - 0.4) > 0.06 ? 1 : 0;
  });
  const sorted = values.filter((_value, cell) => inside[cell] === 1).sort();
  const breaks = [0.2, 0.4, 0.6, 0.8].map((share) => sorted[Math.floor(share * sorted.length)] ?? 0);
  const labels = Int16Array.from(values, (value, cell) =>
    inside[cell] === 1 ? 1 + breaks.filter((limit) => value >= limit).length : 0,
  );
  return { labels, cover_m2: inside.map((one) => one * cell_m * cell_m), cols };
}

export const trace = ({ labels, cols }: Labels): readonly Arc[] => traceArcs(labels, cols, labels.length / cols);
export const sieve = ({ labels, cols, cover_m2 }: Labels, least_m2: number): Int16Array =>
  sieveLabels(labels, cols, cover_m2, least_m2, -1).labels;

/** Changes by hand, each by itself on the field: what a person waits for after one stroke. */
export const EDITS = ['join', 'cut', 'paint', 'draw'] as const satisfies readonly ZoneEdit['does'][];

/** One change of the kind, across much of the field; its labels. */
export function editOf(does: ZoneEdit['does'], cell_m: number): (given: Labels) => Int16Array {
  const frame = localFrame([-94.2, 42.7]);
  return ({ labels, cover_m2, cols }) => {
    const [dLng_deg, dLat_deg] = [cell_m / frame.mPerDegLng, cell_m / frame.mPerDegLat];
    const lattice = { west_deg: -94.2, south_deg: 42.7, dLng_deg, dLat_deg, cols, rows: labels.length / cols };
    const grid: FieldGrid = { lattice, frame, cell_m, cover_m2 };
    const at = (u: number, v: number): [number, number] => [
      lattice.west_deg + u * cols * dLng_deg,
      lattice.south_deg + v * cols * dLat_deg,
    ];
    const line = Array.from({ length: 60 }, (_, i) => at(i / 59, 0.5 + 0.2 * Math.sin(i / 6)));
    const edits = {
      join: { does: 'join', zones: ['1', '2'], into: '3' },
      cut: { does: 'cut', id: 'a', zone: '3', line },
      paint: { does: 'paint', into: '4', line, width_m: 30 },
      draw: {
        does: 'draw',
        id: 'b',
        rings: [[at(0.2, 0.2), at(0.7, 0.3), at(0.6, 0.8), at(0.3, 0.6), at(0.2, 0.2)]],
      },
    } as const satisfies Record<ZoneEdit['does'], ZoneEdit>;
    const classes = [1, 2, 3, 4, 5].map((key) => ({ key: String(key), name: '', what: '' }));
    const edit: ZoneEdit = edits[does] satisfies ZoneEdit as ZoneEdit; // read-only rings, which the schema's type is not
    return applyEdits({ labels, classes }, grid, [edit], 2000).labels;
  };
}

/** Cells of ground that were won or lost by a change, and 1 more where nothing was changed: 0 when all is well. */
export function editFault({ labels }: Labels, made: Int16Array): number {
  let faults = 0;
  let changed = 0;
  for (let cell = 0; cell < labels.length; cell++) {
    if ((labels[cell] === 0) !== (made[cell] === 0)) faults++;
    if (labels[cell] !== made[cell]) changed++;
  }
  return faults + (changed === 0 ? 1 : 0);
}

/** Largest difference between a label's cells and the area its lines enclose, in cells: 0 where no line is missing or double. */
export function traceFault({ labels }: Labels, arcs: readonly Arc[]): number {
  const area = new Map<number, number>();
  for (const { left, right, closed, x, y } of arcs) {
    let twice = 0;
    for (let i = 0; i + 1 < x.length; i++) twice += (x[i] ?? 0) * (y[i + 1] ?? 0) - (x[i + 1] ?? 0) * (y[i] ?? 0);
    if (closed) twice += (x.at(-1) ?? 0) * (y[0] ?? 0) - (x[0] ?? 0) * (y.at(-1) ?? 0);
    area.set(left, (area.get(left) ?? 0) + twice);
    area.set(right, (area.get(right) ?? 0) - twice);
  }
  // Positions are in quarters of a cell.
  return Math.max(
    ...[1, 2, 3, 4, 5].map((label) =>
      Math.abs((area.get(label) ?? 0) / 32 - labels.reduce((count, one) => count + (one === label ? 1 : 0), 0)),
    ),
  );
}

/** Parts under the limit that have a neighbour, and cells of the field won or lost: both should be none. */
export function sieveFault({ labels, cols }: Labels, made: ArrayLike<number>, least_cells: number): number {
  const seen = new Uint8Array(labels.length);
  let faults = 0;
  for (let first = 0; first < labels.length; first++) {
    const label = made[first] ?? 0;
    if ((label === 0) !== (labels[first] === 0)) faults++;
    if (label === 0 || seen[first] === 1) continue;
    const stack = [first];
    seen[first] = 1;
    let cells = 0;
    let neighbours = 0;
    for (let cell = stack.pop(); cell !== undefined; cell = stack.pop()) {
      cells++;
      const around = [
        cell % cols > 0 ? cell - 1 : -1,
        cell % cols < cols - 1 ? cell + 1 : -1,
        cell - cols,
        cell + cols < labels.length ? cell + cols : -1,
      ];
      for (const other of around) {
        const beside = other < 0 ? 0 : (made[other] ?? 0);
        if (beside !== 0 && beside !== label) neighbours++;
        if (beside !== label || seen[other] === 1) continue;
        seen[other] = 1;
        stack.push(other);
      }
    }
    if (cells < least_cells && neighbours > 0) faults++;
  }
  return faults;
}
