import './charts.css';
import './surface-plots.css';
import { type KeyboardEvent, type PointerEvent, type ReactElement, useId, useMemo, useRef, useState } from 'react';
import type { ErrorScan } from '../../core/surfaces/types.ts';
import { neighboursText } from '../../core/surfaces/ways.ts';
import { number, shortNumber } from '../ui/format.ts';
import {
  bestPoint,
  DASHES,
  ERROR_NAMES,
  type ErrorFrame,
  type ErrorLine,
  type ErrorMeasure,
  type ErrorPoint,
  errorAt,
  errorDecimals,
  errorFrame,
  errorLines,
  spaced,
} from './error-plot.ts';
import { ticks } from './scales.ts';
import { useWidth } from './use-width.ts';

export interface ErrorPlotProps {
  readonly scan: ErrorScan;
  readonly measure: ErrorMeasure;
  /** What was measured, with its unit: `K, ppm`. */
  readonly unit: string;
  /** The plan's setting and its own error; NaN while that is being made again. */
  readonly inUse: { readonly power: number; readonly neighbours: number; readonly error: number };
  /** RMSE of giving each sample the mean of the others: the line to beat. Null where it is not of this measure. */
  readonly meanError: number | null;
  /** A setting under way on the sliders. */
  readonly draft: { readonly power: number; readonly neighbours: number } | null;
  readonly onTake: (power: number, neighbours: number) => void;
  readonly height?: number;
}

const REACH_PX = 16;

/** Leave-one-out error over powers, one line a neighbour count. A point is a setting: choosing it takes it. */
export function ErrorPlot(props: ErrorPlotProps): ReactElement {
  const [box, width] = useWidth<HTMLDivElement>();
  return (
    <div ref={box} data-testid="error-plot">
      {width > 0 && <Graph {...props} width={width} height={props.height ?? 232} />}
    </div>
  );
}

