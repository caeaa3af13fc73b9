import './lines.css';
import type { ReactElement, ReactNode } from 'react';
import { number } from '../ui/format.ts';
import { niceStep, ticksBetween } from './scales.ts';

/** Where the lines of a small plot stand. */
export interface LineScale {
  readonly x: (value: number) => number;
  readonly y: (value: number) => number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly foot: number;
}

interface LineFrameProps {
  readonly width: number;
  readonly height: number;
  readonly x: readonly [number, number];
  /** Known values of all lines; the axis runs over them on round figures. */
  readonly values: readonly number[];
  /** True where the axis begins at 0. */
  readonly fromZero?: boolean;
  readonly xTicks: readonly number[];
  readonly xName: string;
  readonly yName: string;
  readonly spoken: string;
  readonly children: (scale: LineScale) => ReactNode;
}

const MARGIN = { left: 34, right: 12, top: 20, bottom: 36 } as const;

/** Axes, grid and names of a small plot of lines; the lines themselves are drawn by the caller. */
export function LineFrame(props: LineFrameProps): ReactElement {
  const { width, height, values, xTicks } = props;
  const low = props.fromZero ? 0 : Math.min(...values);
  const step = niceStep(Math.max(1e-9, Math.max(...values) - low), 4);
  const least = Math.floor(low / step) * step;
  const most = Math.max(least + step, Math.ceil(Math.max(...values) / step) * step);
  const [first, last] = props.x;
  const scale: LineScale = {
    left: MARGIN.left,
    right: width - MARGIN.right,
    top: MARGIN.top,
    foot: height - MARGIN.bottom,
    x: (value) => MARGIN.left + ((value - first) / Math.max(1e-9, last - first)) * (width - MARGIN.left - MARGIN.right),
    y: (value) => height - MARGIN.bottom - ((value - least) / (most - least)) * (height - MARGIN.top - MARGIN.bottom),
  };
  return (
    <svg className="lines-svg" width={width} height={height} role="img" aria-label={props.spoken}>
      <text className="lines-tick" x={0} y={11}>
        {props.yName}
      </text>
      {ticksBetween(least, most, 4).map((value) => (
        <g key={value}>
          <line className="lines-grid" x1={scale.left} x2={scale.right} y1={scale.y(value)} y2={scale.y(value)} />
          <text className="lines-tick" x={scale.left - 6} y={scale.y(value) + 4} textAnchor="end">
            {number(value)}
          </text>
        </g>
      ))}
      {xTicks.map((value) => (
        <text key={value} className="lines-tick" x={scale.x(value)} y={scale.foot + 15} textAnchor="middle">
          {number(value)}
        </text>
      ))}
      <text className="lines-tick" x={scale.right} y={height - 4} textAnchor="end">
        {props.xName}
      </text>
      {props.children(scale)}
    </svg>
  );
}

/** A path through the known points, broken where one is missing. */
export function linePath(points: readonly (readonly [number, number | null])[], { x, y }: LineScale): string {
  let pen = false;
  return points
    .map(([at, value]) => {
      if (value === null || !Number.isFinite(value)) {
        pen = false;
        return '';
      }
      const step = `${pen ? 'L' : 'M'}${x(at).toFixed(1)} ${y(value).toFixed(1)}`;
      pen = true;
      return step;
    })
    .join('');
}
