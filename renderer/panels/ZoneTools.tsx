import { type ReactElement, useEffect } from 'react';
import type { Zone } from '../../core/zones/types.ts';
import { cutZone, drawZone, paintZone } from '../commands/zone-tools.ts';
import { endSketch, useSketch } from '../store/sketch.ts';
import { selectZone, useView } from '../store/view.ts';
import { useZoneTable } from '../store/zone-table.ts';
import { NumberField } from '../ui/Fields.tsx';
import { quantity } from '../ui/format.ts';
import { ZoneLetter } from '../ui/marks.tsx';

/** Which zone the tools work on, and the tools: a zone of its own, a cut, a brush. Each stroke is one step to undo. */
export function ZoneTools({ zones }: { readonly zones: readonly Zone[] }): ReactElement {
  const selected = useView((view) => view.selectedZone);
  const task = useSketch((state) => state.task);
  const width_m = useZoneTable((table) => table.brush_m);
  const zone = zones.find(({ key }) => key === selected) ?? null;
  // A tool belongs to this panel: it is put down when the panel is left.
  useEffect(() => endSketch, []);
  return (
    <>
      <ZonePick zones={zones} selected={zone?.key ?? null} />
      <div className="zone-tools" data-setting="zones.edits" tabIndex={-1}>
        <button type="button" className="btn" aria-pressed={task?.shape === 'polygon'} onClick={drawZone}>
          Draw a zone
        </button>
        <button type="button" className="btn" aria-pressed={task?.shape === 'line'} onClick={cutZone}>
          {zone ? `Cut zone ${zone.letter}` : 'Cut a zone'}
        </button>
        <button type="button" className="btn" aria-pressed={task?.shape === 'brush'} onClick={paintZone}>
          {zone ? `Paint for zone ${zone.letter}` : 'Paint'}
        </button>
      </div>
      <NumberField
        label="Brush width"
        measure="distance"
        min={1}
        max={500}
        value={width_m}
        onCommit={(value) => {
          useZoneTable.setState({ brush_m: value });
          // A brush in the hand goes on with its new width.
          if (task?.shape === 'brush') paintZone();
        }}
      />
    </>
  );
}

/** The zones with their acres; the one that is chosen here is chosen on the map and in the table, and the other way round. */
function ZonePick({
  zones,
  selected,
}: {
  readonly zones: readonly Zone[];
  readonly selected: string | null;
}): ReactElement {
  const units = useView((view) => view.units);
  return (
    <fieldset className="zone-picks">
      <legend>
        Work on <span className="small ink3">or click a zone on the map; none: where the line lies</span>
      </legend>
      {zones.map(({ key, letter, acres }) => (
        <button
          key={key}
          type="button"
          className="zone-chip"
          aria-pressed={key === selected}
          aria-label={`Zone ${letter}, ${quantity(acres, 'area', units)}`}
          onClick={() => selectZone(key === selected ? null : key)}
        >
          <ZoneLetter letter={letter} />
          {quantity(acres, 'area', units)}
        </button>
      ))}
    </fieldset>
  );
}
