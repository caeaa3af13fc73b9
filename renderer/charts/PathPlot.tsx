import './path.css';
import { type ReactElement, useState } from 'react';
import type { PathYear } from '../../core/rates/types.ts';
import { number } from '../ui/format.ts';
import { niceStep } from './scales.ts';
import { useWidth } from './use-width.ts';

export interface PathPlotProps {
  readonly path: readonly PathYear[];
  /** Where the soil stands now. */
  readonly k_ppm: number;
  readonly kSat_pct: number;
  readonly floor_ppm: number;
  readonly floor_pct: number;
  /** What to mind in reading it; empty where nothing. */
  readonly caption?: string;
}

const HEIGHT = 132;
const MARGIN = { left: 34, right: 10, top: 8, bottom: 22 } as const;

/** Soil test over the years ahead, ppm or saturation, with the band of the field factors in print; its table on request. */
export function PathPlot(props: PathPlotProps): ReactElement | null {
  const [ref, width] = useWidth<HTMLDivElement>();
  const [by, setBy] = useState<'ppm' | '%'>('ppm');
  const [asTable, setAsTable] = useState(false);
  if (props.path.length === 0) return null;
  return (
    <div className="path-plot" ref={ref}>
      <div className="path-acts">
        <button
          type="button"
          className="btn s"
          aria-pressed={by === '%'}
          onClick={() => setBy(by === 'ppm' ? '%' : 'ppm')}
        >
          {by === 'ppm' ? 'As saturation' : 'As ppm'}
        </button>
        <button type="button" className="btn s" aria-pressed={asTable} onClick={() => setAsTable(!asTable)}>
          {asTable ? 'As plot' : 'As table'}
        </button>
      </div>
      {asTable ? <PathTable {...props} /> : width > 0 && <Plot {...props} by={by} width={width} />}
      {props.caption !== undefined && props.caption !== '' && <p className="small ink2">{props.caption}</p>}
    </div>
  );
}

interface Point {
  readonly year: number;
  readonly at: number;
  readonly low: number;
  readonly high: number;
}

function pointsOf(props: PathPlotProps, by: 'ppm' | '%'): readonly Point[] {
  const now = by === 'ppm' ? props.k_ppm : props.kSat_pct;
  return [
    { year: 0, at: now, low: now, high: now },
    ...props.path.map((one) =>
      by === 'ppm'
        ? { year: one.year, at: one.k_ppm, low: one.kLow_ppm, high: one.kHigh_ppm }
        : { year: one.year, at: one.kSat_pct, low: one.kSatLow_pct, high: one.kSatHigh_pct },
    ),
  ];
}

function Plot(props: PathPlotProps & { readonly by: 'ppm' | '%'; readonly width: number }): ReactElement {
  const { by, width } = props;
  const points = pointsOf(props, by);
  const floor = by === 'ppm' ? props.floor_ppm : props.floor_pct;
  const values = [...points.flatMap(({ low, high, at }) => [low, high, at]), floor].filter(Number.isFinite);
  const step = niceStep(Math.max(1e-9, Math.max(...values) - Math.min(...values)), 4);
  const least = Math.max(0, Math.floor((Math.min(...values) - step / 4) / step) * step);
  const most = Math.ceil((Math.max(...values) + step / 4) / step) * step;
  const last = points.at(-1)?.year ?? 1;
  const inner = { width: width - MARGIN.left - MARGIN.right, height: HEIGHT - MARGIN.top - MARGIN.bottom };
  const x = (year: number): number => MARGIN.left + (year / last) * inner.width;
  const y = (value: number): number => MARGIN.top + inner.height - ((value - least) / (most - least)) * inner.height;
  const line = (of: (point: Point) => number): string =>
    points.map((point, i) => `${i === 0 ? 'M' : 'L'}${x(point.year).toFixed(1)} ${y(of(point)).toFixed(1)}`).join('');
  const back = [...points].reverse().map((point) => `L${x(point.year).toFixed(1)} ${y(point.low).toFixed(1)}`);
  const decimals = by === 'ppm' ? 0 : 1;
  const rows = Array.from({ length: Math.round((most - least) / step) + 1 }, (_, i) => least + i * step);
  const every = Math.max(1, Math.ceil(last / 10));
  const end = points.at(-1);
  return (
    <svg
      className="path-svg"
      width={width}
      height={HEIGHT}
      role="img"
      aria-label={`Soil-test K over ${last} years, from ${number(points[0]?.at, decimals)} to ${number(end?.at, decimals)} ${by}, between ${number(end?.low, decimals)} and ${number(end?.high, decimals)}.`}
    >
      {rows.map((value) => (
        <g key={value}>
          <line className="path-grid" x1={MARGIN.left} x2={width - MARGIN.right} y1={y(value)} y2={y(value)} />
          <text className="path-tick" x={MARGIN.left - 6} y={y(value) + 4} textAnchor="end">
            {number(value, by === '%' && step < 1 ? 1 : 0)}
          </text>
        </g>
      ))}
      <path className="path-band" d={`${line(({ high }) => high)}${back.join('')}Z`} />
      <line className="path-floor" x1={MARGIN.left} x2={width - MARGIN.right} y1={y(floor)} y2={y(floor)} />
      <text className="path-tick" x={width - MARGIN.right} y={y(floor) - 4} textAnchor="end">
        {by === 'ppm' ? 'ppm floor' : 'saturation floor'}
      </text>
      <path className="path-line" d={line(({ at }) => at)} />
      {points.map((point) => (
        <circle key={point.year} className="path-dot" cx={x(point.year)} cy={y(point.at)} r={2.5} />
      ))}
      {points
        .filter(({ year }) => year % every === 0)
        .map(({ year }) => (
          <text
            key={year}
            className="path-tick"
            x={x(year)}
            y={HEIGHT - 6}
            textAnchor={year === 0 ? 'start' : 'middle'}
          >
            {year === 0 ? 'now' : year}
          </text>
        ))}
    </svg>
  );
}

function PathTable({ path }: PathPlotProps): ReactElement {
  return (
    <table className="table" data-testid="path-table">
      <thead>
        <tr>
          <th scope="col">Year</th>
          <th scope="col">crop</th>
          <th scope="col" className="num">
            put on
          </th>
          <th scope="col" className="num">
            leaves
          </th>
          <th scope="col" className="num">
            ppm
          </th>
          <th scope="col" className="num">
            %
          </th>
        </tr>
      </thead>
      <tbody>
        {path.map((one) => (
          <tr key={one.year}>
            <td>{one.year}</td>
            <td>{one.crop}</td>
            <td className="num">{number(one.applied_lbK2OPerAc)}</td>
            <td className="num">{number(one.removed_lbK2OPerAc)}</td>
            <td className="num">
              {number(one.k_ppm)}{' '}
              <span className="ink3">
                ({number(one.kLow_ppm)}–{number(one.kHigh_ppm)})
              </span>
            </td>
            <td className="num">
              {number(one.kSat_pct, 1)}{' '}
              <span className="ink3">
                ({number(one.kSatLow_pct, 1)}–{number(one.kSatHigh_pct, 1)})
              </span>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
