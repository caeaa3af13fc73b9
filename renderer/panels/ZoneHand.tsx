import { type ReactElement, useState } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { ZoneEdit } from '../../core/zones/settings.ts';
import type { Zone } from '../../core/zones/types.ts';
import { dropZoneEdit, editZones } from '../commands/zones.ts';
import { useResults } from '../store/results.ts';
import { useView } from '../store/view.ts';
import { Select } from '../ui/Fields.tsx';
import { counted, quantity, type UnitSystem } from '../ui/format.ts';
import { CloseMark } from '../ui/marks.tsx';
import { Section } from '../ui/PanelFrame.tsx';
import { ZoneTools } from './ZoneTools.tsx';

/** Zones changed by hand: the tools, joining, and every change in its order, each of which can be taken out again. */
export function ZoneHand({ plan }: { readonly plan: Plan }): ReactElement {
  const zones = useResults((results) => results.out?.zones?.zones) ?? [];
  const units = useView((view) => view.units);
  const problems = useResults((results) => results.out?.stages.zones.problems) ?? [];
  const { edits } = plan.zones;
  return (
    <Section
      title="By hand"
      aside={edits.length === 0 ? 'nothing changed yet' : `${counted(edits.length, 'change')}, in this order`}
    >
      <ZoneTools plan={plan} zones={zones} />
      <Join zones={zones} />
      {edits.length > 0 && (
        <ol className="zone-edits" data-testid="zone-edits">
          {edits.map((edit, index) => {
            const lost = problems.find((problem) => problem.at?.setting === `zones.edits.${index}`);
            return (
              // Edits have no name but their place.
              // biome-ignore lint/suspicious/noArrayIndexKey: see above
              <li key={index}>
                <span>
                  {wordsOf(edit, zones, units)}
                  {lost && <small className="field-error">{lost.message}</small>}
                </span>
                <button
                  type="button"
                  className="close"
                  aria-label={`Take out change ${index + 1}`}
                  onClick={() => dropZoneEdit(plan, index)}
                >
                  <CloseMark />
                </button>
              </li>
            );
          })}
        </ol>
      )}
    </Section>
  );
}

const letterOf = (zones: readonly Zone[], key: string): string => {
  const zone = zones.find((one) => one.key === key);
  return zone ? `zone ${zone.letter}` : `zone ${key}, which is not there now`;
};

function wordsOf(edit: ZoneEdit, zones: readonly Zone[], units: UnitSystem): string {
  switch (edit.does) {
    case 'draw':
      return `Drawn: ${letterOf(zones, `h${edit.id}`)}`;
    case 'cut':
      return `Cut off ${letterOf(zones, edit.zone)}: ${letterOf(zones, `h${edit.id}`)}`;
    case 'join':
      return `Joined to ${letterOf(zones, edit.into)}`;
    case 'paint':
      return `Painted ${quantity(edit.width_m, 'distance', units)} wide for ${letterOf(zones, edit.into)}`;
  }
}

/** One zone goes to another. */
function Join({ zones }: { readonly zones: readonly Zone[] }): ReactElement | null {
  const [from, setFrom] = useState('');
  const [into, setInto] = useState('');
  if (zones.length < 2) return null;
  const named = zones.map(({ key, letter }) => ({ value: key, label: letter }));
  const [first, second] = [zones.find(({ key }) => key === from), zones.find(({ key }) => key === into)];
  const ready = first && second && first !== second;
  return (
    <div className="zone-join">
      <span>Join</span>
      <Select
        spoken="Zone to join"
        value={first ? from : ''}
        options={[{ value: '', label: '–' }, ...named]}
        onCommit={setFrom}
      />
      <span>to</span>
      <Select
        spoken="Zone it goes to"
        value={second ? into : ''}
        options={[{ value: '', label: '–' }, ...named]}
        onCommit={setInto}
      />
      <button
        type="button"
        className="btn s"
        disabled={!ready}
        onClick={() => {
          if (!ready) return;
          editZones(`join ${first.letter} to ${second.letter}`, { does: 'join', zones: [from], into });
          setFrom('');
          setInto('');
        }}
      >
        {ready ? `Join ${first.letter} to ${second.letter}` : 'Choose two zones'}
      </button>
    </div>
  );
}
