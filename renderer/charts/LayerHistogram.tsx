import './charts.css';
import './surface-plots.css';
import type { ReactElement } from 'react';
import type { Histogram } from '../../core/layers/statistics.ts';
import { figure, shortNumber, type UnitSystem, unitOf } from '../ui/format.ts';
import { ticks, ticksBetween } from './scales.ts';
import { useWidth } from './use-width.ts';

export interface LayerHistogramProps {
  readonly histogram: Histogram;
  /** Name and unit of the layer. */
  readonly name: string;
  readonly median: number;
  readonly mean: number;
  readonly units: UnitSystem;
  readonly asTable: boolean;
}

const HEIGHT_PX = 150;
const MARGIN = { left: 38, right: 10, top: 30, bottom: 34 } as const;

/** Acres of a layer in equal spans, median and mean marked. */
export function LayerHistogram(props: LayerHistogramProps): ReactElement {
  const [box, width] = useWidth<HTMLDivElement>();
  return (
    <div ref={box} data-testid="layer-histogram">
      {props.asTable ? <AsTable {...props} /> : width > 0 && <Bars {...props} width={width} />}
    </div>
  );
}

function Bars({
  histogram,
  name,
  median,
  mean,
  units,
  width,
}: LayerHistogramProps & { readonly width: number }): ReactElement {
  const { limits, acres } = histogram;
  const [low, high] = [limits[0] ?? 0, limits[limits.length - 1] ?? 1];
  const most = Math.max(...acres, 1e-9);
  const right = width - MARGIN.right;
  const bottom = HEIGHT_PX - MARGIN.bottom;
  const x = (value: number): number => MARGIN.left + ((value - low) / (high - low)) * (right - MARGIN.left);
  const y = (area: number): number => bottom - (area / (most * 1.05)) * (bottom - MARGIN.top);
  // Names of the two marks go outwards, so that close marks do not write over one another.
  const [left, later] = median <= mean ? (['median', 'mean'] as const) : (['mean', 'median'] as const);
  const marks = { median, mean };
  const end = (value: number): 'start' | 'end' => (value - low > 0.22 * (high - low) ? 'end' : 'start');
  return (
    <svg
      className="plot"
      width={width}
      height={HEIGHT_PX}
      role="img"
      aria-label={`Acres by ${name}, from ${shortNumber(low, 2)} to ${shortNumber(high, 2)}`}
    >
      {ticks(shown(most, units), 3).map((tick) => {
        const at = y(tick / shown(1, units));
        return (
          <g key={tick}>
            <path className="plot-rule-line" d={`M${MARGIN.left} ${at}H${right}`} />
            <text className="plot-tick" x={MARGIN.left - 7} y={at + 4} textAnchor="end">
              {shortNumber(tick, 2)}
            </text>
          </g>
        );
      })}
      {acres.map((area, i) => {
        const [from, to] = [x(limits[i] ?? 0), x(limits[i + 1] ?? 0)];
        return (
          <rect
            key={limits[i]}
            className="plot-bar"
            x={from + 0.5}
            y={y(area)}
            width={Math.max(1, to - from - 1)}
            height={Math.max(0, bottom - y(area))}
          />
        );
      })}
      <path className="plot-axis" d={`M${MARGIN.left} ${bottom}H${right}`} />
      {ticksBetween(low, high, 6).map((tick) => (
        <g key={tick}>
          <path className="plot-axis" d={`M${x(tick)} ${bottom}v4`} />
          <text className="plot-tick" x={x(tick)} y={bottom + 16} textAnchor="middle">
            {shortNumber(tick, 2)}
          </text>
        </g>
      ))}
      <path className="plot-mark-line" d={`M${x(median)} ${MARGIN.top - 4}V${bottom}`} />
      <path className="plot-mark-line light" d={`M${x(mean)} ${MARGIN.top - 4}V${bottom}`} />
      <text x={x(marks[left]) - (end(marks[left]) === 'end' ? 3 : -3)} y={MARGIN.top - 8} textAnchor={end(marks[left])}>
        {end(marks[left]) === 'end' ? left : ''}
      </text>
      <text x={x(marks[later]) + 3} y={MARGIN.top - 8} textAnchor="start">
        {end(marks[left]) === 'end' ? later : `${left}, ${later}`}
      </text>
      <text x={0} y={10}>
        ↑ {unitOf('area', units)}
      </text>
      <text x={right} y={HEIGHT_PX - 3} textAnchor="end">
        {name} →
      </text>
    </svg>
  );
}

const shown = (acres: number, units: UnitSystem): number => (units === 'US' ? acres : acres * 0.404_685_642_24);

function AsTable({ histogram, name, units }: LayerHistogramProps): ReactElement {
  const { limits, acres } = histogram;
  const sum = acres.reduce((all, one) => all + one, 0);
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reached by keys
    <section className="plot-rows" tabIndex={0} aria-label={`Acres by ${name}`}>
      <table className="table">
        <thead>
          <tr>
            <th scope="col">{name}</th>
            <th scope="col" className="num">
              {unitOf('area', units)}
            </th>
          </tr>
        </thead>
        <tbody>
          {acres.map((area, i) => (
            <tr key={limits[i]}>
              <td>
                {shortNumber(limits[i])}–{shortNumber(limits[i + 1])}
              </td>
              <td className="num">{figure(area, 'area', units)}</td>
            </tr>
          ))}
        </tbody>
        <tfoot>
          <tr className="sum">
            <th scope="row">Known</th>
            <td className="num">{figure(sum, 'area', units)}</td>
          </tr>
        </tfoot>
      </table>
    </section>
  );
}
