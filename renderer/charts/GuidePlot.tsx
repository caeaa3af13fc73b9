import type { ReactElement } from 'react';
import { number } from '../ui/format.ts';
import { LineFrame, type LineScale, linePath } from './LineFrame.tsx';
import { ticks } from './scales.ts';
import { useWidth } from './use-width.ts';

/** One line of the plot: K2O over soil-test K, in the unit shown. */
export interface GuideLine {
  readonly id: string;
  readonly name: string;
  /** Its number in the plot and in the table below it. */
  readonly n: number;
  readonly values: readonly (number | null)[];
  /** True where it may set no rate: it is dashed. */
  readonly beside: boolean;
  readonly followed: boolean;
}

export interface GuidePlotProps {
  readonly k_ppm: readonly number[];
  readonly lines: readonly GuideLine[];
  /** The plan's own lines 1 to 7 over the same K; empty where they cannot be worked. */
  readonly own: readonly (number | null)[];
  /** Where the zone stands: its K, and the plan's K2O there before credits and caps. */
  readonly here_ppm: number;
  readonly here: number | null;
  readonly zone: string;
  readonly unit: string;
}

const HEIGHT = 230;
const BADGE_PX = 15;

/** Guides over soil-test K at one zone's CEC and yield goal, each with its number, and the plan's own line. The table stands below. */
export function GuidePlot(props: GuidePlotProps): ReactElement {
  const [ref, width] = useWidth<HTMLDivElement>();
  const { k_ppm, lines, own, here_ppm, zone, unit } = props;
  const last = k_ppm.at(-1) ?? 1;
  const known = [...lines.flatMap((line) => line.values), ...own].flatMap((value) => (value === null ? [] : [value]));
  return (
    <div ref={ref} data-testid="guide-plot">
      {width > 0 && (
        <LineFrame
          width={width}
          height={HEIGHT}
          x={[0, last]}
          values={[1, ...known.filter(Number.isFinite)]}
          fromZero
          xTicks={ticks(last, 6)}
          xName="soil-test K, ppm"
          yName={unit}
          spoken={`K₂O over soil-test K by ${lines.length} guides and by this plan, zone ${zone} at ${number(here_ppm)} ppm. The table below has the figures at the zone.`}
        >
          {(scale) => (
            <>
              <Here {...props} scale={scale} />
              {lines.map((line) => (
                <path key={line.id} className={lineClass(line)} d={pathOf(k_ppm, line.values, scale)} />
              ))}
              <path className="lines-line own" d={pathOf(k_ppm, own, scale)} />
              {placed(lines, k_ppm, scale).map(({ line, x, y, at }) => (
                <g key={line.id} className="lines-badge">
                  <line x1={x} x2={at[0]} y1={y} y2={at[1]} />
                  <circle cx={x} cy={y} r={7} />
                  <text x={x} y={y + 4}>
                    {line.n}
                  </text>
                </g>
              ))}
            </>
          )}
        </LineFrame>
      )}
    </div>
  );
}

const lineClass = ({ beside, followed }: GuideLine): string =>
  `lines-line${beside ? ' dashed' : ''}${followed ? ' strong' : ''}`;

const pathOf = (k_ppm: readonly number[], values: readonly (number | null)[], scale: LineScale): string =>
  linePath(
    values.map((value, i) => [k_ppm[i] ?? 0, value] as const),
    scale,
  );

function Here({ here_ppm, here, zone, k_ppm, scale }: GuidePlotProps & { readonly scale: LineScale }): ReactElement {
  const last = k_ppm.at(-1) ?? 1;
  const x = scale.x(Math.min(here_ppm, last));
  const right = x > (scale.left + scale.right) / 2;
  return (
    <>
      <line className="lines-here" x1={x} x2={x} y1={scale.top - 6} y2={scale.foot} />
      <text className="lines-name" x={x + (right ? -5 : 5)} y={scale.top - 4} textAnchor={right ? 'end' : 'start'}>
        zone {zone}, {number(here_ppm)} ppm{here_ppm > last ? ', beyond the plot' : ''}
      </text>
      {here !== null && Number.isFinite(here) && here_ppm <= last && (
        <circle className="lines-dot" cx={x} cy={scale.y(here)} r={4} />
      )}
    </>
  );
}

interface Placed {
  readonly line: GuideLine;
  readonly x: number;
  readonly y: number;
  /** Where the line begins. */
  readonly at: readonly [number, number];
}

/** A number at each line's beginning, moved apart upwards where two would touch. */
function placed(lines: readonly GuideLine[], k_ppm: readonly number[], scale: LineScale): readonly Placed[] {
  const starts = lines.flatMap((line) => {
    const i = line.values.findIndex((value) => value !== null);
    const value = line.values[i];
    return value === undefined || value === null ? [] : [{ line, x: scale.x(k_ppm[i] ?? 0), y: scale.y(value) }];
  });
  const out: Placed[] = [];
  for (const { line, x, y } of starts.sort((a, b) => b.y - a.y)) {
    const at = [x, y] as const;
    const place = { x: Math.min(x + 12, scale.right - 7), y: Math.min(y, scale.foot - 8) };
    const touches = (): Placed | undefined =>
      out.find((one) => Math.abs(one.x - place.x) < BADGE_PX && Math.abs(one.y - place.y) < BADGE_PX);
    for (let other = touches(); other; other = touches()) place.y = other.y - BADGE_PX;
    out.push({ line, at, ...place });
  }
  return out;
}
