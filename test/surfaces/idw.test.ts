import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { makeBuckets } from '../../core/surfaces/buckets.kernel.ts';
import { tileSide } from '../../core/surfaces/idw.kernel.ts';
import {
  coarseGrid,
  coarseStep,
  type IdwJob,
  idwAt,
  idwGrid,
  leaveOneOut,
  scanOthers,
} from '../../core/surfaces/idw.ts';
import { seeded, textbook } from './oracle.ts';

const floats = (...values: number[]) => Float64Array.from(values);

describe('three samples, worked by hand', () => {
  // In feet: (0, 0) = 100, (300, 0) = 160, (0, 400) = 220. The figures follow from the formula with d = 0 to 500.
  const x = floats(0, 300, 0);
  const y = floats(0, 0, 400);
  const z = floats(100, 160, 220);
  const at = (px: number, py: number, power: number) => idwAt(x, y, z, floats(px), floats(py), power, 0)[0];

  test.each([
    [150, 0, 1, 143.4409],
    [150, 0, 2, 135.2258],
    [150, 0, 3, 131.9067],
    [150, 200, 1, 160],
    [150, 200, 2, 160],
    [150, 200, 3.7, 160],
    [0, 100, 1, 135.7511],
    [0, 100, 2, 115.9633],
    [0, 100, 3, 105.9344],
  ])('(%d, %d) with power %d is %d', (px, py, power, want) => {
    expect(at(px, py, power)).toBeCloseTo(want, 4);
  });

  test('leave-one-out with power 2', () => {
    const { predicted, rmse, mae, meanRmse, samples } = leaveOneOut(x, y, z, 2, 0);
    expect(predicted[0]).toBeCloseTo(100 + 81.6, 3);
    expect(predicted[1]).toBeCloseTo(160 - 28.235, 3);
    expect(predicted[2]).toBeCloseTo(220 - 96.585, 3);
    expect(rmse).toBeCloseTo(74.799, 3);
    expect(mae).toBeCloseTo(68.807, 3);
    // The others' means are 190, 160 and 130: errors 90, 0 and -90.
    expect(meanRmse).toBeCloseTo(Math.sqrt((90 ** 2 + 90 ** 2) / 3), 10);
    expect(samples).toBe(3);
  });

  test('neighbours equally far count by ascending index', () => {
    // (0, 0) and (300, 0) are both 150 away; with one neighbour the first is taken.
    expect(idwAt(x, y, z, floats(150), floats(0), 2, 1)[0]).toBe(100);
  });

  test('no sample, or one left out alone, gives NaN', () => {
    expect(idwAt(floats(), floats(), floats(), floats(1), floats(1), 2, 12)[0]).toBeNaN();
    expect(leaveOneOut(floats(1), floats(1), floats(5), 2, 12).rmse).toBeNaN();
  });
});

/** Whole millimetres: nearer than that no two samples are two. */
const coordinate = fc.integer({ min: -2_000_000, max: 2_000_000 }).map((mm) => mm / 1000);
const sample = fc.record({ x: coordinate, y: coordinate, z: fc.double({ min: -50, max: 900, noNaN: true }) });
const field = fc.uniqueArray(sample, { minLength: 1, maxLength: 40, selector: ({ x, y }) => `${x} ${y}` });
const power = fc.oneof(fc.constantFrom(1, 1.5, 2, 2.5, 3, 4), fc.double({ min: 0.5, max: 6, noNaN: true }));
const k = fc.integer({ min: 0, max: 20 });
const columns = (samples: readonly { x: number; y: number; z: number }[]) =>
  [samples.map(({ x }) => x), samples.map(({ y }) => y), samples.map(({ z }) => z)].map((values) =>
    Float64Array.from(values),
  ) as [Float64Array<ArrayBuffer>, Float64Array<ArrayBuffer>, Float64Array<ArrayBuffer>];
