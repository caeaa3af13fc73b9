import { endSketch, useSketch } from '../store/sketch.ts';
import { openPanel, useView } from '../store/view.ts';
import { keysOf } from './keys-of.ts';
import { COMMANDS } from './list.ts';

/** The shortcuts of every command, Ctrl K for the finder, F6 round the parts, Esc to close what is open. */
export function listenToKeys(): () => void {
  const onKey = (event: KeyboardEvent): void => {
    if (event.defaultPrevented || event.isComposing) return;
    const pressed = keysOf(event);
    if (pressed === 'Ctrl+K') {
      event.preventDefault();
      useView.setState((view) => ({ finder: !view.finder, menu: false }));
      return;
    }
    if (pressed === 'F6' || pressed === 'Shift+F6') {
      event.preventDefault();
      goRound(event.shiftKey ? -1 : 1);
      return;
    }
    if (pressed === 'Escape') {
      closeOne(event);
      return;
    }
    // Single letters and digits belong to a field while it is written in; so do a field's own undo and redo.
    if (isTyping(event.target) && !OVER_FIELDS.has(pressed)) return;
    const found = COMMANDS.find((command) => command.keys?.includes(pressed));
    if (!found) return;
    event.preventDefault();
    if (found.why() === null) void found.run();
  };
  window.addEventListener('keydown', onKey);
  return () => window.removeEventListener('keydown', onKey);
}

const OVER_FIELDS = new Set(['Ctrl+S', 'Ctrl+Shift+S', 'Ctrl+O', 'Ctrl+E', 'F8']);

const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement &&
  (target instanceof HTMLTextAreaElement ||
    target instanceof HTMLSelectElement ||
    (target instanceof HTMLInputElement && !['radio', 'checkbox', 'button', 'range'].includes(target.type)));

function closeOne(event: KeyboardEvent): void {
  const { finder, menu, panel } = useView.getState();
  if (finder || menu) useView.setState({ finder: false, menu: false });
  else if (useSketch.getState().task) endSketch();
  else if (isTyping(event.target)) (event.target as HTMLElement).blur();
  else if (panel) {
    const card = document.querySelector<HTMLElement>(`[data-stage="${panel}"]`);
    openPanel(null);
    card?.focus();
  }
}

const PARTS = ['head', 'map', 'panel', 'course'];
const REACHABLE =
  'button:not(:disabled), input:not(:disabled), select, textarea, a[href], [tabindex="0"], [tabindex="-1"][data-part]';

/** Puts the focus on the first thing of the next part of the window that is there. */
function goRound(step: 1 | -1): void {
  const there = PARTS.flatMap((name) => document.querySelector<HTMLElement>(`[data-part="${name}"]`) ?? []);
  const at = there.findIndex((part) => part.contains(document.activeElement));
  const next = there[(at + step + there.length) % there.length];
  const open = next?.querySelector<HTMLElement>('[aria-current="step"]');
  (open ?? next?.querySelector<HTMLElement>(REACHABLE) ?? next)?.focus();
}
