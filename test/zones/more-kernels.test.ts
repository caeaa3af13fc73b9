import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { balanceClass, balanceOf } from '../../core/zones/balance.ts';
import { joinLeftovers } from '../../core/zones/edits.kernel.ts';
import { varianceExplained } from '../../core/zones/explained.ts';
import { openLabels } from '../../core/zones/open.kernel.ts';
import { sieveLabels } from '../../core/zones/sieve.kernel.ts';
import type { Zone, ZoneStat } from '../../core/zones/types.ts';
import { box } from '../geo/shapes.ts';
import { surfacesOf, TARGETS } from './field.ts';

/** A raster drawn with digits, south row last as on a map; . is no ground. */
function raster(...rows: string[]): { labels: Int16Array; cols: number; cover: Float64Array } {
  const cells = rows.toReversed().join('');
  const labels = Int16Array.from(cells, (mark) => (mark === '.' ? 0 : Number(mark)));
  return { labels, cols: rows[0]?.length ?? 0, cover: Float64Array.from(labels, (label) => (label === 0 ? 0 : 100)) };
}
const drawn = (labels: Int16Array, cols: number): string[] =>
  Array.from({ length: labels.length / cols }, (_, row) =>
    [...labels.slice(row * cols, (row + 1) * cols)].map((label) => (label === 0 ? '.' : label)).join(''),
  ).reverse();

describe('leftovers of a change by hand', () => {
  const before = raster('11111111', '11111111', '11111111', '22222222');
  const changed = (...rows: string[]): { labels: Int16Array; moved_m2: number } => {
    const { labels, cols, cover } = raster(...rows);
    return { labels, moved_m2: joinLeftovers(before.labels, labels, cols, cover, 350, 0) };
  };

  it('are worked: two cells parted from zone 1 go to the new one about them, what is 4 cells of 100 m2 stays', () => {
    const { labels, moved_m2 } = changed('33331111', '13331111', '13331111', '22222222');
    expect(drawn(labels, 8)).toEqual(['33331111', '33331111', '33331111', '22222222']);
    expect(moved_m2).toBe(200);
    const large = changed('11131111', '11131111', '11131111', '22222222');
    expect(large.moved_m2).toBe(0);
  });

  it('are no ground that the change itself gave, nor ground that was apart before', () => {
    const given = changed('11111111', '11111111', '11111111', '12222222');
    expect(given.moved_m2).toBe(0);
    const { labels, cols, cover } = raster('11111111', '11111111', '13111111', '22212222');
    const start = raster('11111111', '11111111', '11111111', '22212222').labels;
    expect(joinLeftovers(start, labels, cols, cover, 350, 0)).toBe(0);
  });
});

describe('opening', () => {
  it('is worked: a finger one cell wide goes to what lies about it, a block three wide stays', () => {
    const { labels, cols, cover } = raster(
      '.........',
      '.1111111.',
      '.1222111.',
      '.1222221.',
      '.1222111.',
      '.1111111.',
      '.........',
    );
    const opened = openLabels(labels, cols, cover, 3, 2, 0);
    // The corners of the block lie outside a disc of that width, and the rim of zone 1 has nowhere else to go but to the block.
    expect(drawn(opened.labels, cols)[3]).toMatch(/^\.[12]22[12]+\.$/);
    const thin = openLabels(labels, cols, cover, 1, 2, 0);
    expect(drawn(thin.labels, cols)).toEqual(drawn(labels, cols));
    expect(thin.moved_m2).toBe(0);
  });

  it('takes a strip narrower than the swath out of wide ground, to the last cell', () => {
    const wide = '1'.repeat(20);
    const { labels, cols, cover } = raster(
      ...Array.from({ length: 8 }, () => wide),
      '2'.repeat(20),
      ...Array.from({ length: 8 }, () => wide),
    );
    const opened = openLabels(labels, cols, cover, 2.4, 2, 0);
    expect(opened.labels.every((label) => label === 1)).toBe(true);
    expect(opened.moved_m2).toBe(20 * 100);
  });

  it('keeps ground as ground, changes only narrow cells, and counts what moved', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 3, max: 18 }),
        fc.array(fc.integer({ min: 0, max: 3 }), { minLength: 9, maxLength: 320 }),
        fc.double({ min: 1, max: 5, noNaN: true }),
        (cols, cells, width) => {
          const labels = Int16Array.from(cells.slice(0, Math.floor(cells.length / cols) * cols));
          fc.pre(labels.length > 0);
          const cover = Float64Array.from(labels, (label, i) => (label === 0 ? 0 : 1 + (i % 7)));
          const opened = openLabels(labels, cols, cover, width, 3, 0);
          let moved = 0;
          opened.labels.forEach((label, cell) => {
            expect(label === 0).toBe(labels[cell] === 0);
            if (label !== labels[cell]) moved += cover[cell] ?? 0;
          });
          expect(opened.moved_m2).toBeCloseTo(moved, 9);
        },
      ),
    );
  });
});

