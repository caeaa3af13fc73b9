import type { FieldGrid } from '../geo/types.ts';

export const LAYER_IDS = [
  'k_ppm',
  'kSat_pct',
  'cec_meq',
  'ca_ppm',
  'mg_ppm',
  'na_ppm',
  'ph',
  'caSat_pct',
  'mgSat_pct',
  'k2oNeed_lbPerAc',
] as const;
export type LayerId = (typeof LAYER_IDS)[number];

/** What a layer is called and measured in. */
export const LAYER_NAMES = {
  k_ppm: { name: 'Potassium', unit: 'ppm', decimals: 0 },
  kSat_pct: { name: 'K saturation', unit: '%', decimals: 1 },
  cec_meq: { name: 'CEC', unit: 'meq/100 g', decimals: 1 },
  ca_ppm: { name: 'Calcium', unit: 'ppm', decimals: 0 },
  mg_ppm: { name: 'Magnesium', unit: 'ppm', decimals: 0 },
  na_ppm: { name: 'Sodium', unit: 'ppm', decimals: 0 },
  ph: { name: 'Soil pH', unit: '', decimals: 1 },
  caSat_pct: { name: 'Ca saturation', unit: '%', decimals: 1 },
  mgSat_pct: { name: 'Mg saturation', unit: '%', decimals: 1 },
  k2oNeed_lbPerAc: { name: 'K₂O to reach the target', unit: 'lb/ac', decimals: 0 },
} as const satisfies Record<LayerId, { name: string; unit: string; decimals: number }>;

/** Leave-one-out error of one measured layer. */
export interface LayerError {
  readonly samples: number;
  readonly rmse: number;
  readonly mae: number;
  /** RMSE of giving each sample the mean of the others: the figure to beat. */
  readonly meanRmse: number;
}

/** Values over the lattice's cells, in cell order; NaN where the cell has no ground of the field or no value. */
export interface SurfacesOut {
  readonly grid: FieldGrid;
  readonly layers: Readonly<Partial<Record<LayerId, Float64Array>>>;
  readonly errors: Readonly<Partial<Record<LayerId, LayerError>>>;
  /**
   * Metres from the cell's centre to the nearest sample; NaN where the cell has no ground of the field. With zone composites
   * 0 inside one and Infinity on ground that no composite covers.
   */
  readonly nearest_m: Float32Array;
  readonly far_ac: number;
  /** How the surfaces were made, in one sentence: `inverse distance, power 2, 12 neighbours`. */
  readonly method: string;
}
