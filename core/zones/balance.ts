import { M2_PER_ACRE } from '../base/units.ts';
import type { SurfacesOut } from '../surfaces/types.ts';
import type { BreakTargets } from './breaks.ts';

/** How ground stands by both readings, in our own words. The number of a class is its place in the list, from 1; 0 is not known. */
export const BALANCE_CLASSES = [
  'short of both',
  'crowded out by Ca and Mg',
  'light ground, full but small',
  'in balance',
  'rich',
  'overloaded',
] as const;
export type BalanceClass = (typeof BALANCE_CLASSES)[number];

/** What each class means, for people. */
export const BALANCE_MEANS: Readonly<Record<BalanceClass, string>> = {
  'short of both': 'K under its ppm floor, and its share of the exchange sites under the range',
  'crowded out by Ca and Mg': 'ppm enough, but the share under the range: other cations hold the sites',
  'light ground, full but small': 'share in the range or above it, but few ppm: the soil holds little',
  'in balance': 'ppm enough, and the share in the range',
  rich: 'ppm enough, and the share above the range',
  overloaded: 'share far above the range, whatever the ppm',
};

export interface Balance {
  /** Over the lattice's cells: 0 no ground or not known, else the class's place from 1. */
  readonly codes: Uint8Array;
  /** Acres of each class, in the list's order. */
  readonly acres: readonly number[];
  readonly unknown_ac: number;
}

/**
 * The balance class of every cell with ground: ppm short or enough by the floor, saturation below, in, above or far above the range. Each
 * cell falls into exactly one class; a value on a limit counts as reached (on the top of the range as in it). Not known without K or saturation.
 * Null where the surfaces have no K or no saturation. The limits are common practice, no source; the names are ours.
 */
export function balanceOf(surfaces: SurfacesOut, targets: BreakTargets): Balance | null {
  const { k_ppm: k, kSat_pct: sat } = surfaces.layers;
  if (!k || !sat) return null;
  const { cover_m2 } = surfaces.grid;
  const codes = new Uint8Array(cover_m2.length);
  const area_m2 = new Float64Array(BALANCE_CLASSES.length + 1);
  for (let cell = 0; cell < codes.length; cell++) {
    const cover = cover_m2[cell] ?? 0;
    if (cover <= 0) continue;
    const code = balanceCode(k[cell] ?? Number.NaN, sat[cell] ?? Number.NaN, targets);
    codes[cell] = code;
    area_m2[code] = (area_m2[code] ?? 0) + cover;
  }
  const acres = [...area_m2].map((area) => area / M2_PER_ACRE);
  return { codes, acres: acres.slice(1), unknown_ac: acres[0] ?? 0 };
}

/** Place of the class from 1; 0 where either reading is NaN. */
export function balanceCode(k_ppm: number, kSat_pct: number, targets: BreakTargets): number {
  if (Number.isNaN(k_ppm) || Number.isNaN(kSat_pct)) return 0;
  const enough = k_ppm >= targets.floor_ppm;
  if (kSat_pct > targets.rangeTop_pct && kSat_pct >= targets.farAbove_pct) return 6;
  if (kSat_pct < targets.floor_pct) return enough ? 2 : 1;
  if (!enough) return 3;
  return kSat_pct <= targets.rangeTop_pct ? 4 : 5;
}
