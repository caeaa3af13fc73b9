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

  const names = placeNames(
    shown.filter((one) => one.outlier || litSamples.has(one.id)),
    (one) => [x(one.measured), y(one.predicted)],
    { left: MARGIN.left, right, top: MARGIN.top, bottom },
  );

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
              {names.has(one) && (
                <text className="plot-haloed" {...names.get(one)}>
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

interface NamePlace {
  readonly x: number;
  readonly y: number;
  readonly textAnchor: 'start' | 'middle' | 'end';
}
const LETTER_PX = 7;
const NAME_PX = 13;

/** Names beside their marks, at the first of four sides where they cover no other name; one that fits nowhere is left to the table. */
function placeNames(
  named: readonly SampleResidual[],
  placeOf: (one: SampleResidual) => readonly [number, number],
  box: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number },
): ReadonlyMap<SampleResidual, NamePlace> {
  const taken: (readonly [number, number, number, number])[] = named.map((one) => {
    const [x, y] = placeOf(one);
    return [x - 4, y - 4, x + 4, y + 4];
  });
  const places = new Map<SampleResidual, NamePlace>();
  for (const one of named) {
    const [x, y] = placeOf(one);
    const width = one.id.length * LETTER_PX;
    const sides = [
      { x: x + 8, y: y + 4, textAnchor: 'start', from: x + 6 },
      { x: x - 8, y: y + 4, textAnchor: 'end', from: x - 6 - width },
      { x, y: y - 9, textAnchor: 'middle', from: x - width / 2 },
      { x, y: y + 17, textAnchor: 'middle', from: x - width / 2 },
    ] as const;
    const side = sides.find(
      ({ from, y: base }) =>
        from >= box.left &&
        from + width <= box.right &&
        base - NAME_PX >= box.top &&
        base <= box.bottom &&
        taken.every(
          ([west, north, east, south]) => from > east || from + width < west || base - NAME_PX > south || base < north,
        ),
    );
    if (!side) continue;
    taken.push([side.from, side.y - NAME_PX, side.from + width, side.y]);
    places.set(one, { x: side.x, y: side.y, textAnchor: side.textAnchor });
  }
  return places;
}
