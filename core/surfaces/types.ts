import type { FieldGrid, LngLat } from '../geo/types.ts';
import type { MeasuredId } from './settings.ts';

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
  'caMgShare_pct',
  'kMg_ratio',
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
  caMgShare_pct: { name: 'Ca + Mg share of CEC', unit: '%', decimals: 1 },
  kMg_ratio: { name: 'K:Mg by equivalents', unit: '', decimals: 2 },
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

/** Leave-one-out error of one layer over powers and neighbour counts; the ground over which a setting is chosen. */
export interface ErrorScan {
  readonly samples: number;
  /** Mean of the samples, and their coefficient of variation in %. */
  readonly mean: number;
  readonly cv_pct: number;
  /** One entry a pair, powers within neighbour counts, both ascending (0 neighbours = all, last). */
  readonly entries: readonly {
    readonly power: number;
    readonly neighbours: number;
    readonly rmse: number;
    readonly mae: number;
  }[];
  /** Index of the entry with the least RMSE; of equals the first. */
  readonly best: number;
}

/** What leave-one-out gave at one sample with the settings in use. */
export interface SampleResidual {
  readonly id: string;
  readonly file: string;
  readonly row: number;
  readonly measured: number;
  readonly predicted: number;
  /** (measured - predicted) less the median of all, over 1.4826 x their median absolute deviation; 0 where that is 0. */
  readonly robustZ: number;
  readonly outlier: boolean;
}

/** How closely the field was sampled. */
export interface SampleDensity {
  readonly samples: number;
  /** Acres of spreadable ground for each sample. */
  readonly acresPerSample: number;
  /** Place of the field that is farthest from any sample, and how far. */
  readonly farthest: { readonly at: LngLat; readonly distance_m: number } | null;
}

/** A layer the user brought: a raster's band, on the lattice's cells. */
export type OwnLayerId = `own.${string}`;
export interface OwnLayer {
  readonly id: OwnLayerId;
  readonly name: string;
  readonly unit: string;
  readonly decimals: number;
  /** In cell order; NaN where the raster has no value. */
  readonly values: Float64Array;
  /** Acres of the field that the raster covers. */
  readonly known_ac: number;
  /** What was understood of the file: size, CRS, cell, nodata. */
  readonly reading: readonly string[];
}
export type AnyLayerId = LayerId | OwnLayerId;

/** Values over the lattice's cells, in cell order; NaN where the cell has no ground of the field or no value. */
export interface SurfacesOut {
  readonly grid: FieldGrid;
  readonly layers: Readonly<Partial<Record<LayerId, Float64Array>>>;
  readonly own: readonly OwnLayer[];
  readonly errors: Readonly<Partial<Record<LayerId, LayerError>>>;
  /** Empty with zone composites: nothing is interpolated. */
  readonly scans: Readonly<Partial<Record<MeasuredId, ErrorScan>>>;
  /** Per measured layer, in the samples' order. */
  readonly residuals: Readonly<Partial<Record<MeasuredId, readonly SampleResidual[]>>>;
  readonly density: SampleDensity;
  /**
   * Metres from the cell's centre to the nearest sample; NaN where the cell has no ground of the field. With zone composites
   * 0 inside one and Infinity on ground that no composite covers.
   */
  readonly nearest_m: Float32Array;
  readonly far_ac: number;
  /** 1 where a cell with ground has its centre outside the convex hull of the samples, else 0. All 0 with composites. */
  readonly outsideHull: Uint8Array;
  readonly outsideHull_ac: number;
  /** How the surfaces were made, in one sentence: `inverse distance, power 2, 12 neighbours`. */
  readonly method: string;
  /** How each measured layer was made where it differs from `method`. */
  readonly methods: Readonly<Partial<Record<MeasuredId, string>>>;
}
