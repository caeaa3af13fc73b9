import './opened.css';
import { type ReactElement, useMemo, useState } from 'react';
import { STAGES, type Stage } from '../../core/base/problem.ts';
import { bounds } from '../../core/geo/bounds.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';
import type { OpenedPrescription } from '../../core/handoff/back/types.ts';
import type { PlanOut, StageState } from '../../core/pipeline/types.ts';
import { themeInUse } from '../commands/begin.ts';
import { closePrescription } from '../commands/open-prescription.ts';
import { FieldMap } from '../map/FieldMap.tsx';
import type { SpotReading } from '../map/props.ts';
import { NO_SHAPES } from '../map/shapes.ts';
import { openedRateAt, useOpenedOnMap, useOpenedPrescription } from '../store/opened.ts';
import { useView } from '../store/view.ts';
import { figure, latitude, longitude, unitOf } from '../ui/format.ts';
import { CloseMark, SpotMark } from '../ui/marks.tsx';
import { OpenedPart } from './OpenedPart.tsx';

/** A prescription with nothing else than its file: what the person at the spreader looks at before the day. */
export function OpenedStart(): ReactElement {
  const opened = useOpenedPrescription();
  return (
    <div className="opened-start">
      <div className="opened-ground">{opened ? <Ground opened={opened} /> : <div className="maps" />}</div>
      <aside className="panel" aria-label="Opened prescription">
        <header className="panel-head">
          <h2>Opened prescription</h2>
          <button
            type="button"
            className="close"
            aria-label="Close the opened prescription"
            title="Close"
            onClick={closePrescription}
          >
            <CloseMark />
          </button>
          <p>What a file says, without a plan.</p>
        </header>
        {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a part that scrolls can be reached by the keyboard */}
        <section className="panel-body" aria-label="What the file says" tabIndex={0}>
          <OpenedPart />
        </section>
      </aside>
    </div>
  );
}

const NO_LIMITS = {
  floor_ppm: Number.NaN,
  floor_pct: Number.NaN,
  rangeTop_pct: Number.NaN,
  caution_pct: Number.NaN,
} as const;
const nothing = (): void => undefined;

function Ground({ opened }: { readonly opened: OpenedPrescription }): ReactElement {
  const view = useView();
  const onMap = useOpenedOnMap();
  const out = useMemo(() => groundOnly(opened), [opened]);
  const [hover, setHover] = useState<SpotReading | null>(null);
  const [spot, setSpot] = useState<SpotReading | null>(null);
  const shown = hover ?? spot;
  return (
    <>
      <div className="maps">
        <FieldMap
          out={out}
          fresh
          layer="opened"
          layers={['opened']}
          onLayer={nothing}
          showSamples={false}
          showZones={false}
          showDoubt={false}
          onShowSamples={nothing}
          onShowZones={nothing}
          onShowDoubt={nothing}
          preview={null}
          samplesByClass={false}
          limits={NO_LIMITS}
          far_m={Number.POSITIVE_INFINITY}
          shapes={NO_SHAPES}
          painted={null}
          productName={opened.product}
          units={view.units}
          theme={themeInUse(view.theme)}
          selectedZone={null}
          onSelectZone={nothing}
          litSamples={NOBODY}
          onSelectSample={nothing}
          spot={spot?.at ?? null}
          onSpot={setSpot}
          onHover={setHover}
          focusTick={view.focusTick}
          focus={view.focus}
          areas={NO_AREAS}
          opened={onMap}
          sketch={null}
          onSketchEnd={nothing}
        />
      </div>
      <section className="spotline" aria-label="Spot reading">
        <SpotMark />
        {shown ? (
          <>
            <span className="far-end">
              {latitude(shown.at[1])}&ensp;{longitude(shown.at[0])}
            </span>
            <span>
              {opened.product === '' ? 'rate' : opened.product}{' '}
              <b>{rateText(openedRateAt(opened, shown.at), view.units)}</b> {unitOf('rate', view.units)}
            </span>
          </>
        ) : (
          <span>
            Point at the map for a reading<span className="next-end">; click to pin the spot</span>
          </span>
        )}
      </section>
    </>
  );
}

const NOBODY: ReadonlySet<string> = new Set();
const NO_AREAS = [] as const;

const rateText = (rate_lbPerAc: number | null, units: 'US' | 'metric'): string =>
  rate_lbPerAc === null || Number.isNaN(rate_lbPerAc) ? 'none' : figure(rate_lbPerAc, 'rate', units);

/** The ground of the file alone, as far as the map needs results: all stages of a plan wait. */
function groundOnly(opened: OpenedPrescription): PlanOut {
  const ground = opened.outline ?? boxOf(opened);
  const waiting = (stage: Stage): StageState => ({ stage, state: 'waiting', key: '', problems: [] });
  const [field, soil, surfaces, zones, rates, handoff] = STAGES;
  return {
    stages: {
      field: waiting(field),
      soil: waiting(soil),
      surfaces: waiting(surfaces),
      zones: waiting(zones),
      rates: waiting(rates),
      handoff: waiting(handoff),
    },
    field: {
      boundary: ground,
      keepOut: [],
      setbacks: [],
      spreadable: ground,
      boundary_ac: opened.acres,
      keepOut_ac: 0,
      spreadable_ac: opened.acres,
      reading: [],
    },
    soil: null,
    surfaces: null,
    zones: null,
    rates: null,
    handoff: null,
    problems: [],
  };
}

/** Of a file with too many loose outlines to draw one about them. */
function boxOf({ pieces }: OpenedPrescription): MultiPolygon {
  const { west, south, east, north } = bounds(pieces.flatMap(({ polygons }) => polygons));
  return [
    [
      [
        [west, south],
        [east, south],
        [east, north],
        [west, north],
        [west, south],
      ],
    ],
  ];
}
