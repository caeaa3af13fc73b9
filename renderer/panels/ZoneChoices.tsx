import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { CROPS } from '../../core/rates/crops.ts';
import type { ZoneChoices as Choices } from '../../core/rates/settings.ts';
import type { ZoneRate } from '../../core/rates/types.ts';
import { editPart } from '../store/document.ts';
import { CheckField, NumberField, SelectField } from '../ui/Fields.tsx';
import { shortNumber } from '../ui/format.ts';
import { Fold } from './BasisFold.tsx';

interface ZoneChoicesProps {
  readonly plan: Plan;
  readonly zone: ZoneRate;
}

const TARGETS = [
  { key: 'floor_ppm', label: 'Floor by ppm', measure: 'ppm', most: undefined },
  { key: 'floor_pct', label: 'Floor by saturation', measure: 'percent', most: 50 },
  { key: 'rangeTop_pct', label: 'Top of the range', measure: 'percent', most: 60 },
] as const;

/** What this zone does otherwise than the plan. A blank follows the plan, whose figure stands in the field. */
export function ZoneChoices({ plan, zone }: ZoneChoicesProps): ReactElement {
  const own = plan.rates.zones[zone.key] ?? {};
  const { rates } = plan;
  const unit = CROPS.find(({ id }) => id === rates.crop)?.yieldUnit ?? 'bu/ac';
  const change = (label: string, patch: { [K in keyof Choices]?: Choices[K] | undefined }): void => {
    const merged = Object.entries({ ...own, ...patch }).filter(([, value]) => value !== undefined);
    const { [zone.key]: _, ...others } = rates.zones;
    editPart('rates', `zone ${zone.letter}: ${label}`, {
      zones: merged.length === 0 ? others : { ...others, [zone.key]: Object.fromEntries(merged) },
    });
  };
  const at = `rates.zones.${zone.key}`;
  const count = Object.keys(own).length;
  return (
    <Fold
      name="zone"
      title={`Zone ${zone.letter} by itself`}
      says={count === 0 ? 'all as the plan' : `${count} of its own, the rest as the plan`}
    >
      <CheckField
        label="Spread nothing here"
        setting={`${at}.off`}
        checked={own.off === true}
        onCommit={(off) => change(off ? 'nothing is spread' : 'spread again', { off: off ? true : undefined })}
      />
      <NumberField
        label="Yield goal"
        setting={`${at}.yieldGoal`}
        measure="plain"
        unit={unit}
        min={0.1}
        value={own.yieldGoal ?? null}
        blank={
          rates.yieldLayer ? 'from the layer' : rates.yieldGoal === null ? 'not told' : shortNumber(rates.yieldGoal)
        }
        onCommit={(yieldGoal) => change(`yield goal ${shortNumber(yieldGoal)}`, { yieldGoal })}
        onBlank={() => change('yield goal as the plan', { yieldGoal: undefined })}
      />
      <SelectField
        label="Governs"
        setting={`${at}.governs`}
        value={own.governs ?? 'plan'}
        options={[
          { value: 'plan', label: 'as the plan' },
          { value: 'larger', label: 'the larger of both' },
          { value: 'ppm', label: 'the ppm floor' },
          { value: 'saturation', label: 'the saturation floor' },
        ]}
        onCommit={(governs) => change(`governs ${governs}`, { governs: governs === 'plan' ? undefined : governs })}
      />
      {TARGETS.map(({ key, label, measure, most }) => (
        <NumberField
          key={key}
          label={label}
          setting={`${at}.${key}`}
          measure={measure}
          min={0.1}
          {...(most === undefined ? {} : { max: most })}
          value={own[key] ?? null}
          blank={shortNumber(rates[key])}
          onCommit={(value) => change(`${label.toLowerCase()} ${shortNumber(value)}`, { [key]: value })}
          onBlank={() => change(`${label.toLowerCase()} as the plan`, { [key]: undefined })}
        />
      ))}
      <NumberField
        label="Years to the target"
        setting={`${at}.buildUp_years`}
        measure="whole"
        whole
        min={1}
        max={20}
        value={own.buildUp_years ?? null}
        blank={String(rates.buildUp_years)}
        onCommit={(years) => change(`build-up over ${years} years`, { buildUp_years: years })}
        onBlank={() => change('build-up as the plan', { buildUp_years: undefined })}
      />
      <SelectField
        label="Its reading is the"
        setting={`${at}.reading`}
        value={own.reading ?? 'plan'}
        options={[
          { value: 'plan', label: `as the plan: ${rates.reading}` },
          ...(['mean', 'median', '20th percentile'] as const).map((value) => ({ value, label: value })),
        ]}
        onCommit={(reading) => change(`reading ${reading}`, { reading: reading === 'plan' ? undefined : reading })}
      />
    </Fold>
  );
}
