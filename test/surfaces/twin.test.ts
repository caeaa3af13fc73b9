import { readFile } from 'node:fs/promises';
import fc from 'fast-check';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { TWIN_FILE, twinModule } from '../../app/kernels/build.ts';
import { makeBuckets } from '../../core/surfaces/buckets.kernel.ts';
import { type IdwJob, plainRows, tileSide } from '../../core/surfaces/idw.kernel.ts';
import { idwGrid } from '../../core/surfaces/idw.ts';
import { type OthersScan, scanNearest } from '../../core/surfaces/others.kernel.ts';
import { addPairs, type Pairs, pairsPrediction, SUMS } from '../../core/surfaces/pairs.kernel.ts';
import { hasTwin, nearestByTwin, pairsByTwin, rowsByTwin } from '../../core/surfaces/twin.kernel.ts';

const HALVES = [1, 1.5, 2, 2.5, 3, 3.5, 4];

/** Whole metres on cells of 1 m put samples on cell centres and at equal distances everywhere; millimetres do not. */
const coordinate = fc.oneof(
  fc.integer({ min: -6, max: 40 }),
  fc.integer({ min: -6000, max: 40_000 }).map((mm) => mm / 1000),
);
const value = fc.oneof(
  { weight: 20, arbitrary: fc.double({ min: -50, max: 900, noNaN: true }) },
  { weight: 1, arbitrary: fc.constant(Number.NaN) },
);
const samples = fc.oneof(
  fc.array(fc.tuple(coordinate, coordinate), { minLength: 1, maxLength: 12 }),
  fc.array(fc.tuple(coordinate, coordinate), { minLength: 40, maxLength: 120, size: 'max' }),
  // A crowd in one place, one far away, and copies.
  fc
    .array(fc.tuple(fc.integer({ min: 0, max: 99 }), fc.integer({ min: 0, max: 99 })), {
      minLength: 70,
      maxLength: 160,
      size: 'max',
    })
    .map((places) => [
      ...places.map(([x, y]): [number, number] => [7 + x / 100, 9 + y / 100]),
      [39, -5] as [number, number],
    ]),
);
const fieldOf = (value: fc.Arbitrary<number>) =>
  samples.chain((places) =>
    fc.record({
      x: fc.constant(Float64Array.from(places, ([x]) => x)),
      y: fc.constant(Float64Array.from(places, ([, y]) => y)),
      values: fc.array(fc.array(value, { minLength: places.length, maxLength: places.length, size: 'max' }), {
        maxLength: 3,
        size: 'max',
      }),
    }),
  );
const field = fieldOf(value);
/** Where a sample's own value has no weight, NaN times 0 would tell. Samples are finite. */
const finiteField = fieldOf(fc.double({ min: -50, max: 900, noNaN: true }));
const radius = fc.oneof(fc.constant(null), fc.double({ min: 0.5, max: 30, noNaN: true }));

const job = fc
  .record({
    field,
    power: fc.constantFrom(2, 2, ...HALVES),
    k: fc.integer({ min: 1, max: 30 }),
    radius_m: radius,
    cols: fc.integer({ min: 1, max: 37 }),
    rows: fc.integer({ min: 1, max: 37 }),
    dx: fc.constantFrom(1, 0.7, 3),
    off: fc.constantFrom(0, 0.25, -3.1),
    gaps: fc.integer({ min: 1, max: 5 }),
    looks: fc.boolean(),
  })
  .map(({ field: { x, y, values }, off, gaps, looks, ...rest }) => {
    const cells = rest.cols * rest.rows;
    return (): IdwJob => ({
      ...rest,
      buckets: makeBuckets(x, y),
      values: values.map((column) => Float64Array.from(column)),
      k: Math.min(rest.k, x.length),
      x0: off,
      y0: off,
      dy: rest.dx,
      wanted: Float64Array.from({ length: cells }, (_none, cell) => (gaps > 1 && cell % gaps === 0 ? 0 : 2)),
      out: values.map(() => new Float64Array(cells).fill(-7)),
      nearest_m: new Float32Array(looks ? cells : 0).fill(-7),
    });
  });

/** Same bits: NaN is NaN, and 0 is not -0. */
const expectSame = (made: ArrayLike<number>, want: ArrayLike<number>): void => {
  for (let i = 0; i < want.length; i++)
    if (!Object.is(made[i], want[i])) expect.fail(`${made[i]} instead of ${want[i]} at ${i}`);
  expect(made.length).toBe(want.length);
};

/** What a cell at a sample gets is written afterwards, by the one loop for both. */
const clearHits = (work: IdwJob): void => {
  const { x, y } = work.buckets;
  for (let cell = 0; cell < work.cols * work.rows; cell++) {
    const px = work.x0 + (cell % work.cols) * work.dx;
    const py = work.y0 + Math.floor(cell / work.cols) * work.dy;
    if (x.some((sx, i) => (sx - px) ** 2 + ((y[i] ?? 0) - py) ** 2 < 1e-18))
      for (const column of work.out) column[cell] = 0;
  }
};

