import type { PanelName } from '../store/view.ts';

/** Calls `then` with the element as soon as it is drawn, with every fold open that it lies in; gives up after two seconds. */
export function whenDrawn(find: () => HTMLElement | null, then: (found: HTMLElement) => void): void {
  let tries = 0;
  const look = (): void => {
    const found = find();
    if (found) {
      unfold(found);
      then(found);
    } else if (tries++ < 40) setTimeout(look, 50);
  };
  setTimeout(look, 0);
}

function unfold(element: HTMLElement): void {
  for (let fold = element.closest('details'); fold; fold = fold.parentElement?.closest('details') ?? null)
    fold.open = true;
}

/** Puts the focus on the panel's title, from where Tab goes through the panel. */
export const focusPanel = (panel: PanelName): void =>
  whenDrawn(
    () => document.querySelector<HTMLElement>(`[data-panel-title="${panel}"]`),
    (title) => title.focus(),
  );