function Graph(props: ErrorPlotProps & { readonly width: number; readonly height: number }): ReactElement {
  const { scan, measure, unit, inUse, meanError, draft, onTake, width, height } = props;
  const id = useId();
  const svg = useRef<SVGSVGElement>(null);
  const lines = useMemo(() => errorLines(scan, measure), [scan, measure]);
  const best = useMemo(() => bestPoint(scan, measure), [scan, measure]);
  const frame = useMemo(
    () => errorFrame(width, height, lines, [inUse.power], [meanError ?? 0, inUse.error]),
    [width, height, lines, inUse.power, inUse.error, meanError],
  );
  const points = useMemo(() => lines.flatMap((line) => line.points), [lines]);
  const [active, setActive] = useState(scan.best);
  const [under, setUnder] = useState<ErrorPoint | null>(null);
  const [keys, setKeys] = useState(false);
  const { left, top, x, y } = frame;
  const right = left + frame.width;
  const bottom = top + frame.height;
  const told = under ?? (keys ? points.find((point) => point.index === active) : undefined) ?? null;

  const nearest = (event: PointerEvent): ErrorPoint | null => {
    const rect = svg.current?.getBoundingClientRect();
    if (!rect) return null;
    const [px, py] = [event.clientX - rect.left, event.clientY - rect.top];
    let found: ErrorPoint | null = null;
    let reach = REACH_PX;
    for (const point of points) {
      const distance = Math.hypot(x(point.power) - px, y(point.error) - py);
      if (distance < reach) {
        found = point;
        reach = distance;
      }
    }
    return found;
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    const here = points.find((point) => point.index === active) ?? points[0];
    const line = lines.findIndex((one) => one.neighbours === here?.neighbours);
    const at = lines[line]?.points.findIndex((point) => point.index === here?.index) ?? 0;
    const steps: Record<string, readonly [number, number]> = {
      ArrowRight: [0, 1],
      ArrowLeft: [0, -1],
      ArrowUp: [1, 0],
      ArrowDown: [-1, 0],
    };
    const step = steps[event.key];
    if (step) {
      const to = lines[Math.max(0, Math.min(lines.length - 1, line + step[0]))];
      const point = to?.points[Math.max(0, Math.min(to.points.length - 1, at + step[1]))];
      if (point) setActive(point.index);
    } else if ((event.key === 'Enter' || event.key === ' ') && here) onTake(here.power, here.neighbours);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };

  const say = (error: number): string => number(error, errorDecimals(error));
  return (
    <>
      {/* biome-ignore lint/a11y/useSemanticElements: a drawing cannot be a fieldset */}
      <svg
        ref={svg}
        className="plot error-plot"
        width={width}
        height={height}
        role="group"
        aria-label={`Leave-one-out error of ${unit} over powers, one line for each number of neighbours`}
      >
        <rect className="plot-ground" x={left} y={top} width={frame.width} height={frame.height} />
        {/* biome-ignore lint/a11y/noAriaHiddenOnFocusable: nothing in it takes the focus */}
        <g aria-hidden="true">
          {ticks(frame.most_error, 5).map((tick) => (
            <g key={tick}>
              <path className="plot-rule-line" d={`M${left} ${y(tick)}H${right}`} />
              <text className="plot-tick" x={left - 7} y={y(tick) + 4} textAnchor="end">
                {shortNumber(tick, 2)}
              </text>
            </g>
          ))}
          {powerTicks(frame).map((tick) => (
            <g key={tick}>
              <path className="plot-axis" d={`M${x(tick)} ${bottom}v4`} />
              <text className="plot-tick" x={x(tick)} y={bottom + 16} textAnchor="middle">
                {shortNumber(tick, 1)}
              </text>
            </g>
          ))}
          <path className="plot-axis" d={`M${left} ${bottom}H${right}`} />
          <text x={right} y={height - 4} textAnchor="end">
            power →
          </text>
          <text x={0} y={12}>
            ↑ {ERROR_NAMES[measure]}, {unit}
          </text>
          {meanError !== null && <path className="plot-mean" d={`M${left} ${y(meanError)}H${right}`} />}
          {lines.map((line, i) => (
            <path
              key={line.neighbours}
              className={line.neighbours === inUse.neighbours ? 'plot-line plot-line-used' : 'plot-line'}
              strokeDasharray={line.neighbours === inUse.neighbours ? undefined : DASHES[i % DASHES.length]}
              d={pathOf(line, frame)}
            />
          ))}
          <StartNames lines={lines} frame={frame} clear={meanError === null ? null : y(meanError)} />
          <EndNames frame={frame} best={best} meanError={meanError} say={say} />
          {points.map((point) => (
            <circle key={point.index} className="plot-point" cx={x(point.power)} cy={y(point.error)} r={1.9} />
          ))}
          {best && <path className="plot-best" d={diamond(x(best.power), y(best.error), 5)} />}
        </g>
        <rect
          className="plot-catch plot-take"
          x={left - 6}
          y={top}
          width={frame.width + 12}
          height={frame.height}
          onPointerMove={(event) => setUnder(nearest(event))}
          onPointerLeave={() => setUnder(null)}
          onPointerUp={(event) => {
            const point = event.button === 0 ? nearest(event) : null;
            if (point) onTake(point.power, point.neighbours);
          }}
          data-testid="error-ground"
        />
        <g
          className="plot-samples"
          role="listbox"
          aria-label="Settings, by power and number of neighbours. Enter takes one."
          aria-activedescendant={`${id}-${active}`}
          tabIndex={0}
          onKeyDown={onKeyDown}
          onFocus={() => setKeys(true)}
          onBlur={() => setKeys(false)}
        >
          {points.map((point) => (
            <g
              key={point.index}
              id={`${id}-${point.index}`}
              role="option"
              aria-selected={point.power === inUse.power && point.neighbours === inUse.neighbours}
              aria-label={`power ${shortNumber(point.power)}, ${neighboursText(point.neighbours)}: ${say(point.error)}${point.index === best?.index ? ', the lowest' : ''}`}
              className={point.index === active ? 'plot-active' : undefined}
            >
              <circle className="plot-here" cx={x(point.power)} cy={y(point.error)} r={8} />
            </g>
          ))}
        </g>
        {/* biome-ignore lint/a11y/noAriaHiddenOnFocusable: nothing in it takes the focus */}
        <g className="plot-samples" aria-hidden="true">
          {told && <circle className="plot-told" cx={x(told.power)} cy={y(told.error)} r={4.5} />}
          {draft ? (
            <Trying draft={draft} frame={frame} lines={lines} say={say} />
          ) : (
            <InUse inUse={inUse} frame={frame} say={say} />
          )}
        </g>
      </svg>
      <p className="small ink2 plot-told-line" aria-hidden="true" data-testid="error-told">
        {told
          ? `Power ${shortNumber(told.power)}, ${neighboursText(told.neighbours)}: ${say(told.error)}. Click takes it.`
          : 'Each dot is a setting; click one to take it.'}
      </p>
    </>
  );
}

const pathOf = (line: ErrorLine, { x, y }: ErrorFrame): string =>
  line.points
    .map((point, i) => `${i === 0 ? 'M' : 'L'}${x(point.power).toFixed(1)} ${y(point.error).toFixed(1)}`)
    .join('');
const diamond = (x: number, y: number, r: number): string => `M${x} ${y - r}l${r} ${r}l${-r} ${r}l${-r} ${-r}z`;

