import { type ReactElement, useEffect, useState } from 'react';
import type { LngLat } from '../../core/geo/types.ts';
import type { Plan } from '../../core/plan/schema.ts';
import type { Zone } from '../../core/zones/types.ts';
import { editZones, nextEditId } from '../commands/zones.ts';
import { currentPlan } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { endSketch, startSketch, useSketch } from '../store/sketch.ts';
import { useView } from '../store/view.ts';
import { NumberField, Select } from '../ui/Fields.tsx';

const FIRST_BRUSH_M = 30;

interface ZoneToolsProps {
  readonly plan: Plan;
  readonly zones: readonly Zone[];
}

/** Drawing on the map: a zone of its own, a cut through the chosen one, a brush for it. Each stroke is one step to undo. */
export function ZoneTools({ zones }: ZoneToolsProps): ReactElement {
  const selected = useView((view) => view.selectedZone);
  const boundary = useResults((results) => results.out?.field?.spreadable);
  const task = useSketch((state) => state.task);
  const [width_m, setWidth] = useState(FIRST_BRUSH_M);
  const zone = zones.find(({ key }) => key === selected) ?? null;
  // A tool belongs to this panel: it is put down when the panel is left.
  useEffect(() => endSketch, []);
  const snapTo: readonly (readonly LngLat[])[] = [
    ...(boundary ?? []).flat(),
    ...zones.flatMap(({ polygons }) => polygons.flat()),
  ];
  const draw = (): void =>
    startSketch({
      shape: 'polygon',
      says: 'A zone of its own.',
      snapTo,
      onDone: (positions) => {
        endSketch();
        const plan = currentPlan();
        if (!plan || positions.length < 4) return;
        const id = nextEditId(plan);
        editZones('draw a zone', { does: 'draw', id, rings: [positions.map(pairOf)] });
        useView.setState({ selectedZone: `h${id}` });
      },
    });
  const cut = (): void => {
    if (!zone) return;
    startSketch({
      shape: 'line',
      says: `Cut zone ${zone.letter}, right across it.`,
      snapTo,
      onDone: (positions) => {
        endSketch();
        const plan = currentPlan();
        if (!plan || positions.length < 2) return;
        editZones(`cut zone ${zone.letter}`, {
          does: 'cut',
          id: nextEditId(plan),
          zone: zone.key,
          line: positions.map(pairOf),
        });
      },
    });
  };
  const paint = (): void => {
    if (!zone) return;
    startSketch({
      shape: 'brush',
      says: `Paint for zone ${zone.letter}.`,
      width_m,
      again: true,
      onDone: (positions) =>
        editZones(`paint for zone ${zone.letter}`, {
          does: 'paint',
          into: zone.key,
          line: positions.map(pairOf),
          width_m,
        }),
    });
  };
  return (
    <div className="zone-tools">
      <div className="hand-acts">
        <button type="button" className="btn s" aria-pressed={task?.shape === 'polygon'} onClick={draw}>
          Draw a zone
        </button>
        <button type="button" className="btn s" disabled={!zone} aria-pressed={task?.shape === 'line'} onClick={cut}>
          {zone ? `Cut zone ${zone.letter}` : 'Cut'}
        </button>
        <button type="button" className="btn s" disabled={!zone} aria-pressed={task?.shape === 'brush'} onClick={paint}>
          {zone ? `Paint for ${zone.letter}` : 'Paint'}
        </button>
        <Select
          spoken="Zone that the tools work on"
          value={zone?.key ?? ''}
          options={[
            { value: '', label: 'choose a zone' },
            ...zones.map(({ key, letter }) => ({ value: key, label: `zone ${letter}` })),
          ]}
          onCommit={(key) => useView.setState({ selectedZone: key === '' ? null : key })}
        />
      </div>
      <NumberField
        label="Brush width"
        measure="distance"
        min={1}
        max={500}
        value={width_m}
        onCommit={(value) => {
          setWidth(value);
          // A brush in the hand takes its new width with the next stroke.
          if (task?.shape === 'brush') endSketch();
        }}
      />
    </div>
  );
}

const pairOf = (position: LngLat): [number, number] => [Number(position[0].toFixed(9)), Number(position[1].toFixed(9))];
