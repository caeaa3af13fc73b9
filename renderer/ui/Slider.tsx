import { type KeyboardEvent, type ReactElement, useRef } from 'react';

interface SliderProps {
  /** What it does, spoken; the figure itself has a field of its own beside it. */
  readonly spoken: string;
  /** The place's value in words. */
  readonly text: string;
  /** Places go from 0 to `places` - 1. */
  readonly at: number;
  readonly places: number;
  readonly onDraft: (at: number) => void;
  /** Let go at a place. */
  readonly onKeep: (at: number) => void;
  readonly onCancel: () => void;
}

/** A drag is a draft: it goes into the plan when it is let go of, as one step; Escape takes it back. */
export function Slider({ spoken, text, at, places, onDraft, onKeep, onCancel }: SliderProps): ReactElement {
  const draft = useRef<number | null>(null);
  const keep = (): void => {
    const to = draft.current;
    draft.current = null;
    if (to !== null) onKeep(to);
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    if (event.key !== 'Escape' || draft.current === null) return;
    draft.current = null;
    event.preventDefault();
    event.stopPropagation();
    onCancel();
  };
  return (
    <input
      type="range"
      className="slider"
      min={0}
      max={places - 1}
      step={1}
      value={at}
      aria-label={spoken}
      aria-valuetext={text}
      onChange={(event) => {
        draft.current = Number(event.target.value);
        onDraft(draft.current);
      }}
      onPointerUp={keep}
      onKeyUp={keep}
      onBlur={keep}
      onKeyDown={onKeyDown}
      style={{ ['--part' as string]: `${(100 * at) / Math.max(1, places - 1)}%` }}
    />
  );
}
