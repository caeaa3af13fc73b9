import type { Problem } from '../base/problem.ts';
import type { MultiPolygon } from '../geo/types.ts';

export interface Totals {
  readonly acres: number;
  /** All products together. */
  readonly product_lb: number;
  readonly product_tons: number;
  readonly cost: number;
  /** The plan's first product first. */
  readonly byProduct: readonly ProductTotal[];
}

/** How much of one product is to be loaded. */
export interface ProductTotal {
  readonly product: string;
  readonly product_lb: number;
  readonly product_tons: number;
  /** Room it takes, by the density as it was weighed; null where nobody weighed it. */
  readonly cubicFeet: number | null;
}

/** One record of a prescription. */
export interface Piece {
  readonly zoneKey: string;
  readonly letter: string;
  readonly polygons: MultiPolygon;
  readonly acres: number;
  /** Of the plan's first product in this pass, lb/ac. */
  readonly rate_lbPerAc: number;
  /** Of its second product; 0 where it has none. */
  readonly second_lbPerAc: number;
  /** Of both. */
  readonly k2o_lbPerAc: number;
  readonly k_ppm: number;
  readonly kSat_pct: number;
  readonly cec_meq: number;
  /** Who typed the rate and why, or that the ground has none and is written as 0; empty otherwise. */
  readonly note: string;
}

export interface Prescription {
  readonly pass: string;
  readonly pieces: readonly Piece[];
  readonly totals: Totals;
}

export interface OutFile {
  /** Path below the export folder, with forward slashes. */
  readonly path: string;
  readonly bytes: Uint8Array;
  readonly what: string;
}

/** One line of a check that was made: what, the figure, whether it holds. */
export interface CheckLine {
  readonly what: string;
  readonly figure: string;
  readonly holds: boolean;
}

/** What cutting the zones into cells along the way of driving did. */
export interface CellsOut {
  /** Way of driving, degrees clockwise from north, as used. */
  readonly heading_deg: number;
  readonly from: 'longest edge' | 'told';
  readonly swath_m: number;
  readonly length_m: number;
  /** Cells after slivers were joined, before equal neighbours were. */
  readonly cells: number;
  /** Slivers joined to a neighbour. */
  readonly slivers: number;
  /** Cells over several zones, which get the mean of them by area. */
  readonly mixed: number;
  /** Cells whose rate the limit on change along the way moved, over all passes. */
  readonly ramped: number;
  /** Product more or less than by zones, over all passes and products, lb. */
  readonly change_lb: number;
  /** Ground that gets more, or less, than its zone's rate by more than half a step of the machine, over the passes' worst. */
  readonly over_ac: number;
  readonly under_ac: number;
}

/** How a product is carried to the field in one pass. */
export interface LoadLine {
  readonly pass: string;
  readonly product: string;
  readonly tons: number;
  readonly hopper_tons: number;
  /** Whole loads, and what the last one holds; 0 where the whole ones are enough. */
  readonly full: number;
  readonly last_tons: number;
  /** Acres that one full load covers at the pass's mean rate where it spreads, at most those. */
  readonly acresPerLoad: number;
}

/** What the ISO 11783-10 grid holds against the plan. */
export interface TaskDataOut {
  readonly path: string;
  readonly columns: number;
  readonly rows: number;
  /** One a task: what the grid's cells times their rates come to, against the prescription, lb. */
  readonly tasks: readonly {
    readonly pass: string;
    readonly product: string;
    readonly planned_lb: number;
    readonly grid_lb: number;
    /** Of this product in this task. */
    readonly outside_lbPerAc: number;
    readonly noPosition_lbPerAc: number;
  }[];
  /** How a terminal shows the values: times the scale, with so many decimals, in the unit. */
  readonly shown: { readonly scale: number; readonly decimals: number; readonly unit: string };
}

export interface HandoffOut {
  /** Null where zones are written as they lie. */
  readonly cells: CellsOut | null;
  /** Empty where nobody said what a load holds. */
  readonly loads: readonly LoadLine[];
  /** Null where it is not written. */
  readonly taskData: TaskDataOut | null;
  readonly prescriptions: readonly Prescription[];
  readonly files: readonly OutFile[];
  readonly checks: readonly CheckLine[];
  /** Of what is in the files. */
  readonly totals: Totals;
  /** Of zones that are in no file, by their role. */
  readonly keptOut_ac: number;
}