describe('the twin in WebAssembly', () => {
  test('runs here, and is what the script builds', async () => {
    expect(hasTwin()).toBe(true);
    expect(await readFile(TWIN_FILE, 'utf8')).toBe(await twinModule());
  }, 60_000);

  test.each([16, 8, 4, 1, 0])('gives the bits of the TypeScript kernel, tiles of %d', (side) => {
    fc.assert(
      fc.property(job, fc.integer({ min: 0, max: 2 }), (make, bands) => {
        const [made, want] = [make(), make()];
        for (const work of [made, want]) if (side === 0) Object.assign(work, { k: work.buckets.x.length });
        const middle = Math.min(made.rows, bands * Math.max(1, side));
        for (const [from, to] of [
          [0, middle],
          [middle, made.rows],
        ] as const) {
          expect(rowsByTwin(made, side, from, to)).toBe(true);
          plainRows(want, side, from, to);
        }
        for (const work of [made, want]) if (side !== 1) clearHits(work);
        made.out.forEach((column, v) => {
          expectSame(column, want.out[v] ?? []);
        });
        if (side > 0) expectSame(made.nearest_m, want.nearest_m);
      }),
      { numRuns: 150 },
    );
  });

  test('leaves a power that needs pow to the TypeScript kernel', () => {
    const [make] = fc.sample(
      job.filter((one) => one().out.length > 0),
      1,
    );
    const work = { ...(make?.() ?? expect.fail('no job')), power: 1.7 };
    expect(rowsByTwin(work, tileSide(work), 0, work.rows)).toBe(false);
  });

  const scanOf = (
    { x, y, values }: { x: Float64Array; y: Float64Array; values: readonly (readonly number[])[] },
    powers: readonly number[],
    counts: readonly number[],
    radius_m: number | null,
  ): OthersScan => ({
    buckets: makeBuckets(x, y),
    layers: values.map((column) => Float64Array.from(column)),
    powers,
    counts: Int32Array.from(counts),
    all: true,
    most_m2: radius_m === null ? Number.POSITIVE_INFINITY : radius_m * radius_m,
    predicted: Array.from({ length: counts.length * powers.length * values.length }, () =>
      new Float64Array(x.length).fill(Number.NaN),
    ),
    index: new Int32Array(x.length + 1),
    d2: new Float64Array(x.length + 1),
    low: true,
    high: true,
    root: new Float64Array(x.length),
    half: new Float64Array(x.length),
    weight: new Float64Array(x.length + 1),
    sums: new Float64Array(14),
  });
  const powers = fc.subarray(HALVES, { minLength: 1 });
  const counts = fc.subarray([1, 2, 5, 12, 24], { minLength: 1 });

  test('leaves one out among the nearest, to the bit', () => {
    fc.assert(
      fc.property(field, powers, counts, radius, fc.nat(), (given, ps, ks, radius_m, cut) => {
        const [made, want] = [scanOf(given, ps, ks, radius_m), scanOf(given, ps, ks, radius_m)];
        const n = given.x.length;
        for (const [from, to] of [
          [0, cut % n],
          [cut % n, n],
        ] as const) {
          expect(nearestByTwin(made, from, to)).toBe(true);
          scanNearest(want, from, to);
        }
        made.predicted.forEach((column, c) => {
          expectSame(column, want.predicted[c] ?? []);
        });
      }),
      { numRuns: 150 },
    );
  });

  test('leaves one out among all, to the bit', () => {
    fc.assert(
      fc.property(finiteField, radius, fc.nat(), (given, radius_m, cut) => {
        const scan = scanOf(given, HALVES, [1], radius_m);
        const n = given.x.length;
        const pairsOf = (): Pairs => ({
          x: given.x,
          y: given.y,
          layers: scan.layers,
          sums: scan.layers.map(() => new Float64Array(SUMS * n)),
          same: new Int32Array(n).fill(-1),
          most_m2: scan.most_m2,
          low: true,
          high: true,
          root: new Float64Array(n),
          half: new Float64Array(n),
        });
        const [made, want] = [pairsOf(), pairsOf()];
        expect(pairsByTwin(made, scan, 0, cut % n) && pairsByTwin(made, scan, cut % n, n)).toBe(true);
        addPairs(want, 0, n);
        expectSame(made.same, want.same);
        scan.layers.forEach((_, layer) => {
          for (const power of HALVES) {
            const [a, b] = [new Float64Array(n), new Float64Array(n)];
            pairsPrediction(made, layer, power, a);
            pairsPrediction(want, layer, power, b);
            expectSame(a, b);
          }
        });
      }),
      { numRuns: 150 },
    );
  });
});

describe('a host without it', () => {
  afterEach(() => {
    vi.unstubAllGlobals();
    vi.resetModules();
  });

  const refuses = class {
    constructor() {
      throw new Error('refused by the content policy');
    }
  };

  test.each([
    ['has no WebAssembly', undefined],
    ['forbids it', { Module: refuses, Instance: refuses }],
  ])('%s: the same surface all the same', async (_why, host) => {
    const [make] = fc.sample(
      job.filter((one) => one().out.length > 1 && one().buckets.x.length > 30),
      1,
    );
    const [made, want] = [make?.() ?? expect.fail('no job'), make?.() ?? expect.fail('no job')];
    idwGrid(want);
    vi.stubGlobal('WebAssembly', host);
    vi.resetModules();
    const alone = await import('../../core/surfaces/idw.ts');
    const twin = await import('../../core/surfaces/twin.kernel.ts');
    alone.idwGrid(made);
    expect(twin.hasTwin()).toBe(false);
    expect(made.out).toEqual(want.out);
    expect(made.nearest_m).toEqual(want.nearest_m);
  });
});
