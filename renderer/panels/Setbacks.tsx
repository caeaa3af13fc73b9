import { type ReactElement, useEffect } from 'react';
import type { LngLat } from '../../core/geo/types.ts';
import { type Plan, SETBACK_KINDS, type Setback } from '../../core/plan/schema.ts';
import { addSetback, changeSetback, chooseSetbackFile, dropSetback } from '../commands/setbacks.ts';
import { useResults } from '../store/results.ts';
import { endSketch, type SketchTask, startSketch, useSketch } from '../store/sketch.ts';
import { useView } from '../store/view.ts';
import { NumberField, SelectField, TextField } from '../ui/Fields.tsx';
import { quantity } from '../ui/format.ts';
import { Note } from '../ui/Note.tsx';
import { Section } from '../ui/PanelFrame.tsx';

const PLACES = [
  ['point', 'Mark a place', 'A well or another place.'],
  ['line', 'Draw a line', 'A stream, a ditch or another line.'],
  ['polygon', 'Draw an area', 'A pond, a yard or another area.'],
] as const satisfies readonly (readonly [SketchTask['shape'], string, string])[];

const PLACE_WORDS = { point: 'a place', line: 'a line', polygon: 'an area', files: 'a file' } as const;

/** Distances kept from wells, streams and houses: the person gives each, the local code decides it. */
export function Setbacks({ plan }: { readonly plan: Plan }): ReactElement {
  const { setbacks } = plan.field;
  const boundary = useResults((results) => results.out?.field?.boundary);
  const task = useSketch((state) => state.task);
  useEffect(() => endSketch, []);
  const draw = (shape: 'point' | 'line' | 'polygon', says: string): void =>
    startSketch({
      shape,
      says,
      snapTo: (boundary ?? []).flat(),
      onDone: (positions) => {
        endSketch();
        const ground = groundOf(shape, positions);
        if (ground) addSetback(ground);
      },
    });
  return (
    <Section title="Setbacks" aside={setbacks.length === 0 ? 'none' : undefined}>
      {setbacks.map((one) => (
        <OneSetback key={one.id} plan={plan} setback={one} />
      ))}
      <div className="hand-acts">
        {PLACES.map(([shape, label, says], index) => (
          <button
            key={shape}
            type="button"
            className="btn s"
            data-setting={index === 0 ? 'field.setbacks' : undefined}
            aria-pressed={task?.says === says}
            onClick={() => draw(shape, says)}
          >
            {label}
          </button>
        ))}
        <button type="button" className="btn s" onClick={() => chooseSetbackFile()}>
          From a file
        </button>
      </div>
      {setbacks.length > 0 && (
        <Note severity="note">Each distance is the one typed. The local code and the product’s label decide it.</Note>
      )}
    </Section>
  );
}

function OneSetback({ plan, setback }: { readonly plan: Plan; readonly setback: Setback }): ReactElement {
  const units = useView((view) => view.units);
  const made = useResults((results) => results.out?.field?.setbacks.find(({ id }) => id === setback.id));
  const index = plan.field.setbacks.findIndex(({ id }) => id === setback.id);
  const at = `field.setbacks.${index}`;
  const { name, kind, distance_m } = setback;
  return (
    <fieldset className="sub-fields" data-testid="setback">
      <legend>
        {name} <span className="ink3">about {PLACE_WORDS[setback.ground.from]}</span>
        {made && <span className="ink2"> takes {quantity(made.acres, 'areaFine', units)}</span>}
      </legend>
      <TextField
        label="Name"
        setting={at}
        value={name}
        judge={(text) => (text.trim() === '' ? 'A setback needs a name.' : null)}
        onCommit={(text) => changeSetback(setback.id, `setback ${text.trim()}`, { name: text.trim() })}
      />
      <SelectField
        label="About"
        setting={`${at}.kind`}
        value={kind}
        options={SETBACK_KINDS.map((value) => ({ value, label: value }))}
        onCommit={(chosen) => changeSetback(setback.id, `${name}: ${chosen}`, { kind: chosen })}
      />
      <NumberField
        label="Distance kept"
        setting={`${at}.distance_m`}
        measure="distance"
        min={0}
        max={2000}
        value={distance_m}
        onCommit={(value) =>
          changeSetback(setback.id, `${name}: ${quantity(value, 'distance', units)}`, { distance_m: value })
        }
      />
      <div className="hand-acts">
        <button type="button" className="btn s" onClick={() => dropSetback(setback.id)}>
          Take {name} out
        </button>
      </div>
    </fieldset>
  );
}

const pairOf = (position: LngLat): [number, number] => [Number(position[0].toFixed(9)), Number(position[1].toFixed(9))];

function groundOf(shape: 'point' | 'line' | 'polygon', positions: readonly LngLat[]): Setback['ground'] | null {
  const [first] = positions;
  if (!first) return null;
  if (shape === 'point') return { from: 'point', at: pairOf(first) };
  if (shape === 'line') return positions.length < 2 ? null : { from: 'line', line: positions.map(pairOf) };
  return positions.length < 4 ? null : { from: 'polygon', rings: [positions.map(pairOf)] };
}