/** Distances from a place, with no two so close that rounding may change their order. */
const untied = (samples: readonly { x: number; y: number }[], px: number, py: number): boolean => {
  const d = samples.map(({ x, y }) => Math.hypot(x - px, y - py)).sort((a, b) => a - b);
  return d.every((value, index) => index === 0 || value - (d[index - 1] ?? 0) > 1e-6) && (d[0] ?? 0) > 1e-3;
};

describe('laws', () => {
  test('a place at a sample has its value', () => {
    fc.assert(
      fc.property(field, power, k, (samples, p, count) => {
        const [x, y, z] = columns(samples);
        expect([...idwAt(x, y, z, x, y, p, count)]).toEqual([...z]);
      }),
    );
  });

  test('every value lies between the least and the greatest sample; constant in, constant out', () => {
    fc.assert(
      fc.property(field, power, k, coordinate, coordinate, (samples, p, count, px, py) => {
        const [x, y, z] = columns(samples);
        const [value = Number.NaN] = idwAt(x, y, z, floats(px), floats(py), p, count);
        const slack = 1e-9 * (1 + Math.max(...z.map(Math.abs)));
        expect(value).toBeGreaterThanOrEqual(Math.min(...z) - slack);
        expect(value).toBeLessThanOrEqual(Math.max(...z) + slack);
        expect(
          idwAt(
            x,
            y,
            z.map(() => 137),
            floats(px),
            floats(py),
            p,
            count,
          )[0],
        ).toBeCloseTo(137, 9);
      }),
    );
  });

  test('the order of the samples, moving everything and turning everything do not matter', () => {
    fc.assert(
      fc.property(
        field,
        power,
        k,
        coordinate,
        coordinate,
        fc.integer({ min: -4000, max: 4000 }),
        fc.double({ min: 0, max: 2 * Math.PI, noNaN: true }),
        (samples, p, count, px, py, move, angle) => {
          fc.pre(untied(samples, px, py));
          const [x, y, z] = columns(samples);
          const value = idwAt(x, y, z, floats(px), floats(py), p, count)[0] ?? Number.NaN;
          const [rx, ry, rz] = columns([...samples].reverse());
          const moved = idwAt(
            x.map((v) => v + move),
            y.map((v) => v - move),
            z,
            floats(px + move),
            floats(py - move),
            p,
            count,
          )[0];
          const scale = 1 + Math.max(...z.map(Math.abs));
          expect(
            Math.abs((idwAt(rx, ry, rz, floats(px), floats(py), p, count)[0] ?? Number.NaN) - value) / scale,
          ).toBeLessThan(1e-11);
          expect(Math.abs((moved ?? Number.NaN) - value) / scale).toBeLessThan(1e-5);
          const east = (vx: number, vy: number) => vx * Math.cos(angle) - vy * Math.sin(angle);
          const north = (vx: number, vy: number) => vx * Math.sin(angle) + vy * Math.cos(angle);
          const turned = idwAt(
            x.map((v, i) => east(v, y[i] ?? 0)),
            x.map((v, i) => north(v, y[i] ?? 0)),
            z,
            floats(east(px, py)),
            floats(north(px, py)),
            p,
            count,
          )[0];
          expect(Math.abs((turned ?? Number.NaN) - value) / scale).toBeLessThan(1e-5);
        },
      ),
    );
  });

  test('any place, power and count agree with the textbook', () => {
    fc.assert(
      fc.property(field, power, k, coordinate, coordinate, (samples, p, count, px, py) => {
        const [x, y, z] = columns(samples);
        const value = idwAt(x, y, z, floats(px), floats(py), p, count)[0] ?? Number.NaN;
        const want = textbook(x, y, z, px, py, p, count);
        expect(Math.abs(value - want)).toBeLessThan(1e-10 * (1 + Math.max(...z.map(Math.abs))));
      }),
      { numRuns: 300 },
    );
  });
});

