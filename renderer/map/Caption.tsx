import { type KeyboardEvent, type ReactElement, useEffect, useId, useRef, useState } from 'react';
import type { MapLayer } from './props.ts';

export interface CaptionProps {
  readonly title: string;
  readonly lines: readonly string[];
  readonly layer: MapLayer;
  readonly choices: readonly { readonly layer: MapLayer; readonly title: string }[];
  readonly onLayer: (layer: MapLayer) => void;
  readonly plated: boolean;
}

/** The map's title; where there is a choice of layers it is the button that opens their list. */
export function Caption({ title, lines, layer, choices, onLayer, plated }: CaptionProps): ReactElement {
  return (
    <div className={plated ? 'map-caption map-plate' : 'map-caption'}>
      {choices.length > 1 ? (
        <Chooser title={title} layer={layer} choices={choices} onLayer={onLayer} />
      ) : (
        <h2 className="map-title">{title}</h2>
      )}
      {lines.map((line) => (
        <p className="map-method" key={line}>
          {line}
        </p>
      ))}
    </div>
  );
}

/** A button and its listbox: arrows move, Enter or Space choose, Escape closes, a letter goes to the next of that letter. */
function Chooser({
  title,
  layer,
  choices,
  onLayer,
}: Pick<CaptionProps, 'title' | 'layer' | 'choices' | 'onLayer'>): ReactElement {
  const [open, setOpen] = useState(false);
  const [active, setActive] = useState(0);
  const box = useRef<HTMLDivElement>(null);
  const button = useRef<HTMLButtonElement>(null);
  const list = useRef<HTMLDivElement>(null);
  const id = useId();

  useEffect(() => {
    if (!open) return;
    list.current?.focus();
    const outside = (event: PointerEvent): void => {
      if (event.target instanceof Node && !box.current?.contains(event.target)) setOpen(false);
    };
    document.addEventListener('pointerdown', outside);
    return () => document.removeEventListener('pointerdown', outside);
  }, [open]);

  const show = (): void => {
    setActive(
      Math.max(
        0,
        choices.findIndex((choice) => choice.layer === layer),
      ),
    );
    setOpen(true);
  };
  const close = (): void => {
    setOpen(false);
    button.current?.focus();
  };
  const choose = (at: number): void => {
    const choice = choices[at];
    close();
    if (choice && choice.layer !== layer) onLayer(choice.layer);
  };
  const onKey = (event: KeyboardEvent): void => {
    const last = choices.length - 1;
    const go = (to: number): void => setActive(Math.max(0, Math.min(last, to)));
    if (event.key === 'ArrowDown') go(active + 1);
    else if (event.key === 'ArrowUp') go(active - 1);
    else if (event.key === 'Home') go(0);
    else if (event.key === 'End') go(last);
    else if (event.key === 'Enter' || event.key === ' ') choose(active);
    else if (event.key === 'Escape') close();
    else if (event.key === 'Tab') setOpen(false);
    else if (event.key.length === 1) {
      const letter = event.key.toLowerCase();
      const order = choices.map((_, i) => (active + 1 + i) % choices.length);
      const next = order.find((i) => choices[i]?.title.toLowerCase().startsWith(letter));
      if (next !== undefined) setActive(next);
    } else return;
    event.stopPropagation();
    if (event.key !== 'Tab') event.preventDefault();
  };

  return (
    <div className="map-chooser" ref={box}>
      <h2 className="map-title">
        <button
          ref={button}
          type="button"
          aria-haspopup="listbox"
          aria-expanded={open}
          aria-controls={open ? `${id}-list` : undefined}
          data-testid="map-layer"
          onClick={() => (open ? close() : show())}
          onKeyDown={(event) => {
            if (event.key !== 'ArrowDown' && event.key !== 'ArrowUp') return;
            event.preventDefault();
            event.stopPropagation();
            show();
          }}
        >
          {title}
          <i className="map-caret" aria-hidden="true" />
          <span className="unseen">: choose another layer</span>
        </button>
      </h2>
      {open && (
        <div
          ref={list}
          id={`${id}-list`}
          className="map-layers"
          role="listbox"
          tabIndex={-1}
          aria-label="Layers of the map"
          aria-activedescendant={`${id}-${active}`}
          onKeyDown={onKey}
        >
          {choices.map((choice, at) => (
            // The list has the focus and the keys; an option is only where the pointer chooses.
            // biome-ignore lint/a11y/useKeyWithClickEvents: keys are handled by the listbox, as its pattern has it
            // biome-ignore lint/a11y/useFocusableInteractive: the listbox names its active option instead
            <div
              key={choice.layer}
              id={`${id}-${at}`}
              role="option"
              aria-selected={choice.layer === layer}
              className={at === active ? 'map-active' : undefined}
              data-testid={`map-layer-${choice.layer}`}
              onClick={() => choose(at)}
              onPointerMove={() => setActive(at)}
            >
              {choice.title}
            </div>
          ))}
        </div>
      )}
    </div>
  );
}
