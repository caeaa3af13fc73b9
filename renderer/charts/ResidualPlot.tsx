import './charts.css';
import './surface-plots.css';
import { type KeyboardEvent, type PointerEvent, type ReactElement, useId, useMemo, useRef, useState } from 'react';
import type { SampleResidual } from '../../core/surfaces/types.ts';
import { number, shortNumber } from '../ui/format.ts';
import { ticksBetween, widened } from './scales.ts';
import { useWidth } from './use-width.ts';

export interface ResidualPlotProps {
  readonly residuals: readonly SampleResidual[];
  /** What was measured, with its unit. */
  readonly unit: string;
  readonly decimals: number;
  readonly litSamples: ReadonlySet<string>;
  readonly onChoose: (residual: SampleResidual | null) => void;
}

const MARGIN = { left: 44, right: 14, top: 24, bottom: 36 } as const;
const MOST_HEIGHT_PX = 300;
const REACH_PX = 10;

/** Measured across, predicted from the others up. On the line the two are the same; outliers are squares with their ids. */
export function ResidualPlot(props: ResidualPlotProps): ReactElement {
  const [box, width] = useWidth<HTMLDivElement>();
  return (
    <div ref={box} data-testid="residual-plot">
      {width > 0 && <Graph {...props} width={width} />}
    </div>
  );
}

function Graph(props: ResidualPlotProps & { readonly width: number }): ReactElement {
  const { residuals, unit, decimals, litSamples, onChoose, width } = props;
  const id = useId();
  const svg = useRef<SVGSVGElement>(null);
  const [active, setActive] = useState(0);
  const height = Math.min(MOST_HEIGHT_PX, Math.round(width * 0.72));
  const shown = useMemo(
    () => residuals.filter((one) => Number.isFinite(one.predicted)).sort((a, b) => a.measured - b.measured),
    [residuals],
  );
  const both = shown.flatMap((one) => [one.measured, one.predicted]);
  const [low, high] = widened(both);
  const right = width - MARGIN.right;
  const bottom = height - MARGIN.bottom;
  const x = (value: number): number => MARGIN.left + ((value - low) / (high - low)) * (right - MARGIN.left);
  const y = (value: number): number => bottom - ((value - low) / (high - low)) * (bottom - MARGIN.top);
  const axis = ticksBetween(low, high, 5);

  const choose = (one: SampleResidual): void => onChoose(litSamples.has(one.id) ? null : one);
  const onPointerUp = (event: PointerEvent): void => {
    const rect = svg.current?.getBoundingClientRect();
    if (!rect) return;
    const [px, py] = [event.clientX - rect.left, event.clientY - rect.top];
    let found: SampleResidual | null = null;
    let reach = REACH_PX;
    shown.forEach((one, at) => {
      const distance = Math.hypot(x(one.measured) - px, y(one.predicted) - py);
      if (distance > reach) return;
      found = one;
      reach = distance;
      setActive(at);
    });
    if (found) choose(found);
    else onChoose(null);
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    const last = shown.length - 1;
    const moves: Record<string, number> = {
      ArrowRight: Math.min(last, active + 1),
      ArrowUp: Math.min(last, active + 1),
      ArrowLeft: Math.max(0, active - 1),
      ArrowDown: Math.max(0, active - 1),
      Home: 0,
      End: last,
    };
    const to = moves[event.key];
    const here = shown[active];
    if (to !== undefined) setActive(to);
    else if ((event.key === 'Enter' || event.key === ' ') && here) choose(here);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };

  return (
    // biome-ignore lint/a11y/useSemanticElements: a drawing cannot be a fieldset
    <svg
      ref={svg}
      className="plot"
      width={width}
      height={height}
      role="group"
      aria-label={`${unit}: measured across, predicted by the other samples up`}
    >
      <rect
        className="plot-ground"
        x={MARGIN.left}
        y={MARGIN.top}
        width={right - MARGIN.left}
        height={bottom - MARGIN.top}
      />
      {/* biome-ignore lint/a11y/noAriaHiddenOnFocusable: nothing in it takes the focus */}
      <g aria-hidden="true">
        {axis.map((tick) => (
          <g key={tick}>
            <path className="plot-rule-line" d={`M${MARGIN.left} ${y(tick)}H${right}`} />
            <text className="plot-tick" x={MARGIN.left - 7} y={y(tick) + 4} textAnchor="end">
              {shortNumber(tick, 2)}
            </text>
            <path className="plot-axis" d={`M${x(tick)} ${bottom}v4`} />
            <text className="plot-tick" x={x(tick)} y={bottom + 16} textAnchor="middle">
              {shortNumber(tick, 2)}
            </text>
          </g>
        ))}
        <path className="plot-axis" d={`M${MARGIN.left} ${MARGIN.top}V${bottom}H${right}`} />
        <path className="plot-even" d={`M${x(low)} ${y(low)}L${x(high)} ${y(high)}`} />
        <text x={right} y={height - 4} textAnchor="end">
          measured, {unit} →
        </text>
        <text x={0} y={12}>
          ↑ predicted by the others, {unit}
        </text>
      </g>
      <rect
        className="plot-catch plot-take"
        x={MARGIN.left}
        y={MARGIN.top}
        width={right - MARGIN.left}
        height={bottom - MARGIN.top}
        onPointerUp={onPointerUp}
        data-testid="residual-ground"
      />
      <g
        className="plot-samples"
        role="listbox"
        aria-multiselectable="true"
        aria-label="Samples, by what was measured. Enter lights one on the map."
        aria-activedescendant={shown[active] ? `${id}-${active}` : undefined}
        tabIndex={0}
        onKeyDown={onKeyDown}
      >
        {shown.map((one, at) => {
          const lit = litSamples.has(one.id);
          const [px, py] = [x(one.measured), y(one.predicted)];
          return (
            <g
              key={`${one.file} ${one.row}`}
              id={`${id}-${at}`}
              role="option"
              aria-selected={lit}
              aria-label={`sample ${one.id}: measured ${number(one.measured, decimals)}, predicted ${number(one.predicted, decimals)}${one.outlier ? ', an outlier' : ''}`}
              className={at === active ? 'plot-active' : undefined}
            >
              {one.outlier ? (
                <rect className="plot-outlier" x={px - 4} y={py - 4} width={8} height={8} />
              ) : (
                <circle className="plot-sample" cx={px} cy={py} r={3} />
              )}
              {one.outlier && (
                <text
                  className="plot-haloed"
                  x={px > right - 46 ? px - 8 : px + 8}
                  y={py + 4}
                  textAnchor={px > right - 46 ? 'end' : 'start'}
                >
                  {one.id}
                </text>
              )}
              {lit && <circle className="plot-lit" cx={px} cy={py} r={8} />}
              <circle className="plot-here" cx={px} cy={py} r={8} />
            </g>
          );
        })}
      </g>
    </svg>
  );
}
