import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { area_m2 } from '../../core/geo/area.ts';
import { intersection } from '../../core/geo/clip.ts';
import { coverCells } from '../../core/geo/cover.kernel.ts';
import { makeFieldGrid } from '../../core/geo/lattice.ts';
import { outlineLabels } from '../../core/geo/outline.ts';
import type { Lattice, LngLat, MultiPolygon, Ring } from '../../core/geo/types.ts';
import { deepFreeze } from '../freeze.ts';
import { box, clockwise, fields, star } from './shapes.ts';
import { rim, whyInvalid } from './valid.ts';

/** Labels for a lattice out of few numbers: noise, or blobs of a wave that is fine or coarse. */
const patterns = fc.record({
  seed: fc.integer({ min: 1, max: 1_000_000 }),
  labels: fc.integer({ min: 1, max: 5 }),
  coarse: fc.integer({ min: 0, max: 12 }),
});
function labelled(lattice: Lattice, { seed, labels, coarse }: { seed: number; labels: number; coarse: number }) {
  const out = new Int16Array(lattice.cols * lattice.rows);
  let state = seed;
  for (let cell = 0; cell < out.length; cell++) {
    const col = cell % lattice.cols;
    const row = (cell - col) / lattice.cols;
    state = (Math.imul(state, 1103515245) + 12345) >>> 0;
    const wave = Math.sin((col + seed) / coarse) + Math.cos((row - seed) / coarse + 1) + 2;
    out[cell] = 1 + (coarse === 0 ? (state >>> 16) % labels : Math.floor((wave / 4.001) * labels));
  }
  return out;
}

const latticeOf = (ground: MultiPolygon, cell_m: number): Lattice => {
  const made = makeFieldGrid(ground, cell_m);
  if (!made.ok) throw new Error(made.problems[0]?.message);
  return made.value.lattice;
};

/** Ground whose corners lie on corners, edges and quarters of cells: nothing but ties. */
const tiedFields = fc
  .record({
    radii: fc.array(fc.integer({ min: 3, max: 12 }), { minLength: 4, maxLength: 16 }),
    hole: fc.boolean(),
    quarters: fc.constantFrom(1, 2, 4),
  })
  .map(({ radii, hole, quarters }) => {
    const lattice: Lattice = {
      west_deg: -93,
      south_deg: 42,
      dLng_deg: 0.0001,
      dLat_deg: 0.0001,
      cols: 30,
      rows: 30,
    };
    const step = 0.0001 / quarters;
    const at = (cells: number, from: number): number => Number((from + Math.round(cells * quarters) * step).toFixed(9));
    const ring = radii.map((radius, i): LngLat => {
      const angle = (i / radii.length) * 2 * Math.PI;
      return [at(15 + radius * Math.cos(angle), -93), at(15 + radius * Math.sin(angle), 42)];
    });
    const outer = [...ring, ring[0] as LngLat];
    const middle = clockwise(box(-92.9986, 42.0014, -92.9984, 42.0016));
    return { lattice, ground: [hole ? [outer, middle] : [outer]] satisfies MultiPolygon };
  });

function checkCover(labels: Int16Array, lattice: Lattice, ground: MultiPolygon, smooth: boolean, least_m2 = 1) {
  const outlines = outlineLabels(labels, lattice, ground, smooth, { least_m2 });
  const all = [...outlines.values()];
  for (const polygons of all) expect(whyInvalid(polygons)).toBe('');
  const areas = all.map((polygons) => area_m2(polygons));
  const whole = area_m2(ground);
  expect(Math.abs(areas.reduce((sum, area) => sum + area, 0) / whole - 1)).toBeLessThan(1e-6);
  return { outlines, all, areas };
}

/** Every edge that only one polygon has lies on the ground's own rings: no gap and no half-shared edge anywhere. */
function checkShared(all: readonly MultiPolygon[], ground: MultiPolygon) {
  const edges = ground.flat().flatMap((ring) => ring.slice(1).map((to, i) => [ring[i] as LngLat, to] as const));
  for (const [from, to] of rim(all)) {
    for (const p of [from, to, [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2] as const]) {
      expect(Math.min(...edges.map(([a, b]) => gap_deg(p, a, b)))).toBeLessThan(2e-9);
    }
  }
}

function gap_deg(p: LngLat, a: LngLat, b: LngLat): number {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const t = Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy)));
  return Math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
}

