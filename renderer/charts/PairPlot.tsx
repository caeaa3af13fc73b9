import './charts.css';
import './surface-plots.css';
import { type ReactElement, useMemo } from 'react';
import type { LayerWords } from '../../core/layers/layer.ts';
import type { LayerPair } from '../compute/protocol.ts';
import { shortNumber } from '../ui/format.ts';
import { ticksBetween, widened } from './scales.ts';
import { useWidth } from './use-width.ts';

interface PairPlotProps {
  readonly pair: LayerPair;
  readonly across: LayerWords;
  readonly up: LayerWords;
}

const MARGIN = { left: 44, right: 12, top: 24, bottom: 36 } as const;
const MOST_HEIGHT_PX = 260;

/** Cells as faint specks, and the second layer's mean over spans of the first as a line. */
export function PairPlot(props: PairPlotProps): ReactElement {
  const [box, width] = useWidth<HTMLDivElement>();
  return (
    <div ref={box} data-testid="pair-plot">
      {width > 0 && <Graph {...props} width={width} />}
    </div>
  );
}

function Graph({ pair, across, up, width }: PairPlotProps & { readonly width: number }): ReactElement {
  const height = Math.min(MOST_HEIGHT_PX, Math.round(width * 0.66));
  const right = width - MARGIN.right;
  const bottom = height - MARGIN.bottom;
  const drawn = useMemo(() => {
    const { points, spans } = pair;
    const [xs, ys] = [[] as number[], [] as number[]];
    for (let i = 0; i < points.length; i += 2) {
      xs.push(points[i] ?? 0);
      ys.push(points[i + 1] ?? 0);
    }
    const [lowX, highX] = widened(xs);
    const [lowY, highY] = widened(ys);
    const x = (value: number): number => MARGIN.left + ((value - lowX) / (highX - lowX)) * (right - MARGIN.left);
    const y = (value: number): number => bottom - ((value - lowY) / (highY - lowY)) * (bottom - MARGIN.top);
    const specks = xs.map((value, i) => `M${x(value).toFixed(1)} ${y(ys[i] ?? 0).toFixed(1)}h1.4`).join('');
    const trend = spans
      .filter((span) => Number.isFinite(span.mean))
      .map((span, i) => {
        const middle = Math.max(lowX, Math.min(highX, (span.from + span.to) / 2));
        return `${i === 0 ? 'M' : 'L'}${x(middle).toFixed(1)} ${y(span.mean).toFixed(1)}`;
      })
      .join('');
    return { x, y, specks, trend, ticksX: ticksBetween(lowX, highX, 5), ticksY: ticksBetween(lowY, highY, 5) };
  }, [pair, right, bottom]);
  const { x, y } = drawn;
  return (
    <svg
      className="plot"
      width={width}
      height={height}
      role="img"
      aria-label={`${up.name} up over ${across.name} across, a speck a cell; the line is the mean`}
    >
      <rect
        className="plot-ground"
        x={MARGIN.left}
        y={MARGIN.top}
        width={right - MARGIN.left}
        height={bottom - MARGIN.top}
      />
      {drawn.ticksY.map((tick) => (
        <g key={tick}>
          <path className="plot-rule-line" d={`M${MARGIN.left} ${y(tick)}H${right}`} />
          <text className="plot-tick" x={MARGIN.left - 7} y={y(tick) + 4} textAnchor="end">
            {shortNumber(tick, 3)}
          </text>
        </g>
      ))}
      {drawn.ticksX.map((tick) => (
        <g key={tick}>
          <path className="plot-axis" d={`M${x(tick)} ${bottom}v4`} />
          <text className="plot-tick" x={x(tick)} y={bottom + 16} textAnchor="middle">
            {shortNumber(tick, 3)}
          </text>
        </g>
      ))}
      <path className="plot-specks" d={drawn.specks} />
      <path className="plot-axis" d={`M${MARGIN.left} ${MARGIN.top}V${bottom}H${right}`} />
      <path className="plot-trend-case" d={drawn.trend} />
      <path className="plot-trend" d={drawn.trend} />
      <text x={right} y={height - 4} textAnchor="end">
        {worded(across)} →
      </text>
      <text x={0} y={12}>
        ↑ {worded(up)}; line: its mean
      </text>
    </svg>
  );
}

const worded = ({ name, unit }: LayerWords): string => (unit === '' ? name : `${name}, ${unit}`);
