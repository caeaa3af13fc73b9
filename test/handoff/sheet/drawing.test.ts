import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { apartNumbers, bordersOf } from '../../../core/handoff/sheet/borders.ts';
import { dots, hatch, inside, type Px, plotOf, type Rings, toEdge } from '../../../core/handoff/sheet/draw.ts';
import { type Box, placeLabels, placeMark, Taken } from '../../../core/handoff/sheet/labels.ts';
import { gapOf } from '../../../core/handoff/sheet/map.ts';
import { linesOf } from '../../../core/handoff/sheet/paper.ts';

const square = (x: number, y: number, size: number): Rings => [
  [
    [x, y],
    [x + size, y],
    [x + size, y + size],
    [x, y + size],
  ],
];
const withHole: Rings = [...square(0, 0, 200), ...square(50, 50, 100)];
const lengthOf = (path: string): number =>
  [...path.matchAll(/M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)/g)].reduce(
    (sum, [, a, b, c, d]) => sum + Math.hypot(Number(c) - Number(a), Number(d) - Number(b)),
    0,
  );

describe('lines over ground', () => {
  it('cover it evenly: length x gap is the area, whichever way they run', () => {
    fc.assert(
      fc.property(fc.constantFrom(45, -45, 0, 90), fc.double({ min: 2, max: 8, noNaN: true }), (way, gap) => {
        const area = 200 * 200 - 100 * 100;
        expect((lengthOf(hatch(withHole, gap, way)) * gap) / area).toBeCloseTo(1, 1);
      }),
    );
  });

  it('stay inside it, out of its holes', () => {
    for (const way of [45, -45, 0, 90])
      for (const [, a, b, c, d] of hatch(withHole, 6, way).matchAll(/M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)/g))
        expect(inside(withHole, [(Number(a) + Number(c)) / 2, (Number(b) + Number(d)) / 2])).toBe(true);
  });

  it('of two parts that touch are one line', () => {
    const parts: Rings = [...square(0, 0, 100), ...square(100, 0, 100)];
    expect(hatch(parts, 10, 0).match(/M/g)).toHaveLength(10);
  });

  it('stand closer for more product, never so close that they run together', () => {
    expect(gapOf(400, 400)).toBeLessThan(gapOf(200, 400));
    expect(gapOf(400, 400)).toBeGreaterThan(4);
    expect(gapOf(1, 800)).toBeLessThanOrEqual(30);
    // A step of the machine is seen over the whole range, under a quarter of it too.
    for (let rate = 20; rate < 400; rate += 20) expect(gapOf(rate + 20, 400)).toBeLessThan(gapOf(rate, 400));
  });

  it('dots lie inside', () => {
    const found = [...dots(withHole, 6).matchAll(/M([-\d.]+) ([-\d.]+)h0/g)];
    expect(found.length).toBeGreaterThan(700);
    for (const [, x, y] of found) expect(inside(withHole, [Number(x), Number(y)])).toBe(true);
  });
});

describe('the plot', () => {
  it('keeps the shape of the ground: 1,000 m east and north are as long', () => {
    // A tenth of a degree of latitude at 41 N is 11,105 m, of longitude 8,413 m (WGS84).
    const plot = plotOf(
      [
        [
          [
            [-93, 41],
            [-92.9, 41],
            [-92.9, 41.1],
            [-93, 41.1],
            [-93, 41],
          ],
        ],
      ],
      500,
      500,
      { top: 0, side: 0, bottom: 0 },
    );
    const [x1, y1] = plot.at([-93, 41]);
    const [x2, y2] = plot.at([-92.9, 41.1]);
    expect((x2 - x1) / (y1 - y2)).toBeCloseTo(8413 / 11105, 2);
    expect(y1 - y2).toBeCloseTo(500, 0);
  });
});