describe('outlines of labels', () => {
  it('are valid, cover the ground and share every position, on fields of any shape', () => {
    fc.assert(
      fc.property(fields(60, 160), patterns, fc.boolean(), fc.boolean(), (field, pattern, smooth, merge) => {
        const ground = deepFreeze([field]);
        const lattice = latticeOf(ground, 10);
        const { all } = checkCover(labelled(lattice, pattern), lattice, ground, smooth, merge ? 1 : 0);
        checkShared(all, ground);
      }),
      { numRuns: 40 },
    );
  });

  it('are so where corners and edges of the ground lie exactly on the lattice', () => {
    fc.assert(
      fc.property(tiedFields, patterns, fc.boolean(), ({ lattice, ground }, pattern, smooth) => {
        fc.pre(whyInvalid(ground) === '');
        const { all } = checkCover(labelled(lattice, pattern), lattice, deepFreeze(ground), smooth, 0);
        checkShared(all, ground);
      }),
      { numRuns: 80 },
    );
  });

  it('do not overlap', () => {
    fc.assert(
      fc.property(fields(60, 120), patterns, fc.boolean(), (field, pattern, smooth) => {
        const lattice = latticeOf([field], 15);
        const all = [...outlineLabels(labelled(lattice, pattern), lattice, [field], smooth).values()];
        all.forEach((a, i) => {
          for (const b of all.slice(i + 1)) expect(area_m2(intersection(a, b))).toBeLessThan(1e-3);
        });
      }),
      { numRuns: 20 },
    );
  });

  it('hold the cells of their label before smoothing: to 1e-9 inside, to 0.1 mm along the ground edge', () => {
    fc.assert(
      fc.property(fields(60, 200), patterns, (field, pattern) => {
        const lattice = latticeOf([field], 12);
        const labels = labelled(lattice, pattern);
        const { cover_m2, crossed } = coverCells(lattice, [field]);
        const outlines = outlineLabels(labels, lattice, [field], false, { least_m2: 0 });
        const cells = new Map<number, { area: number; edge: boolean }>();
        labels.forEach((label, cell) => {
          const sum = cells.get(label) ?? { area: 0, edge: false };
          const here = cover_m2[cell] ?? 0;
          cells.set(label, { area: sum.area + here, edge: sum.edge || (crossed[cell] === 1 && here > 0) });
        });
        for (const [label, { area, edge }] of cells) {
          const off = Math.abs(area_m2(outlines.get(label) ?? []) - area);
          // A ring of some 100 cuts, each moved by up to 0.08 mm over the length of an edge of the star.
          if (area > 0) expect(off).toBeLessThan(edge ? 0.05 : 1e-9 * area);
        }
      }),
      { numRuns: 40 },
    );
  });

  /** A field whose edge an arc meets at a slant: the crossing moves by more than the arc does. */
  const SLANTED: MultiPolygon[number] = [
    [
      [0.00059629, 30.00015974],
      [0.0001384, 30.00052708],
      [-0.00078603, 30.00063061],
      [-0.00092424, 29.9997524],
      [-0.0001384, 29.99947292],
      [0.00045788, 29.99963266],
      [0.00059629, 30.00015974],
    ],
  ];

  it('stay within half a cell when smoothed', () => {
    fc.assert(
      fc.property(fields(60, 160), patterns, (field, pattern) => {
        const lattice = latticeOf([field], 10);
        const labels = labelled(lattice, pattern);
        const raw = outlineLabels(labels, lattice, [field], false, { least_m2: 0 });
        const smooth = outlineLabels(labels, lattice, [field], true, { least_m2: 0 });
        for (const [label, polygons] of smooth) {
          const edges = (raw.get(label) ?? [])
            .flat()
            .flatMap((ring) => ring.slice(1).map((to, i) => [ring[i] as LngLat, to] as const));
          const scale = (p: LngLat): LngLat => [p[0] / lattice.dLng_deg, p[1] / lattice.dLat_deg];
          // Where an arc meets the field's edge at a slant, the crossing slides along that edge: the half cell holds for the arc.
          const fence = field.flatMap((ring) => ring.slice(1).map((to, i) => [ring[i] as LngLat, to] as const));
          const atFence = (p: LngLat): boolean => fence.some(([a, b]) => gap_deg(scale(p), scale(a), scale(b)) < 1e-3);
          for (const p of polygons.flat(2).filter((one) => !atFence(one))) {
            const nearest = Math.min(...edges.map(([a, b]) => gap_deg(scale(p), scale(a), scale(b))));
            expect(nearest).toBeLessThan(0.5);
          }
        }
      }),
      { numRuns: 8, examples: [[SLANTED, { seed: 1, labels: 4, coarse: 3 }]] },
    );
  });

  it('leave out ground that was given 0 on purpose, and spread labels over cells without ground', () => {
    const ground: MultiPolygon = [[box(-93.00005, 42.00005, -92.99905, 42.00095)]];
    const lattice: Lattice = { west_deg: -93.001, south_deg: 42, dLng_deg: 1e-4, dLat_deg: 1e-4, cols: 25, rows: 12 };
    const labels = new Int16Array(25 * 12);
    const { cover_m2 } = coverCells(lattice, ground);
    cover_m2.forEach((cover, cell) => {
      if (cover > 0) labels[cell] = cell % 25 === 12 ? 0 : 7;
    });
    const outlines = outlineLabels(labels, lattice, ground, false);
    expect([...outlines.keys()]).toEqual([7]);
    const left = cover_m2.reduce((sum, cover, cell) => sum + (cell % 25 === 12 ? 0 : cover), 0);
    expect(area_m2(outlines.get(7) ?? [])).toBeCloseTo(left, 2);
    expect(outlines.get(7)).toHaveLength(2);
  });

  it('are worked: two labels halve a square, and share the ends of the line between them', () => {
    const ground: MultiPolygon = [[box(-93, 42, -92.9998, 42.0002)]];
    const lattice: Lattice = {
      west_deg: -93.0001,
      south_deg: 41.9999,
      dLng_deg: 1e-4,
      dLat_deg: 1e-4,
      cols: 4,
      rows: 4,
    };
    const labels = Int16Array.from([0, 0, 0, 0, 0, 1, 2, 0, 0, 1, 2, 0, 0, 0, 0, 0]);
    const outlines = outlineLabels(labels, lattice, ground, true);
    const rings = (label: number) => (outlines.get(label) ?? []).flat().map(fromSouthWest);
    expect(rings(1)).toEqual([box(-93, 42, -92.9999, 42.0002)]);
    expect(rings(2)).toEqual([box(-92.9999, 42, -92.9998, 42.0002)]);
  });

  it('give a sliver to the neighbour it shares most border with', () => {
    // The ground reaches 0.2 m into the column of label 2: 22 m long, 4.4 m2; under 5 m2 it goes to label 1.
    const ground: MultiPolygon = [[box(-93, 42, -92.9997976, 42.0002)]];
    const lattice: Lattice = {
      west_deg: -93.0001,
      south_deg: 41.9999,
      dLng_deg: 1e-4,
      dLat_deg: 1e-4,
      cols: 5,
      rows: 4,
    };
    const labels = Int16Array.from({ length: 20 }, (_, cell) => (cell % 5 === 3 ? 2 : 1));
    expect([...outlineLabels(labels, lattice, ground, false, { least_m2: 1 }).keys()]).toEqual([1, 2]);
    const merged = outlineLabels(labels, lattice, ground, false, { least_m2: 5 });
    expect([...merged.keys()]).toEqual([1]);
    expect(area_m2(merged.get(1) ?? [])).toBeCloseTo(area_m2(ground), 3);
  });

  it('leave slivers of a label that is to stay still, and give it none', () => {
    const ground: MultiPolygon = [[box(-93, 42, -92.9997976, 42.0002)]];
    const lattice: Lattice = {
      west_deg: -93.0001,
      south_deg: 41.9999,
      dLng_deg: 1e-4,
      dLat_deg: 1e-4,
      cols: 5,
      rows: 4,
    };
    for (const [thin, wide] of [
      [2, 1],
      [1, 2],
    ] as const) {
      const labels = Int16Array.from({ length: 20 }, (_, cell) => (cell % 5 === 3 ? thin : wide));
      const outlines = outlineLabels(labels, lattice, ground, false, { least_m2: 5, still: 2 });
      expect([...outlines.keys()]).toEqual([1, 2]);
    }
  });

  it('keep islands and parts of the ground apart, each with its own label', () => {
    const far = star([-92.995, 42.005], [40, 40, 40, 40, 40, 40]);
    const near = star([-93, 42], [60, 60, 60, 60, 60, 60]);
    const ground: MultiPolygon = [[near, star([-93, 42], [20, 20, 20, 20], true)], [far]];
    const lattice = latticeOf(ground, 10);
    const labels = Int16Array.from({ length: lattice.cols * lattice.rows }, (_, cell) =>
      cell < (lattice.cols * lattice.rows) / 2 ? 1 : 2,
    );
    const outlines = outlineLabels(labels, lattice, ground, true);
    expect(outlines.get(1)?.map((polygon) => polygon.length)).toEqual([2]);
    expect(area_m2(outlines.get(2) ?? [])).toBeCloseTo(area_m2([[far]]), 4);
  });
});

/** The same ring from its south-west corner on: where it starts is the outline's own affair. */
function fromSouthWest(ring: Ring): Ring {
  const open = ring.slice(0, -1);
  const key = (p: LngLat): number => p[0] + p[1];
  const start = open.reduce((best, p, i) => (key(p) < key(open[best] ?? p) ? i : best), 0);
  const turned = [...open.slice(start), ...open.slice(0, start)];
  return [...turned, turned[0] as LngLat];
}