describe('a radius', () => {
  const radius = fc.double({ min: 1, max: 3000, noNaN: true });

  test('is inclusive, and a place without a sample in it has no value', () => {
    const [x, y, z] = [floats(0, 300, 0), floats(0, 0, 400), floats(100, 160, 220)];
    const at = (r: number | null) => idwAt(x, y, z, floats(0), floats(100), 2, 0, r)[0];
    // Distances 100, 316.2 and 300: weights 1/1e4, 1/1e5 and 1/9e4.
    expect(at(99.999)).toBeNaN();
    expect(at(100)).toBe(100);
    expect(at(300)).toBeCloseTo((100 / 1e4 + 220 / 9e4) / (1 / 1e4 + 1 / 9e4), 10);
    expect(at(317)).toBeCloseTo(115.9633, 4);
    expect(at(null)).toBe(at(317));
  });

  test('any place, power, count and radius agree with the textbook', () => {
    fc.assert(
      fc.property(field, power, k, radius, coordinate, coordinate, (samples, p, count, r, px, py) => {
        const [x, y, z] = columns(samples);
        const value = idwAt(x, y, z, floats(px), floats(py), p, count, r)[0] ?? 0;
        const want = textbook(x, y, z, px, py, p, count, -1, r);
        if (Number.isNaN(want)) expect(value).toBeNaN();
        else expect(Math.abs(value - want)).toBeLessThan(1e-10 * (1 + Math.max(...z.map(Math.abs))));
      }),
      { numRuns: 300 },
    );
  });

  test('leave-one-out counts the samples that have another in the radius', () => {
    const [x, y, z] = [floats(0, 10, 500), floats(0, 0, 0), floats(1, 2, 30)];
    const { samples, rmse, predicted } = leaveOneOut(x, y, z, 2, 0, 50);
    expect([...predicted]).toEqual([2, 1, Number.NaN]);
    expect(samples).toBe(2);
    expect(rmse).toBe(1);
  });
});

describe('the errors of many settings from one search', () => {
  /** Places on a coarse grid now and then, so that some are met twice. */
  const spot = fc.oneof(
    coordinate,
    fc.integer({ min: -3, max: 3 }).map((v) => v * 100),
  );
  const place = fc.record({ x: spot, y: spot, z: fc.double({ min: -50, max: 900, noNaN: true }) });
  const powers = fc.uniqueArray(fc.oneof(fc.constantFrom(1, 1.5, 2, 2.5, 3, 3.5, 4), power), {
    minLength: 1,
    maxLength: 7,
  });
  const counts = fc.uniqueArray(fc.integer({ min: 0, max: 30 }), { minLength: 1, maxLength: 5 });
  const radius = fc.option(fc.double({ min: 1, max: 3000, noNaN: true }), { nil: null });

  test('are those of leave-one-out and of the textbook at each setting, whatever the pieces', () => {
    fc.assert(
      fc.property(
        fc.array(place, { minLength: 1, maxLength: 30 }),
        powers,
        counts,
        radius,
        fc.integer({ min: 1, max: 30 }),
        (samples, ps, ks, r, piece) => {
          const [x, y, z] = columns(samples);
          const layers = [z, z.map((value) => value * value - 3)];
          const scan = scanOthers(x, y, layers, ps, ks, r);
          for (let from = 0; from < x.length; from += piece) scan.step(from, Math.min(from + piece, x.length));
          const made = scan.errors();
          const order = [...ks].sort((a, b) => (a || 99) - (b || 99)).flatMap((n) => ps.map((p) => [n, p]));
          for (const [at, layer] of layers.entries()) {
            expect(made[at]?.map(({ neighbours, power: p }) => [neighbours, p])).toEqual(order);
            for (const { neighbours, power: p, rmse, mae } of made[at] ?? []) {
              const want = [...layer.keys()].map((i) =>
                textbook(x, y, layer, x[i] ?? 0, y[i] ?? 0, p, neighbours, i, r ?? Number.POSITIVE_INFINITY),
              );
              const off = want.map((value, i) => value - (layer[i] ?? 0)).filter((value) => !Number.isNaN(value));
              const wantRmse = Math.sqrt(off.reduce((sum, value) => sum + value * value, 0) / off.length);
              const wantMae = off.reduce((sum, value) => sum + Math.abs(value), 0) / off.length;
              const one = leaveOneOut(x, y, layer, p, neighbours, r);
              expect(one.samples).toBe(off.length);
              for (const [got, wanted] of [
                [rmse, wantRmse],
                [mae, wantMae],
                [one.rmse, wantRmse],
                [one.mae, wantMae],
              ] as const)
                if (Number.isNaN(wanted)) expect(got).toBeNaN();
                else expect(Math.abs(got - wanted)).toBeLessThan(1e-10 * (1 + Math.max(...layer.map(Math.abs))));
            }
          }
        },
      ),
      { numRuns: 60 },
    );
  });
});

