import { type KeyboardEvent, type ReactElement, useEffect, useRef } from 'react';
import { COMMANDS, type Command } from '../commands/list.ts';
import { useView } from '../store/view.ts';

const close = (): void => useView.setState({ menu: false });
const GROUPS = ['Plan', 'Edit', 'Look'] as const;

/** The commands under the mark. Arrow keys move, Enter runs, Esc closes. */
export function Menu(): ReactElement {
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const before = document.activeElement;
    box.current?.querySelector<HTMLElement>('[role="menuitem"]')?.focus();
    const onDown = (event: PointerEvent): void => {
      const inside = event.target instanceof Node && box.current?.contains(event.target);
      const opener = event.target instanceof Element && event.target.closest('.wordmark');
      if (!inside && !opener) close();
    };
    window.addEventListener('pointerdown', onDown);
    return () => {
      window.removeEventListener('pointerdown', onDown);
      if (before instanceof HTMLElement) before.focus();
    };
  }, []);
  const onKeyDown = (event: KeyboardEvent): void => {
    const items = [...(box.current?.querySelectorAll<HTMLElement>('[role="menuitem"]') ?? [])];
    const at = items.findIndex((item) => item.matches(':focus'));
    const next = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: items.length - 1 }[event.key];
    if (event.key === 'Tab') close();
    if (next === undefined) return;
    event.preventDefault();
    items[(next + items.length) % items.length]?.focus();
  };
  return (
    <div className="menu" role="menu" aria-label="Pearlash" tabIndex={-1} ref={box} onKeyDown={onKeyDown}>
      {GROUPS.map((group) => (
        // biome-ignore lint/a11y/useSemanticElements: a fieldset has no place in a menu
        <div className="part" role="group" aria-label={group} key={group}>
          {COMMANDS.filter((command) => command.group === group && !command.finderOnly).map((command) => (
            <MenuItem command={command} key={command.id} />
          ))}
        </div>
      ))}
    </div>
  );
}

function MenuItem({ command }: { readonly command: Command }): ReactElement {
  const why = command.why();
  return (
    <button
      type="button"
      role="menuitem"
      className="menu-item"
      tabIndex={-1}
      aria-disabled={why !== null}
      onClick={() => {
        if (why !== null) return;
        close();
        void command.run();
      }}
    >
      <span>{command.label()}</span>
      <kbd>{why ?? keysText(command)}</kbd>
    </button>
  );
}

export const keysText = (command: Command): string => (command.keys?.[0] ?? '').replaceAll('+', ' ');
