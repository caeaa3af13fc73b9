import { sharedAreas } from '../../geo/shared-areas.kernel.ts';
import type { MultiPolygon } from '../../geo/types.ts';
import { fillInside, markCrossed } from './mark.kernel.ts';
import type { Cut } from './outlines.ts';

/** A zone's ground under a cell; `zone` is its number in the list, from 0. */
export interface Share {
  readonly zone: number;
  readonly m2: number;
}

/** Less than this of a cell under a zone only comes of rounding: it counts in the mean, not as a zone under the cell. */
export const ROUNDING_SHARE = 1e-6;

/**
 * The zones under each cell of the cut, most area first; empty where no zone lies under it. Areas are ellipsoidal.
 *
 * A cell that no outline of a zone runs through, or within 2 mm of, lies wholly in the zone at its middle; the others are overlaid with the
 * zones exactly (`sharedAreas`). Zones must not overlap. Cost: cells, and edges of zones times those near them.
 */
export function zonesUnder(cut: Cut, zones: readonly MultiPolygon[]): readonly (readonly Share[])[] {
  const { lattice, cells, areas_m2, homes, cellOf } = cut;
  const at = new Int32Array(lattice.cols * lattice.rows);
  const crossed = markCrossed(lattice, zones.flat());
  zones.forEach((zone, index) => {
    fillInside(lattice, zone, index + 1, at);
  });
  const zoneOf = new Int32Array(cells.length);
  const mixed = new Uint8Array(cells.length);
  homes.forEach((home, part) => {
    const cell = cellOf[part] ?? 0;
    const zone = at[home] ?? 0;
    if (crossed[home] === 1 || zone === 0 || (zoneOf[cell] !== 0 && zoneOf[cell] !== zone)) mixed[cell] = 1;
    zoneOf[cell] = zone;
  });
  const under: Share[][] = cells.map((_, index) =>
    mixed[index] === 1 ? [] : [{ zone: (zoneOf[index] ?? 0) - 1, m2: areas_m2[index] ?? 0 }],
  );
  const overlaid = Array.from(cells.keys()).filter((index) => mixed[index] === 1);
  const shared = sharedAreas(
    overlaid.map((index) => cells[index] ?? []),
    zones,
  );
  shared.m2.forEach((m2, pair) => {
    under[overlaid[shared.a[pair] ?? 0] ?? 0]?.push({ zone: shared.b[pair] ?? 0, m2 });
  });
  for (const index of overlaid) under[index]?.sort((a, b) => b.m2 - a.m2 || a.zone - b.zone);
  return under;
}

/** Square metres of zones under a cell. */
export const sum_m2 = (under: readonly Share[]): number => under.reduce((sum, { m2 }) => sum + m2, 0);

/**
 * Mean by area of what the zones under a cell have, NaN left out of it: only ground whose figure is known is weighed. NaN where none is.
 */
export function meanUnder(under: readonly Share[], figureOf: (zone: number) => number): number {
  let sum = 0;
  let known_m2 = 0;
  for (const { zone, m2 } of under) {
    const figure = figureOf(zone);
    if (Number.isNaN(figure)) continue;
    sum += figure * m2;
    known_m2 += m2;
  }
  return known_m2 > 0 ? sum / known_m2 : Number.NaN;
}