describe('labels', () => {
  const plot = { width_px: 400, height_px: 400 };
  const meets = (a: Box, b: Box): boolean =>
    Math.abs(a.x - b.x) < (a.width + b.width) / 2 && Math.abs(a.y - b.y) < (a.height + b.height) / 2;

  it('never meet each other, and stay on the drawing', () => {
    const area = fc.record({
      x: fc.integer({ min: 20, max: 340 }),
      y: fc.integer({ min: 20, max: 340 }),
      size: fc.integer({ min: 4, max: 60 }),
    });
    fc.assert(
      fc.property(fc.array(area, { minLength: 1, maxLength: 40 }), (areas) => {
        const taken = new Taken(plot);
        const full = plotOf(
          [
            [
              [
                [0, 0],
                [0.01, 0],
                [0.01, 0.01],
                [0, 0.01],
                [0, 0],
              ],
            ],
          ],
          400,
          400,
          { top: 0, side: 0, bottom: 0 },
        );
        const wanted = areas.map(({ x, y, size }, index) => ({
          key: String(index),
          rings: square(x, y, size),
          spot: [x + size / 2, y + size / 2] satisfies Px,
          sizes: [
            { width: 60, height: 28 },
            { width: 30, height: 14 },
          ],
          led: 1,
        }));
        const placed = placeLabels(wanted, square(10, 10, 380), [], full, taken);
        const marks = wanted.flatMap(({ spot, rings }) => placeMark(spot, 19, rings, taken) ?? []);
        const boxes = [...placed.map(({ box }) => box), ...marks];
        boxes.forEach((a, i) => {
          for (const b of boxes.slice(i + 1)) expect(meets(a, b)).toBe(false);
          expect(a.x - a.width / 2).toBeGreaterThanOrEqual(0);
          expect(a.y + a.height / 2).toBeLessThanOrEqual(400);
        });
      }),
      { numRuns: 30 },
    );
  });

  it('stand on their own ground in the largest type that it holds, else at the end of a line', () => {
    const full = plotOf(
      [
        [
          [
            [0, 0],
            [0.01, 0],
            [0.01, 0.01],
            [0, 0.01],
            [0, 0],
          ],
        ],
      ],
      400,
      400,
      { top: 0, side: 0, bottom: 0 },
    );
    const want = (key: string, x: number, size: number) => ({
      key,
      rings: square(x, 100, size),
      spot: [x + size / 2, 100 + size / 2] satisfies Px,
      sizes: [
        { width: 60, height: 28 },
        { width: 30, height: 14 },
      ],
      led: 1,
    });
    const placed = placeLabels(
      [want('big', 50, 90), want('mid', 150, 40), want('tiny', 200, 5)],
      square(40, 90, 200),
      [],
      full,
      new Taken(plot),
    );
    const of = (key: string) => placed.find((one) => one.key === key);
    expect(of('big')).toMatchObject({ size: 0, leader: null });
    expect(of('mid')).toMatchObject({ size: 1, leader: null });
    expect(of('tiny')?.leader).toEqual([202.5, 102.5]);
  });

  it('measure distance to the nearest edge, holes counted', () => {
    expect(toEdge(withHole, [25, 100])).toBe(25);
    expect(toEdge(withHole, [100, 45])).toBe(5);
  });
});

describe('borders', () => {
  const cell = (x: number, y: number) => [
    [
      [
        [x, y],
        [x + 1, y],
        [x + 1, y + 1],
        [x, y + 1],
        [x, y],
      ] as const,
    ],
  ];
  const areas = [cell(0, 0), cell(1, 0), cell(0, 1), cell(5, 5)].map((area) =>
    area.map((part) => part.map((ring) => ring.map((p) => [p[0], p[1]] as const))),
  );

  it('are where areas share edges, and not where they share a corner', () => {
    const found = bordersOf(areas).map(({ a, b }) => [a, b]);
    expect(found).toEqual([
      [0, 1],
      [0, 2],
    ]);
    // One degree of longitude on the equator is 111,320 m, of latitude 110,574 m (WGS84).
    expect(bordersOf(areas).map(({ length_m }) => Math.round(length_m / 100))).toEqual([1106, 1113]);
  });

  it('neighbours never run the same way', () => {
    const pair = fc.record({ a: fc.nat({ max: 29 }), b: fc.nat({ max: 29 }) }).filter(({ a, b }) => a !== b);
    fc.assert(
      fc.property(fc.array(pair, { maxLength: 80 }), (borders) => {
        const numbers = apartNumbers(30, borders);
        for (const { a, b } of borders) expect(numbers[a]).not.toBe(numbers[b]);
      }),
    );
  });
});

describe('sharing out a page', () => {
  it('takes more lines for more words, and breaks a word longer than the line', () => {
    expect(linesOf('one', 200, 12)).toBe(1);
    expect(linesOf('x'.repeat(100), 100, 12)).toBeGreaterThan(6);
    fc.assert(
      fc.property(fc.lorem({ maxCount: 30 }), (text) => {
        expect(linesOf(text, 120, 12)).toBeLessThanOrEqual(linesOf(`${text} and more`, 120, 12));
        expect(linesOf(text, 240, 12)).toBeLessThanOrEqual(linesOf(text, 120, 12));
      }),
    );
  });
});
