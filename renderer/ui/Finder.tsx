import { type KeyboardEvent, type ReactElement, useEffect, useId, useRef, useState } from 'react';
import { findCommands } from '../commands/find.ts';
import { COMMANDS, type Command } from '../commands/list.ts';
import { useView } from '../store/view.ts';
import { keysText } from './Menu.tsx';

const close = (): void => useView.setState({ finder: false });

/** Ctrl K: type a few letters, Enter does the first. */
export function Finder(): ReactElement {
  const [query, setQuery] = useState('');
  const [at, setAt] = useState(0);
  const box = useRef<HTMLDivElement>(null);
  const input = useRef<HTMLInputElement>(null);
  const id = useId();
  const found = findCommands(query, COMMANDS);
  useEffect(() => {
    const before = document.activeElement;
    input.current?.focus();
    const onDown = (event: PointerEvent): void => {
      if (!(event.target instanceof Node && box.current?.contains(event.target))) close();
    };
    window.addEventListener('pointerdown', onDown);
    return () => {
      window.removeEventListener('pointerdown', onDown);
      if (before instanceof HTMLElement && document.contains(before)) before.focus();
    };
  }, []);
  const run = (command: Command | undefined): void => {
    if (!command || command.why() !== null) return;
    close();
    // After the finder has handed the focus back, so that the command may move it.
    setTimeout(() => void command.run(), 0);
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (step !== undefined && found.length > 0) {
      const next = (at + step + found.length) % found.length;
      setAt(next);
      box.current?.querySelectorAll('[role="option"]')[next]?.scrollIntoView({ block: 'nearest' });
      event.preventDefault();
    }
    if (event.key === 'Enter') run(found[at]);
    if (event.key === 'Tab') close();
  };
  return (
    <div className="finder" ref={box} role="dialog" aria-label="Find a command">
      <input
        ref={input}
        role="combobox"
        aria-expanded="true"
        aria-controls={`${id}-list`}
        aria-activedescendant={found[at] ? `${id}-${found[at].id}` : undefined}
        aria-label="Find a command"
        placeholder="Find a command"
        autoComplete="off"
        value={query}
        onChange={(event) => {
          setQuery(event.target.value);
          setAt(0);
        }}
        onKeyDown={onKeyDown}
      />
      {found.length === 0 ? (
        <p className="none ink3">No command has these words.</p>
      ) : (
        <div id={`${id}-list`} role="listbox" aria-label="Commands">
          {found.map((command, index) => (
            // biome-ignore lint/a11y/useKeyWithClickEvents: the keys are the input's
            // biome-ignore lint/a11y/useFocusableInteractive: see above
            <div
              className="menu-item"
              role="option"
              id={`${id}-${command.id}`}
              key={command.id}
              aria-selected={index === at}
              aria-disabled={command.why() !== null}
              onClick={() => run(command)}
            >
              <span>{command.label()}</span>
              <kbd>{command.why() ?? keysText(command)}</kbd>
            </div>
          ))}
        </div>
      )}
    </div>
  );
}
