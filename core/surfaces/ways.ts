import type { MeasuredId, SurfacesSettings } from './settings.ts';

/** How one quantity is interpolated. */
export interface Way {
  readonly power: number;
  /** Nearest samples used per cell; 0 uses all. */
  readonly neighbours: number;
  /** Samples farther than this have no say; null sets no limit. */
  readonly radius_m: number | null;
}

/** The way of one quantity: its own setting where it has one, else the common one. A radius of null is a setting too: no limit. */
export function wayOf(settings: SurfacesSettings, id: MeasuredId): Way {
  const own = settings.ways[id] ?? {};
  return {
    power: own.power ?? settings.power,
    neighbours: own.neighbours ?? settings.neighbours,
    radius_m: own.radius_m === undefined ? settings.radius_m : own.radius_m,
  };
}

/** A way in words, over so many samples: `inverse distance, power 2, 12 neighbours, within 200 m`. */
export function wayText({ power, neighbours, radius_m }: Way, samples: number): string {
  const near = neighbours === 0 || neighbours >= samples ? `all ${samples} samples` : neighboursText(neighbours);
  return `inverse distance, power ${power}, ${near}${radius_m === null ? '' : `, within ${radius_m} m`}`;
}

/** `8 neighbours`, `all samples`. */
export const neighboursText = (neighbours: number): string =>
  neighbours === 0 ? 'all samples' : neighbours === 1 ? '1 neighbour' : `${neighbours} neighbours`;