/** Layouts that break careless searches: seeded, so a failure comes back. */
const LAYOUTS: Readonly<Record<string, (random: () => number, n: number) => [number, number]>> = {
  scattered: (random) => [random() * 800, random() * 600],
  clustered: (random) => {
    const spot = Math.floor(random() * 3);
    return [100 + spot * 300 + random() * 4, 80 + spot * 210 + random() * 4];
  },
  'on a line': (random) => [random() * 800, 300],
  'on a regular grid, on cell centres': (_random, n) => [5 + (n % 8) * 100, 5 + Math.floor(n / 8) * 100],
  'outside the grid': (random) => [-900 - random() * 300, 1500 + random() * 300],
  'at places twice': (random, n) => [Math.floor(n / 2) * 37.5 + (random() < 0 ? 1 : 0), Math.floor(n / 2) * 21.25],
};

const GRIDS = [
  { dx: 10, dy: 10, cols: 41, rows: 31 },
  { dx: 3, dy: 3, cols: 50, rows: 21 },
  { dx: 30, dy: 28, cols: 27, rows: 21 },
  { dx: 61, dy: 47, cols: 14, rows: 13 },
];

describe('the grid kernel agrees with the textbook in every cell', () => {
  const sides = new Set<number>();

  for (const [name, layout] of Object.entries(LAYOUTS))
    test.each([
      [3, 2],
      [12, 2],
      [12, 1.5],
      [7, 2.3],
      [1, 2],
      [200, 2],
      [40, 3],
    ])(`samples ${name}, k %d, power %d`, (count, p) => {
      const random = seeded(count * 1000 + p * 10);
      const places = Array.from({ length: 64 }, (_none, n) => layout(random, n));
      const x = Float64Array.from(places, ([px]) => px);
      const y = Float64Array.from(places, ([, py]) => py);
      const z = Float64Array.from(places, () => 40 + random() * 300);
      const ways = GRIDS.flatMap((grid) =>
        [null, 130].flatMap((radius_m) => [1, 2].map((layers) => ({ grid, radius_m, layers }))),
      );
      for (const { grid, radius_m, layers } of ways) {
        const cells = grid.cols * grid.rows;
        const wanted = Float64Array.from({ length: cells }, () => (random() < 0.05 ? 1 : 0));
        const one = new Float64Array(cells).fill(Number.NaN);
        const other = new Float64Array(cells).fill(Number.NaN);
        const nearest_m = new Float32Array(cells).fill(Number.NaN);
        const job: IdwJob = {
          buckets: makeBuckets(x, y),
          // Weighted means are linear: the second layer proves that layers are not mixed up.
          values: [z, z.map((value) => 5 - 2 * value)].slice(0, layers),
          power: p,
          k: Math.min(count, x.length),
          radius_m,
          x0: 5,
          y0: 5,
          ...grid,
          wanted,
          out: [one, other].slice(0, layers),
          nearest_m,
        };
        sides.add(tileSide(job));
        idwGrid(job);
        const bare = {
          ...job,
          out: job.out.map((cells) => cells.map(() => Number.NaN)),
          nearest_m: new Float32Array(0),
        };
        idwGrid(bare);
        expect(bare.out).toEqual(job.out);
        const wrong = [...wanted.keys()].filter((at) => {
          const value = one[at] ?? Number.NaN;
          if (wanted[at] === 0) return !Number.isNaN(value);
          const px = job.x0 + (at % grid.cols) * grid.dx;
          const py = job.y0 + Math.floor(at / grid.cols) * grid.dy;
          const least = Math.min(...places.map(([sx, sy]) => Math.hypot(sx - px, sy - py)));
          const want = textbook(x, y, z, px, py, p, job.k, -1, radius_m ?? Number.POSITIVE_INFINITY);
          const same = Number.isNaN(want) ? Number.isNaN(value) : Math.abs(value / want - 1) < 1e-12;
          const alike =
            layers === 1 || Number.isNaN(want) || Math.abs((other[at] ?? Number.NaN) - (5 - 2 * value)) < 1e-9;
          return !(same && alike && Math.abs((nearest_m[at] ?? Number.NaN) - least) <= 1e-6 * (1 + least));
        });
        expect(wrong).toEqual([]);
      }
    });

  test('on the way every size of tile was met', () => {
    expect([...sides].sort((a, b) => a - b)).toEqual([0, 1, 4, 8, 16]);
  });

  test('takes large tiles for sparse samples, single cells for dense ones, all samples where k asks for them', () => {
    const job = (n: number, side_m: number, count: number): number => {
      const random = seeded(n);
      const x = Float64Array.from({ length: n }, () => random() * side_m);
      const y = Float64Array.from({ length: n }, () => random() * side_m);
      const none = new Float64Array(0);
      return tileSide({
        buckets: makeBuckets(x, y),
        values: [],
        power: 2,
        k: count,
        x0: 0,
        y0: 0,
        dx: 10,
        dy: 10,
        cols: 80,
        rows: 80,
        wanted: none,
        out: [],
        nearest_m: new Float32Array(0),
      });
    };
    expect(job(64, 800, 12)).toBe(16);
    expect(job(20_000, 800, 12)).toBe(1);
    expect(job(64, 800, 64)).toBe(0);
  });

  test('a coarse grid has the values of every so many-th cell, spread over their blocks', () => {
    const random = seeded(77);
    const column = () => Float64Array.from({ length: 90 }, () => random() * 400);
    const [x, y, z] = [column(), column(), column()];
    const job = (): IdwJob => ({
      buckets: makeBuckets(x, y),
      values: [z],
      power: 2,
      k: 12,
      x0: 3,
      y0: 4,
      dx: 7,
      dy: 6,
      cols: 53,
      rows: 47,
      wanted: Float64Array.from({ length: 53 * 47 }, (_none, cell) => (cell % 7 === 3 ? 0 : 1)),
      out: [new Float64Array(53 * 47).fill(Number.NaN)],
      nearest_m: new Float32Array(53 * 47).fill(Number.NaN),
    });
    const fine = { ...job(), wanted: new Float64Array(53 * 47).fill(1) };
    idwGrid(fine);
    const rough = job();
    const coarse = coarseGrid(rough, 5);
    idwGrid(coarse.job);
    coarse.spread();
    let seen = 0;
    for (const [cell, value] of (rough.out[0] ?? []).entries()) {
      if (cell % 7 === 3) {
        expect(value).toBeNaN();
        continue;
      }
      const col = Math.floor((cell % 53) / 5) * 5 + 2;
      const row = Math.floor(Math.floor(cell / 53) / 5) * 5 + 2;
      if (col >= 53 || row >= 47) continue;
      seen++;
      const want = fine.out[0]?.[row * 53 + col] ?? Number.NaN;
      if (!(Math.abs(value / want - 1) < 1e-12)) expect([cell, value]).toEqual([cell, want]);
    }
    expect(seen).toBeGreaterThan(1500);
    expect(coarseStep({ ...rough, cols: 1000, rows: 1000 })).toBe(2);
    expect(coarseStep(rough)).toBe(1);
  });
});
