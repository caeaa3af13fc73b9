import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { ZoneEdit } from '../../core/zones/settings.ts';
import type { Zone } from '../../core/zones/types.ts';
import { dropZoneEdit } from '../commands/zones.ts';
import { useResults } from '../store/results.ts';
import { useView } from '../store/view.ts';
import { counted, quantity, type UnitSystem } from '../ui/format.ts';
import { CloseMark } from '../ui/marks.tsx';
import { Section } from '../ui/PanelFrame.tsx';
import { ChosenZone } from './ChosenZone.tsx';
import { ZoneJoin } from './ZoneJoin.tsx';
import { ZoneTools } from './ZoneTools.tsx';

/** Zones changed by hand: the tools, joining, what the chosen zone is, and every change in its order, each of which can be taken out again. */
export function ZoneHand({ plan }: { readonly plan: Plan }): ReactElement {
  const zones = useResults((results) => results.out?.zones?.zones) ?? [];
  const units = useView((view) => view.units);
  const problems = useResults((results) => results.out?.stages.zones.problems) ?? [];
  const { edits } = plan.zones;
  return (
    <>
      <Section>
        <ZoneTools zones={zones} />
        <ZoneJoin zones={zones} />
        <ChosenZone plan={plan} />
      </Section>
      <Section
        title="Changes"
        aside={edits.length === 0 ? 'none yet' : `${edits.length}, made in this order after the classes`}
      >
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
                    data-setting={`zones.edits.${index}`}
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
    </>
  );
}

const letterOf = (zones: readonly Zone[], key: string): string | null =>
  zones.find((one) => one.key === key)?.letter ?? null;
const zoneOf = (zones: readonly Zone[], key: string): string => {
  const letter = letterOf(zones, key);
  return letter === null ? 'a zone that is gone now' : `zone ${letter}`;
};

function wordsOf(edit: ZoneEdit, zones: readonly Zone[], units: UnitSystem): string {
  switch (edit.does) {
    case 'draw':
      return `Drew ${letterOf(zones, `h${edit.id}`) === null ? 'a zone' : zoneOf(zones, `h${edit.id}`)}`;
    case 'cut':
      return letterOf(zones, `h${edit.id}`) === null
        ? `Cut ${zoneOf(zones, edit.zone)}`
        : `Cut ${zoneOf(zones, `h${edit.id}`)} off ${zoneOf(zones, edit.zone)}`;
    case 'join':
      return `Joined ${counted(edit.zones.length, 'zone')} to ${zoneOf(zones, edit.into)}`;
    case 'paint':
      return `Painted ${quantity(edit.width_m, 'distance', units)} wide for ${zoneOf(zones, edit.into)}`;
  }
}