/** Whole powers, or halves where the axis is short. */
function powerTicks({ least, most }: ErrorFrame): number[] {
  const step = most - least > 2.5 ? 1 : 0.5;
  const first = Math.ceil(least / step);
  return Array.from({ length: Math.floor(most / step) - first + 1 }, (_, i) => (first + i) * step);
}

/** The lines' names before their starts. */
function StartNames({
  lines,
  frame,
  clear,
}: {
  readonly lines: readonly ErrorLine[];
  readonly frame: ErrorFrame;
  /** Height of a line that their heading is not to stand on. */
  readonly clear: number | null;
}): ReactElement {
  const starts = lines.map((line) => frame.y(line.points[0]?.error ?? 0) + 4);
  const places = spaced(starts, 12.5, frame.top + frame.height - 4);
  const heading = [Math.min(...places) - 15, Math.max(...places) + 14].find(
    (at) =>
      at > frame.top + 9 && at < frame.top + frame.height - 2 && (clear === null || Math.abs(at - 4 - clear) > 10),
  );
  return (
    <>
      {heading !== undefined && (
        <text className="plot-tick" x={frame.left + 6} y={heading}>
          neighbours
        </text>
      )}
      {lines.map((line, i) => (
        <text key={line.neighbours} x={frame.x(frame.least) - 7} y={places[i]} textAnchor="end">
          {line.neighbours === 0 ? 'all' : line.neighbours}
        </text>
      ))}
    </>
  );
}

/** At the right: the line to beat and the lowest there is. */
function EndNames(props: {
  readonly frame: ErrorFrame;
  readonly best: ErrorPoint | null;
  readonly meanError: number | null;
  readonly say: (error: number) => string;
}): ReactElement {
  const { frame, best, meanError, say } = props;
  const at = frame.left + frame.width + 8;
  const named = [
    ...(meanError === null ? [] : [{ text: `field mean ${say(meanError)}`, y: frame.y(meanError) + 4 }]),
    ...(best ? [{ text: `lowest ${say(best.error)}`, y: frame.y(best.error) + 4 }] : []),
  ];
  const places = spaced(
    named.map((one) => one.y),
    14,
    frame.top + frame.height,
  );
  return (
    <>
      {named.map((one, i) => (
        <text key={one.text} x={at} y={places[i]}>
          {one.text}
        </text>
      ))}
    </>
  );
}

/** The setting in use, ringed, its error named on a stem above it. */
function InUse(props: {
  readonly inUse: ErrorPlotProps['inUse'];
  readonly frame: ErrorFrame;
  readonly say: (error: number) => string;
}): ReactElement | null {
  const { inUse, frame, say } = props;
  if (!Number.isFinite(inUse.error)) return null;
  const [x, y] = [frame.x(inUse.power), frame.y(inUse.error)];
  return <Named x={x} y={y} frame={frame} text={`in use ${say(inUse.error)}`} />;
}

/** The setting under the slider: on its line where there is one for that many neighbours. */
function Trying(props: {
  readonly draft: NonNullable<ErrorPlotProps['draft']>;
  readonly frame: ErrorFrame;
  readonly lines: readonly ErrorLine[];
  readonly say: (error: number) => string;
}): ReactElement | null {
  const { draft, frame, lines, say } = props;
  const line = lines.find((one) => one.neighbours === draft.neighbours);
  const error = line ? errorAt(line, draft.power) : Number.NaN;
  const power = Math.max(frame.least, Math.min(frame.most, draft.power));
  if (Number.isFinite(error))
    return <Named x={frame.x(power)} y={frame.y(error)} frame={frame} text={`trying, near ${say(error)}`} />;
  return <path className="plot-trying" d={`M${frame.x(power)} ${frame.top}V${frame.top + frame.height}`} />;
}

const STEM_PX = 34;

function Named(props: {
  readonly x: number;
  readonly y: number;
  readonly frame: ErrorFrame;
  readonly text: string;
}): ReactElement {
  const { x, y, frame, text } = props;
  // Above the point where there is room, else below it.
  const up = y - STEM_PX - 12 > frame.top;
  const end = up ? y - STEM_PX : Math.min(y + STEM_PX, frame.top + frame.height - 6);
  const anchor = x < frame.left + 44 ? 'start' : x > frame.left + frame.width - 40 ? 'end' : 'middle';
  return (
    <g className="plot-in-use">
      <path d={`M${x} ${y}V${end}`} />
      <circle className="plot-in-use-case" cx={x} cy={y} r={6} />
      <circle cx={x} cy={y} r={6} />
      <text className="plot-haloed" x={x} y={up ? end - 6 : end + 13} textAnchor={anchor}>
        {text}
      </text>
    </g>
  );
}
