import type { AnyLayerId } from '../surfaces/types.ts';
import type { Zone } from './types.ts';

/**
 * Share of each layer's variance over the field that the zones account for: 1 - SSW / SST, where SSW = sum over zones of area x variance
 * inside it, and SST = area x variance of all the known ground. 1: every zone is even; 0: the zones say nothing of the layer. So two
 * zonings of a field can be compared, by the same layer; more zones always explain more. A layer of one value has no entry. Areas
 * are those of cells with a value. Source: the between-groups share (eta squared) of the analysis of variance, Fisher 1925.
 */
export function varianceExplained(zones: readonly Zone[]): Partial<Record<AnyLayerId, number>> {
  const layers = new Set(zones.flatMap(({ stats }) => Object.keys(stats) as AnyLayerId[])); // the keys of stats are layers
  const shares: Partial<Record<AnyLayerId, number>> = {};
  for (const layer of layers) {
    const own = zones.flatMap(({ stats }) => stats[layer] ?? []);
    const area = own.reduce((sum, stat) => sum + stat.known_ac, 0);
    const mean = own.reduce((sum, stat) => sum + stat.known_ac * stat.mean, 0) / area;
    const within = own.reduce((sum, stat) => sum + stat.known_ac * stat.sd ** 2, 0);
    const between = own.reduce((sum, stat) => sum + stat.known_ac * (stat.mean - mean) ** 2, 0);
    const total = within + between;
    if (total > 1e-12 * area * Math.max(1, mean * mean)) shares[layer] = between / total;
  }
  return shares;
}
