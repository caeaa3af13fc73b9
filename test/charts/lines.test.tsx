import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { LineFrame, type LineScale, linePath } from '../../renderer/charts/LineFrame.tsx';

const plain: LineScale = { x: (value) => value, y: (value) => 100 - value, left: 0, right: 100, top: 0, foot: 100 };

describe('a line through figures', () => {
  it('breaks where one is missing', () => {
    const points = [
      [0, 10],
      [1, 20],
      [2, null],
      [3, Number.NaN],
      [4, 30],
      [5, 40],
    ] as const;
    expect(linePath(points, plain)).toBe('M0.0 90.0L1.0 80.0M4.0 70.0L5.0 60.0');
  });
});

describe('the frame of a plot of lines', () => {
  const scaleOf = (values: readonly number[], fromZero: boolean): LineScale => {
    const found: LineScale[] = [];
    renderToStaticMarkup(
      <LineFrame
        width={300}
        height={150}
        x={[1, 4]}
        values={values}
        fromZero={fromZero}
        xTicks={[1, 2, 3, 4]}
        xName="year"
        yName="ppm"
        spoken="a plot"
      >
        {(scale) => {
          found.push(scale);
          return null;
        }}
      </LineFrame>,
    );
    const [scale] = found;
    if (!scale) throw new Error('nothing was drawn');
    return scale;
  };

  it('holds every value between its edges, also where all are alike', () => {
    for (const values of [[174, 257, 207], [150], [0], [12, 12]]) {
      for (const fromZero of [true, false]) {
        const scale = scaleOf(values, fromZero);
        for (const value of values) {
          expect(scale.y(value)).toBeGreaterThanOrEqual(scale.top - 1e-9);
          expect(scale.y(value)).toBeLessThanOrEqual(scale.foot + 1e-9);
        }
      }
    }
  });

  it('puts the first year at the left edge and the last at the right', () => {
    const scale = scaleOf([1, 2], true);
    expect([scale.x(1), scale.x(4)]).toEqual([scale.left, scale.right]);
  });
});