/** One rate column of a set of files. */
export interface ManifestChannel {
  readonly pass: string;
  readonly product: string;
  /** Name of the column in the table, and of the property in GeoJSON. */
  readonly column: string;
  readonly property: string;
  /** Decimals of the column. */
  readonly decimals: number;
  /** What the column must add up to. */
  readonly planned_lb: number;
  readonly planned_tons: number;
  /**
   * The plan's rates at the manifest's points in the unit of the files, blanks between: `-` where the plan spreads nothing by file, `~` where a
   * border is too near to tell. Null in manifests of version 1.
   */
  readonly atPoints: string | null;
}

/** Files of the same records: GeoJSON, zipped shapefile and loose parts, as far as they were written. */
export interface ManifestSet {
  readonly base: string;
  readonly records: number;
  readonly acres: number;
  readonly channels: readonly ManifestChannel[];
  /** The other figures of the table but the acres: each record's times its acres, over all. Empty in manifests of version 1. */
  readonly figures: readonly { readonly column: string; readonly property: string; readonly planned: number }[];
  readonly geojson: string | null;
  readonly shapefileZip: string | null;
  /** Path of the loose parts without their ending. */
  readonly shapefileLoose: string | null;
}

/** A raster of rates: how many of its cells have a value, and what these add up to in the unit of the files. */
export interface ManifestRaster {
  readonly path: string;
  readonly pass: string;
  readonly product: string;
  readonly cells: number;
  readonly sum: number;
}

/** Places that the plan and every file are compared at: drawn by a seeded generator over a box. */
export interface ManifestPoints {
  /** From the plan's SHA-256, so that nobody chose it. */
  readonly seed: number;
  readonly west_deg: number;
  readonly south_deg: number;
  readonly east_deg: number;
  readonly north_deg: number;
  readonly drawn: number;
  /** Of them, on ground that the files cover. */
  readonly inside: number;
  /** One figure a point: 1 where no border to another rate lies within a cell of the task data's grid, or of the rasters; null with neither. */
  readonly inner: string | null;
}

/** What the first reading back found, in short. */
export interface ManifestProof {
  readonly proved: boolean;
  readonly comparisons: number;
  readonly points: number;
  readonly pointsCompared: number;
  /** Greatest difference of a rate at a point, in the unit of the files; null where a file had none there. */
  readonly greatestDifference: number | null;
}

/** What the plan says must be in the files; written as manifest.json beside them. */
export interface Manifest {
  readonly format: 'pearlash-manifest';
  readonly version: 1 | 2;
  readonly plan: string;
  readonly planSha256: string;
  readonly rateUnit: 'lb/ac' | 'kg/ha';
  readonly spreadable_ac: number;
  readonly sets: readonly ManifestSet[];
  readonly taskData: TaskDataOut | null;
  /** Of rates alone; empty in manifests of version 1. */
  readonly rasters: readonly ManifestRaster[];
  /** Null in manifests of version 1. */
  readonly points: ManifestPoints | null;
  readonly files: readonly { readonly path: string; readonly size: number; readonly sha256: string }[];
  /** Null until the files were read back. */
  readonly proof: ManifestProof | null;
  /** The page as it was printed last; null where it was not. It carries a time, so two printings differ. */
  readonly printed: { readonly path: string; readonly size: number; readonly sha256: string } | null;
}

export interface ProofLine {
  readonly file: string;
  /** `bytes`, `records`, `acres`, `pounds` ...: one line a file and word. */
  readonly what: string;
  readonly planned: string;
  readonly found: string;
  readonly holds: boolean;
}

export interface Proof {
  readonly proved: boolean;
  readonly lines: readonly ProofLine[];
  readonly acres: number;
  readonly product_tons: number;
  readonly problems: readonly Problem[];
  /** Files that a controller may load and the plan did not write: with any, the planned files are proved and the folder is not clean. */
  readonly strays: number;
  /** Files whose bytes are as listed and whose words and figures are compared with nothing else: pages, texts, tables and layers of the soil. */
  readonly byHashAlone: readonly string[];
  /** Rates at the manifest's points; null where the manifest has none. */
  readonly points: ProofPoints | null;
}

export interface ProofPoints {
  readonly seed: number;
  /** On ground that the files cover. */
  readonly inside: number;
  /** Comparisons over all files and rate columns. */
  readonly compared: number;
  /** Of them, with the grid of the task data. */
  readonly grid: number;
  /** Greatest difference, in the unit of the files; NaN where a file had no rate, or several, at a point. */
  readonly greatest: number;
}
