import { type ReactElement, useState } from 'react';
import type { Zone } from '../../core/zones/types.ts';
import { joinZones } from '../commands/zone-tools.ts';
import { useView } from '../store/view.ts';
import { Select } from '../ui/Fields.tsx';

/** One zone or several go to another. */
export function ZoneJoin({ zones }: { readonly zones: readonly Zone[] }): ReactElement | null {
  const selected = useView((view) => view.selectedZone);
  const [from, setFrom] = useState<ReadonlySet<string>>(new Set());
  const [asked, setAsked] = useState<string | null>(null);
  if (zones.length < 2) return null;
  const into = zones.find(({ key }) => key === (asked ?? selected)) ?? null;
  const going = zones.filter(({ key }) => from.has(key) && key !== into?.key);
  const ready = into !== null && going.length > 0;
  const letters = going.map(({ letter }) => letter).join(', ');
  return (
    <fieldset className="zone-join">
      <legend>Join</legend>
      <span className="zone-joined">
        {zones.map(({ key, letter }) => (
          <label key={key} className="zone-check">
            <input
              type="checkbox"
              checked={from.has(key) && key !== into?.key}
              disabled={key === into?.key}
              onChange={(event) => {
                const next = new Set(from);
                if (event.target.checked) next.add(key);
                else next.delete(key);
                setFrom(next);
              }}
            />
            {letter}
          </label>
        ))}
      </span>
      <span>to</span>
      <Select
        spoken="Zone they go to"
        value={into?.key ?? ''}
        options={[{ value: '', label: '–' }, ...zones.map(({ key, letter }) => ({ value: key, label: letter }))]}
        onCommit={(key) => setAsked(key === '' ? null : key)}
      />
      <button
        type="button"
        className="btn s"
        disabled={!ready}
        onClick={() => {
          if (!into) return;
          joinZones(going, into);
          setFrom(new Set());
          setAsked(null);
        }}
      >
        {ready ? `Join ${letters} to ${into.letter}` : 'Join'}
      </button>
    </fieldset>
  );
}
