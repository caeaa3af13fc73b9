import { K2O_PER_K } from '../base/units.ts';
import { figure, known, typed } from './text.ts';
import type { LedgerLine } from './types.ts';

export interface Supply {
  /** lb K/ac in the sampled depth. */
  readonly k_lbPerAc: number;
  /** lb K2O/ac above the governing target; 0 at or below it. */
  readonly above_lbK2OPerAc: number;
  /** Years of the crop's removal that covers; 0 on light ground, where none counts as a bank; null where it cannot be said. */
  readonly removalYears: number | null;
}

/**
 * What the soil holds: ppm x lb K per ppm, and how many years of removal lie above the target.
 * Light ground holds K too loosely for a bank, so 0 is counted there. NaN and null where K, target or crop is not known. Source: ours.
 */
export function supply(
  k_ppm: number,
  target_ppm: number,
  supply_factor: number,
  removal_lbK2OPerAc: number | null,
  light: boolean,
): Supply {
  const above = Math.max(0, k_ppm - target_ppm) * supply_factor * K2O_PER_K;
  return {
    k_lbPerAc: k_ppm * supply_factor,
    above_lbK2OPerAc: above,
    removalYears: light
      ? 0
      : removal_lbK2OPerAc !== null && removal_lbK2OPerAc > 0
        ? known(above / removal_lbK2OPerAc)
        : null,
  };
}

/** Line 1: soil supply now, and the years of removal above the target. */
export function supplyLine(
  k_ppm: number,
  supply_factor: number,
  have: Supply,
  light: boolean,
  depth: string,
): LedgerLine {
  const how: string[] = [];
  if (Number.isNaN(k_ppm)) how.push('K is not known');
  else {
    how.push(
      `${figure(k_ppm)} ppm x ${figure(supply_factor, 2)} = ${figure(have.k_lbPerAc)} lb K, x ${figure(K2O_PER_K, 4)}; ${depth}`,
    );
    if (light) how.push('light ground: K above the target counts as no bank');
    else if (have.above_lbK2OPerAc > 0)
      how.push(
        `above the target ${figure(have.above_lbK2OPerAc, 1)} lb K2O${have.removalYears === null ? '' : `, ${figure(have.removalYears, 1)} years of removal`}`,
      );
    else if (have.above_lbK2OPerAc === 0) how.push('none above the target');
  }
  return {
    n: 1,
    key: 'supply',
    label: 'Soil supply now',
    how: how.join('; '),
    unit: 'lb K2O/ac',
    working: known(have.k_lbPerAc * K2O_PER_K),
    carried: null,
    source: 'the depth convention of the plan; 1.2046 lb K2O per lb K',
  };
}

/** How deep the ground was sampled and by which convention pounds are counted, in words. */
export const depthText = (depth_in: number, convention: string): string =>
  `sampled to ${typed(depth_in)} in., pounds by the ${convention} convention`;
