import { type ReactElement, type ReactNode, useEffect, useId, useState } from 'react';
import { useView } from '../store/view.ts';
import { MEASURES, type MeasureName, parseTyped, planValue, shortNumber, shownValue, unitOf } from './format.ts';

/** Fields of the panels. A change is committed on Enter or when the field is left; a wrong one stays and says why. */
interface Common {
  readonly label: ReactNode;
  /** Path of the setting in the plan: problems lead here by it. */
  readonly setting?: string;
  readonly hint?: ReactNode;
}

interface NumberFieldProps extends Common {
  readonly value: number | null;
  readonly measure: MeasureName;
  /** In the plan's own unit. */
  readonly min?: number;
  readonly max?: number;
  readonly whole?: boolean;
  /** Replaces the measure's unit: `bu/ac`. */
  readonly unit?: string;
  /** Blank is a value too: what it stands for is the placeholder. */
  readonly blank?: string;
  readonly onCommit: (value: number) => void;
  readonly onBlank?: () => void;
}

export function NumberField(props: NumberFieldProps): ReactElement {
  const units = useView((view) => view.units);
  const id = useId();
  const { value, measure, setting } = props;
  const asText = value === null ? '' : shortNumber(shownValue(value, measure, units), decimalsShown(measure, units));
  const [draft, setDraft] = useState<string | null>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  // A value that changed elsewhere, by undo for one, takes the place of an unfinished draft.
  useEffect(() => {
    setDraft(null);
    setWrong(null);
    void asText;
  }, [asText]);

  const commit = (): void => {
    if (draft === null || draft === asText) {
      setDraft(null);
      setWrong(null);
      return;
    }
    const judged = judge(draft, props, units);
    if (typeof judged === 'string') {
      setWrong(judged);
      return;
    }
    setWrong(null);
    setDraft(null);
    if (judged === null) props.onBlank?.();
    else props.onCommit(judged);
  };
  const unit = props.unit ?? unitOf(measure, units);
  return (
    <>
      <div className="field">
        <label htmlFor={id}>
          {props.label}
          {props.hint !== undefined && <span className="hint">{props.hint}</span>}
        </label>
        <span className={wrong === null ? 'in number' : 'in number wrong'}>
          <input
            id={id}
            className="figure"
            inputMode="decimal"
            autoComplete="off"
            data-setting={setting}
            value={draft ?? asText}
            placeholder={props.blank}
            aria-invalid={wrong !== null}
            aria-describedby={wrong === null ? undefined : `${id}-wrong`}
            onChange={(event) => setDraft(event.target.value)}
            onBlur={commit}
            onKeyDown={(event) => {
              if (event.key === 'Enter') commit();
              if (event.key === 'Escape' && draft !== null) {
                event.stopPropagation();
                setDraft(null);
                setWrong(null);
              }
            }}
          />
          {unit !== '' && <span className="unit">{unit}</span>}
        </span>
      </div>
      {wrong !== null && (
        <p className="field-error" id={`${id}-wrong`}>
          {wrong}
        </p>
      )}
    </>
  );
}

/** As typed where the plan keeps that unit; a converted figure is rounded for reading, and kept whole in the plan. */
function decimalsShown(measure: MeasureName, units: 'US' | 'metric'): number {
  const { factor, decimals } = MEASURES[measure][units];
  return factor === 1 ? 4 : measure === 'distance' ? 0 : decimals + 1;
}

/** The figure in the plan's unit, null for an allowed blank, or what is the matter with it. */
function judge(text: string, props: NumberFieldProps, units: 'US' | 'metric'): number | null | string {
  if (text.trim() === '' && props.onBlank) return null;
  const typed = parseTyped(text);
  if (typed === null) return 'A figure is needed here.';
  const value = planValue(typed, props.measure, units);
  if (props.whole && !Number.isInteger(value)) return 'A whole number is needed here.';
  const least = props.min ?? Number.NEGATIVE_INFINITY;
  const most = props.max ?? Number.POSITIVE_INFINITY;
  if (value >= least && value <= most) return value;
  const { factor } = MEASURES[props.measure][units];
  const unit = props.unit ?? unitOf(props.measure, units);
  const say = (limit: number): string => `${shortNumber(limit * factor, 2)}${unit === '' ? '' : ` ${unit}`}`;
  if (Number.isFinite(least) && Number.isFinite(most)) return `Between ${say(least)} and ${say(most)}.`;
  return Number.isFinite(least) ? `Not under ${say(least)}.` : `Not over ${say(most)}.`;
}

