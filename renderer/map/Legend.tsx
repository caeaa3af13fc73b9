import type { ReactElement } from 'react';
import { squareMetres, toAcres } from '../../core/base/units.ts';
import { figure, quantity, shortNumber } from '../ui/format.ts';
import { barsText } from './captions.ts';
import type { FieldMapProps } from './props.ts';
import type { ClassAreas, Ramp } from './ramps.ts';

/** What a pattern on the ground means, beside a piece of it. */
export interface LegendNote {
  readonly mark: 'far' | 'outside' | 'withheld' | 'spot';
  readonly text: string;
}

export interface LegendProps {
  readonly title: string;
  readonly ramp: Ramp;
  readonly areas: ClassAreas;
  /** Values marked by a heavy tick: floors and range. */
  readonly marks: readonly number[];
  readonly unit: string;
  readonly notes: readonly LegendNote[];
  readonly units: FieldMapProps['units'];
  /** The measure that limits are shown in where units change them. */
  readonly limitMeasure: 'rate' | 'plain';
  readonly swatch_px: number;
  readonly plated: boolean;
}

const BAR_PX = 24;
const SWATCH_HEIGHT_PX = 10;
const ZERO_PX = 34;
/** Room that a figure of a limit takes, and between two. */
const FIGURE_PX = 6.2;
const GAP_PX = 5;

/** Class swatches with the limits between them, the ground in each class above, floors as heavy ticks. */
export function Legend(props: LegendProps): ReactElement {
  const { ramp, areas, swatch_px, units, limitMeasure } = props;
  const start = ramp.zero === null ? 0 : ZERO_PX;
  const most = Math.max(...areas.classes, areas.zero);
  const bar = (area: number): number => (most > 0 ? Math.max(1, (area / most) * BAR_PX) : 0);
  const text = (limit: number): string => (limitMeasure === 'rate' ? figure(limit, 'rate', units) : shortNumber(limit));
  const marks = props.marks.map((value) => ({ value, x: start + placeOf(ramp, value) * swatch_px }));
  // Every limit is named where the names have room, else every second.
  const widest = Math.max(0, ...ramp.limits.map((limit) => text(limit).length)) * FIGURE_PX + GAP_PX;
  const limits = ramp.limits.map((value, i) => ({
    value,
    x: start + (i + 1) * swatch_px,
    named: swatch_px >= widest || i % 2 === 0,
  }));
  const length = ramp.colours.length * swatch_px;
  const base = BAR_PX + 2;
  return (
    <figure className={props.plated ? 'map-legend map-plate' : 'map-legend'} data-testid="map-legend">
      <svg width={start + length + 8} height={base + SWATCH_HEIGHT_PX + 16} role="img" aria-label={spoken(props, text)}>
        {ramp.zero !== null && (
          <>
            {areas.zero > 0 && (
              <rect className="map-bar" x={2} y={BAR_PX - bar(areas.zero)} width={17} height={bar(areas.zero)} />
            )}
            <rect className="map-swatches" x={0.5} y={base + 0.5} width={20} height={9} fill={ramp.zero} />
            <text x={10.5} y={base + 23} textAnchor="middle">
              0
            </text>
          </>
        )}
        {ramp.colours.map((colour, i) => {
          const area = areas.classes[i] ?? 0;
          const x = start + i * swatch_px;
          return (
            <g key={colour}>
              <rect x={x} y={base} width={swatch_px} height={SWATCH_HEIGHT_PX} fill={colour} />
              {area > 0 && (
                <rect className="map-bar" x={x + 2} y={BAR_PX - bar(area)} width={swatch_px - 4} height={bar(area)} />
              )}
            </g>
          );
        })}
        <rect className="map-swatches" x={start + 0.5} y={base + 0.5} width={length - 1} height={9} fill="none" />
        {limits.map(({ value, x, named }) => {
          const crowded = marks.some((mark) => Math.abs(mark.x - x) < 18);
          return (
            <g key={value}>
              <path className="map-limit" d={`M${x} ${base}v${SWATCH_HEIGHT_PX}`} />
              {named && !crowded && (
                <text x={x} y={base + 23} textAnchor="middle">
                  {text(value)}
                </text>
              )}
            </g>
          );
        })}
        {marks.map(({ value, x }) => (
          <g key={value} className="map-floor">
            <path d={`M${x} ${base}v${SWATCH_HEIGHT_PX + 4}`} />
            <text x={x} y={base + 23} textAnchor="middle">
              {text(value)}
            </text>
          </g>
        ))}
      </svg>
      <figcaption>
        <span>
          {props.unit} · {barsText(toAcres(squareMetres(most)), units)}
        </span>
        {props.notes.map((note) => (
          <span key={note.text} className="map-note">
            <NoteMark mark={note.mark} />
            {note.text}
          </span>
        ))}
      </figcaption>
    </figure>
  );
}

const NOTE_MARKS = {
  far: 'M0 9L9 0M4 12L16 0M11 12L16 7',
  outside: 'M3 3h.01M7 9h.01M8 3h.01M12 9h.01M13 3h.01M2.5 9h.01',
  withheld: 'M0 9L9 0M4 12L16 0M11 12L16 7M0 3L9 12M4 0L16 12M11 0L16 5',
  spot: 'M8 1v10M3 6h10',
} as const;

const NoteMark = ({ mark }: { readonly mark: LegendNote['mark'] }): ReactElement => (
  <svg width={16} height={12} className={`map-mark-${mark}`} aria-hidden="true">
    {mark !== 'spot' && <rect x={0.5} y={0.5} width={15} height={11} />}
    <path d={NOTE_MARKS[mark]} />
  </svg>
);

/** Where a value stands on the row of swatches, in swatches: linear within its class; mid in the last, which has no end. */
function placeOf(ramp: Ramp, value: number): number {
  const { limits } = ramp;
  const at = limits.findIndex((limit) => value <= limit);
  if (at < 0) return limits.length + 0.5;
  const low = limits[at - 1] ?? 0;
  const high = limits[at] ?? 1;
  return at + (value - low) / (high - low);
}

function spoken(props: LegendProps, text: (limit: number) => string): string {
  const { ramp, areas, units } = props;
  const ground = (area: number): string => quantity(toAcres(squareMetres(area)), 'area', units);
  const classes = ramp.colours.map((_, i) => {
    const low = ramp.limits[i - 1];
    const high = ramp.limits[i];
    const name =
      low === undefined
        ? `under ${text(high ?? 0)}`
        : high === undefined
          ? `${text(low)} and over`
          : `${text(low)} to ${text(high)}`;
    return `${name}: ${ground(areas.classes[i] ?? 0)}`;
  });
  const zero = ramp.zero === null ? [] : [`0: ${ground(areas.zero)}`];
  const unknown = areas.unknown > 0 ? [`not known: ${ground(areas.unknown)}`] : [];
  return `Legend: ${props.title}. ${[...zero, ...classes, ...unknown].join('; ')}.`;
}
