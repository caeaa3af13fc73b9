import type { RatesSettings } from '../../core/rates/settings.ts';
import {
  BALANCE_CLASSES,
  BALANCE_MEANS,
  BALANCE_NAMES,
  type BalanceClass,
  balanceClass as classOf,
} from '../../core/zones/balance.ts';

export { BALANCE_CLASSES, BALANCE_MEANS, BALANCE_NAMES, type BalanceClass };

/** The plan's lines on the plot: `plan.rates` fits as it is. */
export type BalanceLimits = Pick<RatesSettings, 'floor_ppm' | 'floor_pct' | 'rangeTop_pct' | 'caution_pct'>;

/** The class of one pair of readings by the plan's lines; null where either is unknown. */
export const balanceClass = (k_ppm: number, kSat_pct: number, limits: BalanceLimits): BalanceClass | null =>
  classOf(k_ppm, kSat_pct, { ...limits, farAbove_pct: limits.caution_pct });

export interface BalanceSum {
  readonly id: BalanceClass;
  /** Ids of the samples in the class, in the order given. */
  readonly samples: readonly string[];
  readonly area_m2: number;
}
export interface BalanceSums {
  readonly classes: readonly BalanceSum[];
  /** Samples and ground with one of the two readings missing: counted, never dropped. */
  readonly unknown: { readonly samples: readonly string[]; readonly area_m2: number };
}

export interface BalanceSample {
  readonly id: string;
  readonly k_ppm: number;
  readonly kSat_pct: number;
}
/** Both readings over the same cells, with the ground each cell has. */
export interface BalanceCells {
  readonly k_ppm: Float64Array;
  readonly kSat_pct: Float64Array;
  readonly cover_m2: Float64Array;
}

/** Samples and ground of every class. The areas of all classes and of the unknown add up to the whole cover. */
export function balanceSums(
  samples: readonly BalanceSample[],
  cells: BalanceCells | null,
  limits: BalanceLimits,
): BalanceSums {
  const ids = new Map<BalanceClass | null, string[]>();
  const area = new Map<BalanceClass | null, number>();
  for (const sample of samples) {
    const id = balanceClass(sample.k_ppm, sample.kSat_pct, limits);
    const known = ids.get(id);
    if (known) known.push(sample.id);
    else ids.set(id, [sample.id]);
  }
  if (cells) {
    for (let cell = 0; cell < cells.cover_m2.length; cell++) {
      const cover = cells.cover_m2[cell] ?? 0;
      if (cover === 0) continue;
      const id = balanceClass(cells.k_ppm[cell] ?? Number.NaN, cells.kSat_pct[cell] ?? Number.NaN, limits);
      area.set(id, (area.get(id) ?? 0) + cover);
    }
  }
  return {
    classes: BALANCE_CLASSES.map((id) => ({ id, samples: ids.get(id) ?? [], area_m2: area.get(id) ?? 0 })),
    unknown: { samples: ids.get(null) ?? [], area_m2: area.get(null) ?? 0 },
  };
}