describe('sieve by nearest value', () => {
  const { labels, cols, cover } = raster('1111', '1231', '2222');
  it('is worked: the small part joins the neighbour whose mean is nearest, not the one with most border', () => {
    const values = Float64Array.from(labels, (label) => [0, 100, 20, 95][label] ?? 0);
    // Part 3 is one cell: two edges to zone 1 (north and east), two to zone 2 (west and south).
    expect(drawn(sieveLabels(labels, cols, cover, 150, 0, values).labels, cols)).toEqual(['1111', '1211', '2222']);
    const low = values.map((value) => (value === 95 ? 25 : value));
    expect(drawn(sieveLabels(labels, cols, cover, 150, 0, low).labels, cols)).toEqual(['1111', '1221', '2222']);
  });
});

const stat = (mean: number, sd: number, known_ac: number): ZoneStat => ({
  mean,
  sd,
  known_ac,
  cv_pct: (100 * sd) / mean,
  median: mean,
  p20: mean,
  min: mean,
  max: mean,
});
const zoneOf = (of: ZoneStat): Zone => ({
  key: '1',
  letter: 'A',
  name: '',
  what: '',
  label: 1,
  acres: of.known_ac,
  polygons: [],
  spot: [0, 0],
  otherSpots: [],
  samples: 0,
  far_ac: 0,
  share: 1,
  role: 'spread',
  stats: { k_ppm: of },
});

describe('variance explained', () => {
  it('is worked: zones of 10 ac at 100 +- 10 and 30 ac at 200 +- 20', () => {
    // Mean 175; between 10 x 75^2 + 30 x 25^2 = 75,000; within 10 x 100 + 30 x 400 = 13,000; 75,000 / 88,000.
    const shares = varianceExplained([zoneOf(stat(100, 10, 10)), zoneOf(stat(200, 20, 30))]);
    expect(shares.k_ppm).toBeCloseTo(75 / 88, 12);
  });

  /** Two-group worked case: 2 4 6 | 10 12 14; SSB = 96, SST = 112 (hand), so 6/7. */
  it('is eta squared of an analysis of variance', () => {
    const sd = Math.sqrt(8 / 3);
    expect(varianceExplained([zoneOf(stat(4, sd, 3)), zoneOf(stat(12, sd, 3))]).k_ppm).toBeCloseTo(96 / 112, 12);
  });

  it('is 0 where the zones are alike, and has no entry for a layer of one value', () => {
    expect(varianceExplained([zoneOf(stat(5, 1, 2)), zoneOf(stat(5, 1, 2))]).k_ppm).toBe(0);
    expect(varianceExplained([zoneOf(stat(5, 0, 2)), zoneOf(stat(5, 0, 2))])).toEqual({});
  });
});

describe('balance classes', () => {
  it('are worked: each pair of readings has one class', () => {
    const name = (k: number, sat: number) => balanceClass(k, sat, TARGETS);
    expect(name(90, 2)).toBe('both');
    expect(name(180, 2)).toBe('share');
    expect(name(100, 5)).toBe('pounds');
    expect(name(100, 9)).toBe('rich');
    expect(name(180, 5)).toBe('enough');
    expect(name(150, 4)).toBe('enough');
    expect(name(180, 8)).toBe('enough');
    expect(name(180, 9)).toBe('rich');
    expect(name(180, 12)).toBe('rich');
    expect(name(100, 12.1)).toBe('out');
    expect(name(Number.NaN, 5)).toBeNull();
    expect(name(100, Number.NaN)).toBeNull();
  });

  it('share out the ground: their acres and the unknown add up to the field', () => {
    const surfaces = surfacesOf([[box(-93, 42, -92.99, 42.0075)]], 20, {
      k_ppm: (u) => 60 + 200 * u,
      kSat_pct: (u, v) => (u > 0.9 ? Number.NaN : 14 * v),
    });
    const balance = balanceOf(surfaces, TARGETS);
    const ground_ac = surfaces.grid.cover_m2.reduce((a, b) => a + b, 0) / 4046.8564224;
    const sum = (balance?.acres ?? []).reduce((a, b) => a + b, 0) + (balance?.unknown_ac ?? 0);
    expect(sum).toBeCloseTo(ground_ac, 9);
    const bare = surfaces.layers.kSat_pct?.reduce(
      (area, value, cell) => area + (Number.isNaN(value) ? (surfaces.grid.cover_m2[cell] ?? 0) : 0),
      0,
    );
    expect(balance?.unknown_ac).toBeCloseTo((bare ?? 0) / 4046.8564224, 9);
    expect(bare).toBeGreaterThan(0);
    expect(balanceOf({ ...surfaces, layers: {} }, TARGETS)).toBeNull();
  });
});
