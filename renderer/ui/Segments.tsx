import { type ReactElement, useId } from 'react';

interface SegmentsProps<T extends string> {
  readonly legend: string;
  readonly value: T;
  readonly options: readonly { readonly value: T; readonly label: string; readonly says?: string }[];
  readonly onChoose: (value: T) => void;
}

/** A few ways of looking at one thing, side by side: radio buttons drawn as one piece. */
export function Segments<T extends string>({ legend, value, options, onChoose }: SegmentsProps<T>): ReactElement {
  const name = useId();
  return (
    <fieldset className="segments">
      <legend className="unseen">{legend}</legend>
      {options.map((option) => (
        <label key={option.value} title={option.says} className={option.value === value ? 'on' : undefined}>
          <input type="radio" name={name} checked={option.value === value} onChange={() => onChoose(option.value)} />
          {option.label}
        </label>
      ))}
    </fieldset>
  );
}
