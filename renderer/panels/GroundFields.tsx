import type { ReactElement } from 'react';
import { type GroundHistory, groundHistorySchema } from '../../core/soil/history.ts';
import { NumberField, SelectField, TextField } from '../ui/Fields.tsx';
import { number } from '../ui/format.ts';

interface GroundFieldsProps {
  readonly history: GroundHistory;
  /** What stands where an area says nothing: the field's. Absent for the field itself. */
  readonly common?: GroundHistory;
  readonly setting: string;
  readonly onChange: (label: string, patch: Partial<GroundHistory>) => void;
}

const { shape } = groundHistorySchema;

const QUESTIONS = [
  ['manure', 'Manure', shape.manure.unwrap().options],
  ['water', 'Water', shape.water.unwrap().options],
  ['texture', 'Texture', shape.texture.unwrap().options],
  ['grazed', 'Grazed, or fed as forage', shape.grazed.unwrap().options],
  ['spreading', 'Spread in', shape.spreading.unwrap().options],
] as const satisfies readonly (readonly [keyof GroundHistory, string, readonly string[]])[];

/** What is known of a piece of ground, question by question. */
export function GroundFields({ history, common, setting, onChange }: GroundFieldsProps): ReactElement {
  const untold = (told: string): string => (common ? `as the field: ${told}` : 'not told');
  return (
    <>
      {QUESTIONS.map(([what, label, options]) => (
        <SelectField<string>
          key={what}
          label={label}
          setting={`${setting}.${what}`}
          value={history[what]}
          options={options.map((value) => ({
            value,
            label: value === 'not told' ? untold(common?.[what] ?? '') : value,
          }))}
          onCommit={(value) => onChange(`${label.toLowerCase()} ${value}`, { [what]: value })}
        />
      ))}
      <NumberField
        label="Slope"
        setting={`${setting}.slope_pct`}
        measure="percent"
        min={0}
        max={100}
        value={history.slope_pct}
        blank={slopeBlank(common)}
        onCommit={(slope_pct) => onChange(`slope ${number(slope_pct, 1)} %`, { slope_pct })}
        onBlank={() => onChange('slope not told', { slope_pct: null })}
      />
      <TextField
        label="Day of sampling"
        setting={`${setting}.sampledOn`}
        value={history.sampledOn}
        blank={common && common.sampledOn !== '' ? common.sampledOn : 'yyyy-mm-dd'}
        judge={judgeDay}
        onCommit={(text) => {
          const sampledOn = text.trim();
          onChange(sampledOn === '' ? 'day of sampling not told' : `sampled on ${sampledOn}`, { sampledOn });
        }}
      />
    </>
  );
}

const slopeBlank = (common: GroundHistory | undefined): string =>
  common && common.slope_pct !== null ? number(common.slope_pct, 1) : 'not told';

/** A day that the calendar has, written as 2026-11-25. */
export function judgeDay(text: string): string | null {
  const day = text.trim();
  if (day === '') return null;
  const read = shape.sampledOn.safeParse(day);
  if (!read.success) return 'A day is written as 2026-11-25.';
  const date = new Date(`${day}T00:00:00Z`);
  return Number.isNaN(date.getTime()) || date.toISOString().slice(0, 10) !== day ? 'There is no such day.' : null;
}

/** What an area or a field tells, in a few words: `manure most years · irrigated`. */
export function historyWords(history: GroundHistory): string {
  const parts = [
    history.manure === 'not told' ? '' : history.manure === 'none' ? 'no manure' : `manure ${history.manure}`,
    history.water === 'not told' ? '' : history.water,
    history.texture === 'not told' ? '' : history.texture,
    history.grazed === 'not told' ? '' : history.grazed === 'yes' ? 'grazed' : 'not grazed',
    history.slope_pct === null ? '' : `slope ${number(history.slope_pct, 1)} %`,
    history.spreading === 'not told' ? '' : `spread in ${history.spreading}`,
    history.sampledOn === '' ? '' : `sampled ${history.sampledOn}`,
  ];
  return parts.filter((part) => part !== '').join(' · ');
}
