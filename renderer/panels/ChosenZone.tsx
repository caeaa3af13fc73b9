import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { ZONE_ROLES } from '../../core/zones/settings.ts';
import { editPart } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { useView } from '../store/view.ts';
import { SelectField, TextField } from '../ui/Fields.tsx';

const ROLE_WORDS = {
  spread: 'to be spread',
  'hold back': 'held back: rate 0 this season',
  'keep out': 'kept out: in no file',
} as const satisfies Record<(typeof ZONE_ROLES)[number], string>;

/** Name and role of the chosen zone: they hang on its key and survive every re-run. */
export function ChosenZone({ plan }: { readonly plan: Plan }): ReactElement | null {
  const selected = useView((view) => view.selectedZone);
  const zone = useResults((results) => results.out?.zones?.zones.find((one) => one.key === selected));
  if (!zone) return null;
  return (
    <>
      <TextField
        label={`Name of zone ${zone.letter}`}
        setting={`zones.names.${zone.key}`}
        blank="none"
        value={plan.zones.names[zone.key] ?? ''}
        onCommit={(text) => {
          const { [zone.key]: _, ...rest } = plan.zones.names;
          const name = text.trim();
          editPart('zones', name === '' ? `zone ${zone.letter} without a name` : `zone ${zone.letter}: ${name}`, {
            names: name === '' ? rest : { ...rest, [zone.key]: name },
          });
        }}
      />
      <SelectField
        label={`Zone ${zone.letter} is`}
        setting={`zones.roles.${zone.key}`}
        value={zone.role}
        options={ZONE_ROLES.map((value) => ({ value, label: ROLE_WORDS[value] }))}
        onCommit={(role) => {
          const { [zone.key]: _, ...rest } = plan.zones.roles;
          editPart('zones', `zone ${zone.letter} ${ROLE_WORDS[role]}`, {
            roles: role === 'spread' ? rest : { ...rest, [zone.key]: role },
          });
        }}
      />
    </>
  );
}
