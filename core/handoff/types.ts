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
  /** Acres that one full load covers at the pass's mean rate where it spreads. */
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
  }[];
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

/** What the plan says must be in the files; written as manifest.json beside them. */
export interface Manifest {
  readonly format: 'pearlash-manifest';
  readonly version: 1;
  readonly plan: string;
  readonly planSha256: string;
  readonly product: string;
  /** The second product, in columns of its own; absent where the plan has one product. */
  readonly product2?: string;
  readonly rateUnit: 'lb/ac' | 'kg/ha';
  readonly spreadable_ac: number;
  readonly passes: readonly {
    readonly name: string;
    readonly acres: number;
    /** Of the first product: what its column must add up to. */
    readonly product_lb: number;
    readonly product_tons: number;
    /** Of the second product, likewise. */
    readonly product2_lb?: number;
    readonly product2_tons?: number;
    readonly records: number;
    readonly geojson: string;
    readonly shapefileZip: string;
    readonly shapefileLoose: string;
  }[];
  readonly files: readonly { readonly path: string; readonly size: number; readonly sha256: string }[];
}

export interface ProofLine {
  readonly file: string;
  readonly what: 'acres' | 'pounds' | 'pounds of the second product' | 'records' | 'bytes';
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
}
