/** The colours that the map's style needs as values: read from tokens.css, where they have their home. */
export interface Inks {
  readonly page: string;
  readonly ground: string;
  readonly line: string;
  readonly casing: string;
  readonly keepOut: string;
  readonly grass: string;
  readonly keepOutEdge: string;
  readonly over: string;
}

/** Read where the theme applies: `element` carries data-theme or lies under it. */
export function readInks(element: Element, theme: 'light' | 'dark'): Inks {
  const style = getComputedStyle(element);
  const token = (name: string): string => style.getPropertyValue(name).trim();
  return {
    page: token('--page'),
    ground: token('--raised'),
    line: token('--map-ink'),
    casing: token('--map-case'),
    keepOut: token('--map-keepout'),
    grass: token('--ink-3'),
    keepOutEdge: theme === 'dark' ? token('--ink-2') : token('--map-ink'),
    over: token('--map-over'),
  };
}
