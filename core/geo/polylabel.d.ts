declare module 'polylabel' {
  /** x, y of the place farthest from the polygon's edges, and that distance. */
  // biome-ignore lint/style/noDefaultExport: it is how the package exports it
  export default function polylabel(
    polygon: readonly (readonly (readonly [number, number])[])[],
    precision?: number,
  ): [number, number] & { distance: number };
}
