import type { SoilSettings } from '../soil/settings.ts';
import type { SoilOut } from '../soil/types.ts';
import type { LayerId } from '../surfaces/types.ts';
import type { Zone, ZoneStat } from '../zones/types.ts';
import type { RatesSettings } from './settings.ts';
import type { ZoneReading } from './types.ts';

/**
 * The soil reading that stands for a zone. K in ppm by the plan's choice: mean, median or 20th percentile of its cells; every other layer
 * by its mean, or by its median where that is chosen (a low percentile of CEC would lower the target, not guard it).
 * K saturation is that of this K on this CEC, so that the ledger agrees with itself. NaN where a layer is missing.
 */
export function zoneReading(
  zone: Pick<Zone, 'stats'>,
  choice: RatesSettings['reading'],
  kPpmPerMeq: number,
  depth_in: number,
): ZoneReading {
  const other: keyof ZoneStat = choice === 'median' ? 'median' : 'mean';
  const low: keyof ZoneStat = choice === '20th percentile' ? 'p20' : other;
  const read = (layer: LayerId, by: keyof ZoneStat): number => zone.stats[layer]?.[by] ?? Number.NaN;
  const k_ppm = read('k_ppm', low);
  const cec_meq = read('cec_meq', other);
  return {
    k_ppm,
    cec_meq,
    kSat_pct: cec_meq > 0 ? (100 * k_ppm) / kPpmPerMeq / cec_meq : Number.NaN,
    ca_ppm: read('ca_ppm', other),
    mg_ppm: read('mg_ppm', other),
    caSat_pct: read('caSat_pct', other),
    mgSat_pct: read('mgSat_pct', other),
    ph: read('ph', other),
    depth_in,
  };
}

/** Depth that the field was sampled to: the median of its samples' depths, else the plan's; `depths_in` lists those told, ascending. */
export function sampledDepth(
  samples: Pick<SoilOut, 'samples'>,
  soil: Pick<SoilSettings, 'depth_in'>,
): { readonly depth_in: number; readonly depths_in: readonly number[] } {
  const all = samples.samples.map((sample) => sample.depth_in).filter((depth) => depth > 0);
  all.sort((a, b) => a - b);
  return {
    depth_in: all[Math.floor((all.length - 1) / 2)] ?? soil.depth_in,
    depths_in: [...new Set(all)],
  };
}
