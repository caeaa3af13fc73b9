import type { ReactElement } from 'react';
import type { LngLat } from '../../core/geo/types.ts';
import { number } from '../ui/format.ts';
import type { AreaName } from './area-names.ts';
import type { Camera } from './camera.ts';
import { project } from './camera.ts';
import type { Graticule, ScaleBar } from './graticule.ts';
import { plateHalf, type ZoneLabel } from './labels.ts';

export interface OverlayProps {
  readonly camera: Camera;
  readonly graticule: Graticule;
  /** Latitudes are named only where the field leaves room for them. */
  readonly nameLatitudes: boolean;
  readonly labels: readonly ZoneLabel[];
  readonly spot: LngLat | null;
  readonly focus: LngLat | null;
  /** The spot farthest from any sample, and how far it is. */
  readonly farthest: { readonly at: LngLat; readonly text: string } | null;
  /** Areas with a history of their own, named where they are widest and no dot is hidden. */
  readonly areas: readonly AreaName[];
}

/** What is drawn over the ground with letters or hairlines: always upright, always in step with the map beneath. */
export function Overlay({
  camera,
  graticule,
  nameLatitudes,
  labels,
  spot,
  focus,
  farthest,
  areas,
}: OverlayProps): ReactElement {
  return (
    <svg className="map-overlay" width={camera.width} height={camera.height} aria-hidden="true">
      <path
        className="map-graticule"
        d={graticule.crosses.map(([x, y]) => `M${x - 4} ${y}h8M${x} ${y - 4}v8`).join('')}
      />
      {nameLatitudes &&
        graticule.latitudes.map(({ y, name }) => (
          <g key={name} className="map-latitude">
            <path d={`M0 ${y}h6`} />
            <text x={9} y={y - 4}>
              {name}
            </text>
          </g>
        ))}
      {farthest && <Farthest at={project(camera, farthest.at)} text={farthest.text} width={camera.width} />}
      {areas.map(({ at: [x, y], name, chosen }) => (
        <text key={`${name} ${x} ${y}`} className={chosen ? 'map-area chosen' : 'map-area'} x={x} y={y + 4}>
          {name}
        </text>
      ))}
      {labels.map((label) => (
        <Letter key={label.key} label={label} />
      ))}
      {focus && <FocusRing at={project(camera, focus)} />}
      {spot && <SpotCross at={project(camera, spot)} />}
      <path
        className="map-aim"
        d={`M${camera.width / 2 - 9} ${camera.height / 2}h18M${camera.width / 2} ${camera.height / 2 - 9}v18`}
      />
    </svg>
  );
}

const SINGLE_HALF_PX = 10;
const MORE_PER_LETTER_PX = 4;

function Letter({ label }: { readonly label: ZoneLabel }): ReactElement {
  const { letter, below, plate } = label;
  const [x, y] = label.at;
  const up = below === null ? 0 : 13;
  const half = SINGLE_HALF_PX + (letter.length - 1) * MORE_PER_LETTER_PX;
  const plated = below !== null && plate;
  return (
    <g className="map-zone" transform={`translate(${x} ${y})`}>
      <rect className="map-disc" x={-half} y={-up - 10} width={half * 2} height={20} rx={10} />
      <text className="map-letter" y={-up + 4.4}>
        {letter}
      </text>
      {plated && (
        <rect className="map-withheld" x={-plateHalf(below)} y={2} width={plateHalf(below) * 2} height={20} rx={2} />
      )}
      {below !== null && (
        <text className={plated ? 'map-withheld-text' : 'map-rate'} y={16}>
          {below}
        </text>
      )}
    </g>
  );
}

function SpotCross({ at: [x, y] }: { readonly at: readonly [number, number] }): ReactElement {
  const arms = 'M-17 0h11M6 0h11M0 -17v11M0 6v11';
  return (
    <g className="map-spot" transform={`translate(${x} ${y})`} data-testid="map-spot">
      {(['map-spot-case', 'map-spot-line'] as const).map((name) => (
        <g className={name} key={name}>
          <path d={arms} />
          <circle r={6} />
        </g>
      ))}
    </g>
  );
}

const NAME_ROOM_PX = 150;

/** An open ring where no sample is near, named beside it, on the side that has room. */
function Farthest(props: {
  readonly at: readonly [number, number];
  readonly text: string;
  readonly width: number;
}): ReactElement {
  const [x, y] = props.at;
  const left = x > props.width - NAME_ROOM_PX;
  return (
    <g className="map-farthest" transform={`translate(${x} ${y})`} data-testid="map-farthest">
      <circle className="map-farthest-case" r={6.5} />
      <circle r={6.5} />
      <path d="M-2.5 0h5M0 -2.5v5" />
      <text x={left ? -12 : 12} y={4} textAnchor={left ? 'end' : 'start'}>
        {props.text}
      </text>
    </g>
  );
}

function FocusRing({ at: [x, y] }: { readonly at: readonly [number, number] }): ReactElement {
  return (
    <g className="map-focus" transform={`translate(${x} ${y})`} data-testid="map-focus">
      <circle className="map-spot-case" r={15} />
      <circle className="map-focus-line" r={15} />
    </g>
  );
}

const ROOM_PX = { right: 18, bottom: 20, north: 24 } as const;

/** Scale bar and north arrow. */
export function Scale({ bar, plated }: { readonly bar: ScaleBar; readonly plated: boolean }): ReactElement {
  const { length_px } = bar;
  const left = ROOM_PX.north + 6;
  const width = left + length_px + 2;
  const name = `${number(bar.length, bar.length < 1 ? 1 : 0)} ${bar.unit}`;
  return (
    <svg
      className={plated ? 'map-scale map-plate' : 'map-scale'}
      width={width}
      height={26}
      role="img"
      aria-label={`Scale bar: ${name}. North is up.`}
    >
      <path d={`M${left} 19v5h${length_px}v-5M${left + length_px / 2} 24v-3`} />
      <path d="M5 24v-20M1 11l4 -8l4 8" />
      <text x={left} y={14}>
        0
      </text>
      <text x={left + length_px} y={14} textAnchor="end">
        {name}
      </text>
    </svg>
  );
}
