import type { Lattice, MultiPolygon } from '../../geo/types.ts';
import type { Zone } from '../../zones/types.ts';
import type { Prescription } from '../types.ts';

/** What the task data is made of. */
export interface TaskDataInput {
  readonly planName: string;
  /** Of the zip below the export folder; it is only repeated in what comes out. */
  readonly path: string;
  /** Of the program, as text. */
  readonly version: string;
  readonly ground: MultiPolygon;
  /** The field with its keep-outs and setbacks in it: cells that reach into its outer rings are never outside. The ground alone where absent. */
  readonly boundary?: MultiPolygon;
  /** The field's own, which the grid keeps. */
  readonly lattice: Lattice;
  /** One a task. */
  readonly prescriptions: readonly Prescription[];
  /** One or two, the plan's first product first. */
  readonly products: readonly string[];
  /** Of the first product in the first pass; the second product is 0 there, and so is every further pass. */
  readonly outside_lbPerAc: number;
  readonly noPosition_lbPerAc: number;
  readonly shape: 'zones' | 'cells';
  /** Raster of labels with the zones' keys, as the zones stage gives them: then a cell of the grid holds exactly the rate of its zone. */
  readonly labels?: ZoneLabels;
  /** Unit that the machine shows; the file holds mg/m2 whatever it is. */
  readonly rateUnit?: 'lb/ac' | 'kg/ha';
  /** Version of the task file: the third edition of the standard, or the second for older controllers. */
  readonly taskFile?: '4.3' | '3.3';
}

/** The part of what the zones stage gives that is needed here. */
export interface ZoneLabels {
  readonly labels: Int16Array;
  readonly zones: readonly Pick<Zone, 'key' | 'label'>[];
}

/** Task data as read. */
export interface TaskData {
  /** `4.3`. */
  readonly taskFile: string;
  readonly manufacturer: string;
  readonly softwareVersion: string;
  readonly partfields: readonly {
    readonly id: string;
    readonly name: string;
    readonly area_m2: number;
    readonly boundary: MultiPolygon;
  }[];
  readonly tasks: readonly TaskDataTask[];
}

export interface TaskDataTask {
  readonly id: string;
  readonly name: string;
  /** Id of its partfield, null where it names none. */
  readonly partfield: string | null;
  /** One a process data variable, in their order; empty text where it names no product. */
  readonly products: readonly string[];
  /** Null where the task has none: its rates are then in no grid, and `values_lbPerAc` is empty. */
  readonly grid: TaskDataGrid | null;
  /** One array a product, over the grid's cells from the south-west, eastward, then northward. NaN where the variable is no mass per area. */
  readonly values_lbPerAc: readonly Float64Array[];
  readonly zones: readonly TaskDataZone[];
  /** Codes of the zones that hold by default, without a position, and out of the field; null where not given. */
  readonly codes: {
    readonly default: number | null;
    readonly positionLost: number | null;
    readonly outside: number | null;
  };
  /** What the file says at a place, one rate a product: the grid's cell, beyond the grid the zone for out of the field; NaN where it says nothing. */
  readonly rateAt: (lng_deg: number, lat_deg: number) => readonly number[];
}

export interface TaskDataGrid {
  /** South-west corner of the first cell. */
  readonly minNorth_deg: number;
  readonly minEast_deg: number;
  readonly sizeNorth_deg: number;
  readonly sizeEast_deg: number;
  readonly columns: number;
  readonly rows: number;
  readonly type: 1 | 2;
  /** As the task data names it, without an ending. */
  readonly file: string;
}

/** Shown = (value + offset) x scale, with so many decimals, in the unit. NaN where the file has no figure. */
export interface TaskDataShown {
  readonly offset: number;
  readonly scale: number;
  readonly decimals: number;
  readonly unit: string;
}

export interface TaskDataZone {
  readonly code: number;
  readonly name: string;
  /** In the order of the task's products. */
  readonly rates_lbPerAc: readonly number[];
  /** Product that each of its variables names, empty where none. */
  readonly products: readonly string[];
  /** How a terminal shows each; null where the file does not say. */
  readonly shown: readonly (TaskDataShown | null)[];
}
