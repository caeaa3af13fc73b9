import { M2_PER_ACRE } from '../base/units.ts';
import type { SurfacesOut } from '../surfaces/types.ts';
import type { BreakTargets } from './breaks.ts';

/** How ground stands by both readings at once. The code of a class is its place in the list, from 1; 0 is not known. */
export const BALANCE_CLASSES = ['both', 'pounds', 'share', 'enough', 'rich', 'out'] as const;
export type BalanceClass = (typeof BALANCE_CLASSES)[number];

export const BALANCE_NAMES = {
  both: 'Short of both',
  pounds: 'Short of pounds',
  share: 'Short of share',
  enough: 'Enough',
  rich: 'Above the range',
  out: 'Out of balance',
} as const satisfies Record<BalanceClass, string>;

/** What each class says of the ground. */
export const BALANCE_MEANS = {
  both: 'few ppm, and a share under the range',
  pounds: 'light ground: its share is full, but it holds few pounds',
  share: 'crowded out: ppm enough, but Ca and Mg hold the sites',
  enough: 'in balance: ppm enough, and the share in the range',
  rich: 'rich: the share is above the range',
  out: 'overloaded: the share is far above the range',
} as const satisfies Record<BalanceClass, string>;

export interface Balance {
  /** Over the lattice's cells: 0 no ground or not known, else the class's place from 1. */
  readonly codes: Uint8Array;
  /** Acres of each class, in the list's order. */
  readonly acres: readonly number[];
  readonly unknown_ac: number;
}

/**
 * The balance class of every cell with ground; each falls into exactly one (`balanceClass`), or is not known without K or saturation. Null where
 * the surfaces have no K or no saturation. Cost: cells.
 */
export function balanceOf(surfaces: Pick<SurfacesOut, 'layers' | 'grid'>, targets: BreakTargets): Balance | null {
  const { k_ppm: k, kSat_pct: sat } = surfaces.layers;
  if (!k || !sat) return null;
  const { cover_m2 } = surfaces.grid;
  const codes = new Uint8Array(cover_m2.length);
  const area_m2 = new Float64Array(BALANCE_CLASSES.length + 1);
  for (let cell = 0; cell < codes.length; cell++) {
    const cover = cover_m2[cell] ?? 0;
    if (cover <= 0) continue;
    const one = balanceClass(k[cell] ?? Number.NaN, sat[cell] ?? Number.NaN, targets);
    const code = one === null ? 0 : BALANCE_CLASSES.indexOf(one) + 1;
    codes[cell] = code;
    area_m2[code] = (area_m2[code] ?? 0) + cover;
  }
  const acres = [...area_m2].map((area) => area / M2_PER_ACRE);
  return { codes, acres: acres.slice(1), unknown_ac: acres[0] ?? 0 };
}

/**
 * The class of one pair of readings, null where either is unknown: ppm short or enough by the floor, saturation below, in, above or far
 * above the range. A value on a floor is not short; a value on the range's top or on the far line is not above it. A share above the range is
 * named so even where pounds are short: on light ground 150 ppm would be more than the range holds. The limits are common practice, no
 * source; the names are ours.
 */
export function balanceClass(k_ppm: number, kSat_pct: number, targets: BreakTargets): BalanceClass | null {
  if (!Number.isFinite(k_ppm) || !Number.isFinite(kSat_pct)) return null;
  // A plan may set the far line below its range; the higher of the two then ends the range.
  if (kSat_pct > Math.max(targets.farAbove_pct, targets.rangeTop_pct)) return 'out';
  if (kSat_pct > targets.rangeTop_pct) return 'rich';
  const fewPounds = k_ppm < targets.floor_ppm;
  const fewShare = kSat_pct < targets.floor_pct;
  if (fewPounds) return fewShare ? 'both' : 'pounds';
  return fewShare ? 'share' : 'enough';
}
