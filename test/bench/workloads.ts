/** The four fields of the bench: seeded, in local metres, the whole bounding box so that every program does the same work. */
import { makeBuckets, nearest } from '../../core/surfaces/buckets.kernel.ts';
import { seeded } from '../surfaces/oracle.ts';

export const NEAREST = 12;
export const POWERS = [1, 1.5, 2, 2.5, 3];
/** 0 is all. */
export const COUNTS = [6, 8, 12, 16, 0];

export type WorkloadName = 'S' | 'M' | 'L' | 'Y';
export interface Workload {
  readonly name: WorkloadName;
  readonly what: string;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
  readonly cell_m: number;
  /** Columns and rows alike. */
  readonly cols: number;
}

const SIZES = {
  S: { what: '160 ac, 64 samples, cells of 10 m', side_m: 804.7, samples: 64, cell_m: 10, cols: 81 },
  M: { what: '640 ac, 256 samples, cells of 3 m', side_m: 1609.3, samples: 256, cell_m: 3, cols: 537 },
  L: { what: '5,000 ac, 2,000 samples, cells of 5 m', side_m: 4498.3, samples: 2000, cell_m: 5, cols: 900 },
  Y: { what: '640 ac, 500,000 yield points, cells of 5 m', side_m: 1609.3, samples: 500_000, cell_m: 5, cols: 322 },
} as const;
export const WORKLOAD_NAMES = ['S', 'M', 'L', 'Y'] as const satisfies readonly WorkloadName[];

/** Samples anywhere; yield points along passes 9.1 m (30 ft) apart, each a little off its line. */
export function makeWorkload(name: WorkloadName): Workload {
  const { what, side_m, samples, cell_m, cols } = SIZES[name];
  const random = seeded(samples);
  const x = new Float64Array(samples);
  const y = new Float64Array(samples);
  const z = new Float64Array(samples);
  const passes = Math.floor(side_m / 9.144);
  for (let i = 0; i < samples; i++) {
    const along = (i / samples) * passes;
    x[i] = name === 'Y' ? (Math.floor(along) + 0.5) * 9.144 + random() - 0.5 : random() * side_m;
    y[i] = name === 'Y' ? (along % 1) * side_m : random() * side_m;
    z[i] = 40 + random() * 300;
  }
  return { name, what, x, y, z, cell_m, cols };
}

/** Radius that just holds the nearest twelve of every cell: the best case of a search by radius. */
export function tightRadius_m({ x, y, cell_m, cols }: Workload): number {
  const buckets = makeBuckets(x, y);
  const index = new Int32Array(NEAREST);
  const d2 = new Float64Array(NEAREST);
  let most = 0;
  for (let cell = 0; cell < cols * cols; cell++) {
    nearest(buckets, ((cell % cols) + 0.5) * cell_m, (Math.floor(cell / cols) + 0.5) * cell_m, NEAREST, index, d2, -1);
    most = Math.max(most, d2[NEAREST - 1] ?? 0);
  }
  return Math.ceil(Math.sqrt(most) * 1.0001);
}

/**
 * Milliseconds of processor that this process has used, its helper threads (compiler, garbage collector) included. Alone on a machine that is
 * the clock's time; on a busy one it does not count the others' turns.
 */
export function processor_ms(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}
