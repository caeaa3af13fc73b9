import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { paintSurface, pixelsPerCell } from '../../renderer/map/picture.kernel.ts';
import { colourOf, RAMPS } from '../../renderer/map/ramps.ts';

const ramp = RAMPS.k_ppm;
const paint = (values: number[], cols: number, rows: number, perCell: number, cover = values.map(() => 1)) => {
  const picture = paintSurface(Float64Array.from(values), Float64Array.from(cover), { cols, rows }, ramp, perCell);
  const at = (x: number, y: number): string | null => {
    const [r = 0, g = 0, b = 0, a = 0] = picture.rgba.subarray((y * picture.width + x) * 4);
    return a === 0 ? null : `#${[r, g, b].map((c) => c.toString(16).padStart(2, '0')).join('')}`;
  };
  return { ...picture, at };
};

describe('a surface as a picture', () => {
  it('has the north at the top: row 0 of the cells is the last row of pixels', () => {
    const { at } = paint([10, 400], 1, 2, 1);
    expect(at(0, 1)).toBe(colourOf(ramp, 10));
    expect(at(0, 0)).toBe(colourOf(ramp, 400));
  });

  it('shows one pixel a cell in the colour of the cell', () => {
    const values = [10, 60, 90, 110, 140, 180];
    const { at } = paint(values, 3, 2, 1);
    expect([at(0, 1), at(1, 1), at(2, 1), at(0, 0), at(1, 0), at(2, 0)]).toEqual(values.map((v) => colourOf(ramp, v)));
  });

  it('keeps what has ground but no value clear, and lends colour to the rim beyond the field', () => {
    const { at } = paint([100, Number.NaN, Number.NaN], 3, 1, 4, [1, 1, 0]);
    expect(at(5, 0)).toBeNull();
    const rim = paint([100, Number.NaN], 2, 1, 4, [1, 0]);
    expect(rim.at(4, 0)).toBe(colourOf(ramp, 100));
  });

  it('moves no class edge by more than half a cell', () => {
    const cell = fc.oneof(fc.double({ min: 0, max: 400, noNaN: true }));
    fc.assert(
      fc.property(fc.array(cell, { minLength: 12, maxLength: 12 }), (values) => {
        const perCell = 5;
        const { at } = paint(values, 4, 3, perCell);
        const near = (x: number, y: number): string[] => {
          // Colours between the least and the largest of the cells whose centres lie within one cell of the pixel.
          const col = (x + 0.5) / perCell - 0.5;
          const row = (15 - y - 0.5) / perCell - 0.5;
          const around = values.filter((_, i) => Math.abs((i % 4) - col) < 1 && Math.abs(Math.floor(i / 4) - row) < 1);
          const low = Math.min(...around);
          const high = Math.max(...around);
          return ramp.colours.filter(
            (_, i) => (ramp.limits[i] ?? Infinity) >= low && (ramp.limits[i - 1] ?? 0) <= high,
          );
        };
        for (let y = 0; y < 15; y++) for (let x = 0; x < 20; x++) expect(near(x, y)).toContain(at(x, y));
        // At a cell's very centre the cell itself is shown.
        values.forEach((value, i) => {
          expect(at((i % 4) * perCell + 2, 14 - (Math.floor(i / 4) * perCell + 2))).toBe(colourOf(ramp, value));
        });
      }),
      { numRuns: 30 },
    );
  });

  it('grows small lattices and never passes what a card can hold', () => {
    expect(pixelsPerCell({ cols: 81, rows: 81 })).toBe(16);
    expect(pixelsPerCell({ cols: 537, rows: 500 })).toBe(2);
    expect(pixelsPerCell({ cols: 900, rows: 900 })).toBe(1);
    expect(pixelsPerCell({ cols: 8192, rows: 10 })).toBe(0.5);
  });
});