interface TextFieldProps extends Common {
  readonly value: string;
  readonly blank?: string;
  readonly wide?: boolean;
  /** What is the matter with a text, or null. */
  readonly judge?: (text: string) => string | null;
  readonly onCommit: (text: string) => void;
}

export function TextField(props: TextFieldProps): ReactElement {
  const id = useId();
  const [draft, setDraft] = useState(props.value);
  const [wrong, setWrong] = useState<string | null>(null);
  useEffect(() => {
    setDraft(props.value);
    setWrong(null);
  }, [props.value]);
  const commit = (): void => {
    const judged = draft === props.value ? null : (props.judge?.(draft) ?? null);
    setWrong(judged);
    if (judged === null && draft !== props.value) props.onCommit(draft);
  };
  const box = (
    <span className={`in${wrong === null ? '' : ' wrong'}${props.wide ? ' wide' : ''}`}>
      <input
        id={id}
        autoComplete="off"
        data-setting={props.setting}
        value={draft}
        placeholder={props.blank}
        aria-invalid={wrong !== null}
        aria-describedby={wrong === null ? undefined : `${id}-wrong`}
        onChange={(event) => setDraft(event.target.value)}
        onBlur={commit}
        onKeyDown={(event) => event.key === 'Enter' && commit()}
      />
    </span>
  );
  return (
    <>
      <div className={props.wide ? 'field stacked' : 'field'}>
        <label htmlFor={id}>
          {props.label}
          {props.hint !== undefined && <span className="hint">{props.hint}</span>}
        </label>
        {box}
      </div>
      {wrong !== null && (
        <p className="field-error" id={`${id}-wrong`}>
          {wrong}
        </p>
      )}
    </>
  );
}

export interface Option<T extends string> {
  readonly value: T;
  readonly label: string;
}

interface SelectFieldProps<T extends string> extends Common {
  readonly value: T;
  readonly options: readonly Option<T>[];
  readonly onCommit: (value: T) => void;
}

export function SelectField<T extends string>(props: SelectFieldProps<T>): ReactElement {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>
        {props.label}
        {props.hint !== undefined && <span className="hint">{props.hint}</span>}
      </label>
      <Select {...props} id={id} />
    </div>
  );
}

interface SelectProps<T extends string> {
  readonly id?: string;
  readonly label?: ReactNode;
  /** Spoken name where no label stands beside it. */
  readonly spoken?: string;
  readonly setting?: string;
  readonly value: T;
  readonly options: readonly Option<T>[];
  readonly className?: string;
  readonly onCommit: (value: T) => void;
}

export function Select<T extends string>(props: SelectProps<T>): ReactElement {
  return (
    <span className={`in sel ${props.className ?? ''}`}>
      <select
        id={props.id}
        aria-label={props.spoken}
        data-setting={props.setting}
        value={props.value}
        onChange={(event) => {
          const chosen = props.options.find((option) => option.value === event.target.value);
          if (chosen) props.onCommit(chosen.value);
        }}
      >
        {props.options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.label}
          </option>
        ))}
      </select>
    </span>
  );
}

interface ChoicesProps<T extends string> {
  readonly legend: ReactNode;
  readonly setting?: string;
  readonly value: T | null;
  readonly options: readonly (Option<T> & { readonly says?: ReactNode })[];
  readonly onCommit: (value: T) => void;
}

/** Radio buttons, each with a sentence of its own. */
export function Choices<T extends string>(props: ChoicesProps<T>): ReactElement {
  const name = useId();
  return (
    <fieldset className="section">
      <legend className="section-head">{props.legend}</legend>
      {props.options.map((option, index) => (
        <label className="choice" key={option.value}>
          <input
            type="radio"
            name={name}
            data-setting={index === 0 ? props.setting : undefined}
            checked={props.value === option.value}
            onChange={() => props.onCommit(option.value)}
          />
          <span>{option.label}</span>
          {option.says !== undefined && <small>{option.says}</small>}
        </label>
      ))}
    </fieldset>
  );
}

interface CheckFieldProps extends Common {
  readonly checked: boolean;
  readonly onCommit: (checked: boolean) => void;
}

export function CheckField(props: CheckFieldProps): ReactElement {
  return (
    <label className="choice">
      <input
        type="checkbox"
        data-setting={props.setting}
        checked={props.checked}
        onChange={(event) => props.onCommit(event.target.checked)}
      />
      <span>{props.label}</span>
      {props.hint !== undefined && <small>{props.hint}</small>}
    </label>
  );
}
