import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { Credit } from '../../core/rates/settings.ts';
import { useResults } from '../store/results.ts';
import { CheckField, SelectField } from '../ui/Fields.tsx';

type Where = Credit['where'];

interface WherePickerProps {
  readonly plan: Plan;
  readonly setting: string;
  readonly value: Where;
  readonly onCommit: (where: Where) => void;
}

/** Everywhere, or the zones and drawn areas that are ticked. */
export function WherePicker({ plan, setting, value, onCommit }: WherePickerProps): ReactElement {
  const zones = useResults((results) => results.out?.zones?.zones) ?? [];
  const { areas } = plan.ground;
  const toggled = (list: readonly string[], id: string, on: boolean): string[] =>
    on ? [...list, id] : list.filter((one) => one !== id);
  return (
    <>
      <SelectField
        label="Where"
        setting={setting}
        value={value === null ? 'all' : 'some'}
        options={[
          { value: 'all', label: 'the whole field' },
          { value: 'some', label: 'only some ground' },
        ]}
        onCommit={(chosen) => onCommit(chosen === 'all' ? null : { zoneKeys: [], areaIds: [] })}
      />
      {value !== null && (
        <div className="where-picks">
          {zones.map((zone) => (
            <CheckField
              key={zone.key}
              label={`Zone ${zone.letter}`}
              checked={value.zoneKeys.includes(zone.key)}
              onCommit={(on) => onCommit({ ...value, zoneKeys: toggled(value.zoneKeys, zone.key, on) })}
            />
          ))}
          {areas.map((area) => (
            <CheckField
              key={area.id}
              label={area.name}
              checked={value.areaIds.includes(area.id)}
              onCommit={(on) => onCommit({ ...value, areaIds: toggled(value.areaIds, area.id, on) })}
            />
          ))}
          {value.zoneKeys.length + value.areaIds.length === 0 && (
            <p className="small ink3">Nothing is ticked, so it counts nowhere.</p>
          )}
        </div>
      )}
    </>
  );
}
