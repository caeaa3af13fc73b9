import type { PanelName } from '../store/view.ts';

/** Calls `then` with the element as soon as it is drawn; gives up after two seconds. */
export function whenDrawn(find: () => HTMLElement | null, then: (found: HTMLElement) => void): void {
  let tries = 0;
  const look = (): void => {
    const found = find();
    if (found) then(found);
    else if (tries++ < 40) setTimeout(look, 50);
  };
  setTimeout(look, 0);
}

/** Puts the focus on the panel's title, from where Tab goes through the panel. */
export const focusPanel = (panel: PanelName): void =>
  whenDrawn(
    () => document.querySelector<HTMLElement>(`[data-panel-title="${panel}"]`),
    (title) => title.focus(),
  );
