/**
 * Bench of the surfaces: `npx tsx test/bench/surfaces.ts`. Twelve neighbours, power 2, on two seeded fields of local metres; ours, the textbook
 * loop and a k-d tree (kdbush) in one run, interleaved, medians; what counts is the ratio. Beside each stands how far it is
 * from the textbook in the worst cell without a tie. Nothing here gates but that.
 */
import KDBush from 'kdbush';
import { makeBuckets } from '../../core/surfaces/buckets.kernel.ts';
import { type IdwJob, idwGrid, leaveOneOut } from '../../core/surfaces/idw.ts';
import { seeded } from '../surfaces/oracle.ts';

const K = 12;
const WORKLOADS = [
  { name: 'S, 160 ac, 64 samples, 10 m', side_m: 804.7, samples: 64, cell_m: 10, cols: 81 },
  { name: 'M, 640 ac, 256 samples, 3 m', side_m: 1609.3, samples: 256, cell_m: 3, cols: 537 },
];

interface Field {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
  readonly cell_m: number;
  readonly cols: number;
}
type Way = (field: Field) => Float64Array;

const ours: Way = ({ x, y, z, cell_m, cols }) => {
  const out = new Float64Array(cols * cols);
  const job: IdwJob = {
    buckets: makeBuckets(x, y),
    values: [z],
    power: 2,
    k: K,
    x0: cell_m / 2,
    y0: cell_m / 2,
    dx: cell_m,
    dy: cell_m,
    cols,
    rows: cols,
    wanted: new Float64Array(cols * cols).fill(1),
    out: [out],
    nearest_m: new Float32Array(cols * cols),
  };
  idwGrid(job);
  return out;
};

/** Every distance of every cell, the nearest kept in a sorted list. */
const plainLoop: Way = ({ x, y, z, cell_m, cols }) => {
  const out = new Float64Array(cols * cols);
  const d2 = new Float64Array(K);
  const at = new Int32Array(K);
  for (let cell = 0; cell < out.length; cell++) {
    const px = ((cell % cols) + 0.5) * cell_m;
    const py = (Math.floor(cell / cols) + 0.5) * cell_m;
    d2.fill(Number.POSITIVE_INFINITY);
    for (let i = 0; i < x.length; i++) {
      const d = ((x[i] ?? 0) - px) ** 2 + ((y[i] ?? 0) - py) ** 2;
      if (d >= (d2[K - 1] ?? 0)) continue;
      let slot = K - 1;
      for (; slot > 0 && (d2[slot - 1] ?? 0) > d; slot--) {
        d2[slot] = d2[slot - 1] ?? 0;
        at[slot] = at[slot - 1] ?? 0;
      }
      d2[slot] = d;
      at[slot] = i;
    }
    out[cell] = mean(d2, at, z);
  }
  return out;
};

/** A k-d tree asked for all within a radius that grows until it holds twelve. */
const tree: Way = ({ x, y, z, cell_m, cols }) => {
  const index = new KDBush(x.length);
  for (let i = 0; i < x.length; i++) index.add(x[i] ?? 0, y[i] ?? 0);
  index.finish();
  const out = new Float64Array(cols * cols);
  let radius = cell_m;
  for (let cell = 0; cell < out.length; cell++) {
    const px = ((cell % cols) + 0.5) * cell_m;
    const py = (Math.floor(cell / cols) + 0.5) * cell_m;
    let found = index.within(px, py, radius);
    while (found.length < K) {
      radius *= 1.2;
      found = index.within(px, py, radius);
    }
    const near = found
      .map((i) => ({ i, d: ((x[i] ?? 0) - px) ** 2 + ((y[i] ?? 0) - py) ** 2 }))
      .sort((a, b) => a.d - b.d || a.i - b.i)
      .slice(0, K);
    out[cell] = mean(
      near.map(({ d }) => d),
      near.map(({ i }) => i),
      z,
    );
    radius = Math.sqrt(near.at(-1)?.d ?? 0) * 1.05 + cell_m;
  }
  return out;
};

function mean(d2: ArrayLike<number>, at: ArrayLike<number>, z: Float64Array): number {
  let sum = 0;
  let total = 0;
  for (let i = 0; i < K; i++) {
    const weight = 1 / (d2[i] ?? 0);
    sum += weight * (z[at[i] ?? 0] ?? 0);
    total += weight;
  }
  return sum / total;
}

const WAYS: readonly (readonly [string, Way, number])[] = [
  ['ours', ours, 9],
  ['textbook loop', plainLoop, 3],
  ['kdbush, growing radius', tree, 3],
];
const median = (values: number[]): number => values.sort((a, b) => a - b)[values.length >> 1] ?? Number.NaN;

let wrong = false;
for (const { name, side_m, samples, cell_m, cols } of WORKLOADS) {
  const random = seeded(samples);
  const numbers = (scale: number, from = 0) => Float64Array.from({ length: samples }, () => from + random() * scale);
  const field: Field = { x: numbers(side_m), y: numbers(side_m), z: numbers(300, 40), cell_m, cols };
  const want = plainLoop(field);
  const times = WAYS.map((): number[] => []);
  const cold = WAYS.map(() => Number.NaN);
  const off = WAYS.map(() => 0);
  for (let round = 0; round < 9; round++)
    WAYS.forEach(([, way, rounds], w) => {
      if (round >= rounds) return;
      const start = performance.now();
      const got = way(field);
      const spent = performance.now() - start;
      if (round === 0) cold[w] = spent;
      else times[w]?.push(spent);
      off[w] = Math.max(off[w] ?? 0, worst(got, want));
    });
  const base = median(times[0] ?? []);
  console.log(name);
  WAYS.forEach(([way], w) => {
    const ms = median(times[w] ?? []);
    console.log(
      `  ${way.padEnd(24)} ${ms.toFixed(2).padStart(9)} ms warm ${(cold[w] ?? 0).toFixed(1).padStart(8)} first ${(ms / base).toFixed(1).padStart(7)} x ours   off by ${(off[w] ?? 0).toExponential(1)}`,
    );
    if (!((off[w] ?? 1) < 1e-12)) wrong = true;
  });
  const start = performance.now();
  for (const power of [1, 1.5, 2, 2.5, 3])
    for (const k of [6, 8, 12, 16, 0]) leaveOneOut(field.x, field.y, field.z, power, k);
  console.log(`  leave-one-out, 5 powers x 5 counts: ${(performance.now() - start).toFixed(1)} ms`);
}
if (wrong) {
  console.error('A result is not that of the textbook.');
  process.exitCode = 1;
}

function worst(got: Float64Array, want: Float64Array): number {
  let most = 0;
  for (let i = 0; i < got.length; i++)
    most = Math.max(most, Math.abs((got[i] ?? Number.NaN) / (want[i] ?? Number.NaN) - 1));
  return most;
}
